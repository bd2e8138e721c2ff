"""The board of the demo of the crumb vacuum: two-sided, 46 mm × 30 mm; invented, like the device."""

from __future__ import annotations

from lidoff.board import BACK, FRONT, TrackRules, View

from ..board_truth import BoardTruth, routed_layout

PARTS = (
    ("W1", "WIRE-PAIR", FRONT, (2.5, 6.0), 90.0, {"1": "usb_in", "2": "gnd"}, ""),
    ("F1", "0603", FRONT, (6.5, 4.75), 0.0, {"1": "usb_in", "2": "vbus"}, "P"),
    ("D1", "SOD-323", FRONT, (6.5, 7.75), 0.0, {"K": "vbus", "A": "gnd"}, "AE5"),
    ("C1", "0805", FRONT, (10.5, 3.0), 90.0, {"1": "vbus", "2": "gnd"}, ""),
    (
        "U1",
        "SOIC-8",
        FRONT,
        (15.5, 7.0),
        0.0,
        {"1": "gnd", "2": "program", "3": "gnd", "4": "vbus", "5": "vbat", "7": "charge_light", "8": "vbus"},
        "PH54 B",
    ),
    ("R3", "0805", FRONT, (10.0, 7.5), 90.0, {"1": "program", "2": "gnd"}, "3001"),
    ("R2", "0603", FRONT, (17.0, 2.0), 0.0, {"1": "vbus", "2": "charge_anode"}, "102"),
    ("D2", "LED-0603", FRONT, (21.5, 2.0), 180.0, {"A": "charge_anode", "K": "charge_light"}, ""),
    ("C2", "0805", FRONT, (20.5, 9.5), 90.0, {"1": "vbat", "2": "gnd"}, ""),
    ("R9", "0603", FRONT, (6.5, 11.0), 0.0, {"1": "vbus", "2": "usb_sense"}, "103"),
    ("R10", "0603", FRONT, (6.5, 13.5), 0.0, {"1": "usb_sense", "2": "gnd"}, "103"),
    ("W4", "WIRE-SINGLE", FRONT, (2.75, 21.0), 0.0, {"1": "vbat"}, ""),
    ("W5", "WIRE-SINGLE", FRONT, (2.75, 26.0), 0.0, {"1": "gnd"}, ""),
    ("R13", "0603", FRONT, (8.5, 17.0), 0.0, {"1": "vbat", "2": "vdd"}, "100"),
    ("C3", "0603", FRONT, (12.0, 13.0), 90.0, {"1": "vdd", "2": "gnd"}, ""),
    ("C4", "0603", FRONT, (14.5, 13.0), 90.0, {"1": "vdd", "2": "gnd"}, ""),
    (
        "U2",
        "SOIC-8",
        FRONT,
        (19.5, 18.0),
        0.0,
        {
            "1": "vdd",
            "2": "drive",
            "3": "key",
            "4": "cell_sense",
            "5": "usb_sense",
            "6": "lamp",
            "7": "programming",
            "8": "gnd",
        },
        "",
    ),
    ("TP1", "TEST-PAD", FRONT, (25.0, 15.0), 0.0, {"1": "programming"}, ""),
    ("R7", "0603", FRONT, (9.0, 21.5), 0.0, {"1": "vbat", "2": "cell_sense"}, "1003"),
    ("R8", "0603", FRONT, (9.0, 24.0), 0.0, {"1": "cell_sense", "2": "gnd"}, "1003"),
    ("C6", "0603", FRONT, (9.0, 26.5), 0.0, {"1": "cell_sense", "2": "gnd"}, ""),
    ("R4", "0603", FRONT, (15.0, 23.5), 90.0, {"1": "vdd", "2": "indicator_anode"}, "471"),
    ("D3", "LED-0603", FRONT, (15.0, 27.5), 0.0, {"A": "indicator_anode", "K": "key_line"}, ""),
    ("R11", "0603", FRONT, (19.5, 24.0), 0.0, {"1": "key", "2": "key_line"}, "221"),
    ("S1", "PUSH-BUTTON-6", FRONT, (25.5, 25.75), 0.0, {"1": "key_line", "2": "gnd"}, ""),
    ("R5", "0603", FRONT, (29.0, 17.5), 0.0, {"1": "drive", "2": "gate"}, "101"),
    ("R6", "0603", FRONT, (32.5, 20.5), 90.0, {"1": "gate", "2": "gnd"}, "104"),
    ("Q1", "SOT-23", FRONT, (36.0, 17.5), 0.0, {"1": "gate", "2": "gnd", "3": "motor_minus"}, "A09T"),
    ("D4", "SMA", FRONT, (35.5, 10.0), 180.0, {"A": "motor_minus", "K": "vbat"}, "SS34"),
    ("W2", "WIRE-SINGLE", FRONT, (43.0, 8.0), 0.0, {"1": "vbat"}, ""),
    ("W3", "WIRE-SINGLE", FRONT, (43.0, 14.0), 0.0, {"1": "motor_minus"}, ""),
    ("R14", "0805", FRONT, (34.5, 25.5), 0.0, {"1": "vbat", "2": "lamp_anode"}, "470"),
    ("D5", "LED-3", FRONT, (41.5, 25.5), 180.0, {"A": "lamp_anode", "K": "lamp"}, ""),
)

TRUTH = BoardTruth(
    dossier="crumb-vacuum",
    board="main",
    layout=routed_layout(
        PARTS,
        (46.0, 30.0),
        TrackRules(width=0.5, gap=0.3),
        pour=(BACK, "gnd"),
        holes=((28.5, 4.0),),
        title=("CV-60 INVENTED", (31.5, 4.5)),
    ),
    views={
        FRONT: View(finish="green", px_per_mm=24.0, tilt=7.0, turn=3.0, lens=0.02, light=0.2, populated=True),
        BACK: View(finish="green", px_per_mm=24.0, tilt=5.0, turn=-4.0, lens=0.02, light=0.3, populated=True),
    },
    seed=46,
)
