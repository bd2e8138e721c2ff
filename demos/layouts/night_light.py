"""The board of the demo of the night light: one-sided, 31 mm × 24 mm; invented, like the device."""

from __future__ import annotations

from lidoff.board import BACK, FRONT, TrackRules, View

from ..board_truth import BoardTruth, one_sided, routed_layout

PARTS = (
    ("J1", "WIRE-PAIR-WIDE", FRONT, (2.5, 10), 90.0, {"1": "live", "2": "neutral"}, ""),
    ("R1", "AXIAL-ONE-WATT", FRONT, (7, 14.25), 90.0, {"1": "live", "2": "dropper_in"}, ""),
    ("C1", "RADIAL-FILM-10", FRONT, (17, 20.5), 0.0, {"1": "dropper_in", "2": "bridge_1"}, "224J"),
    ("C2", "CAN-RADIAL-5", FRONT, (15, 13.25), -180.0, {"+": "rail", "-": "gnd"}, ""),
    ("R4", "RADIAL-5", FRONT, (27, 7.5), -90.0, {"1": "sense", "2": "gnd"}, ""),
    ("D1", "SMA", BACK, (27, 18.5), -90.0, {"A": "bridge_1", "K": "rail"}, "M7"),
    ("D2", "SMA", BACK, (8, 14.75), 0.0, {"A": "neutral", "K": "rail"}, "M7"),
    ("D3", "SMA", BACK, (18, 18.5), 90.0, {"A": "gnd", "K": "bridge_1"}, "M7"),
    ("D4", "SMA", BACK, (2.75, 16.25), -90.0, {"A": "gnd", "K": "neutral"}, "M7"),
    ("D5", "MiniMELF", BACK, (22.5, 14.5), 0.0, {"1": "rail", "2": "gnd"}, ""),
    ("R3", "0805", BACK, (27, 13.25), 90.0, {"1": "rail", "2": "sense"}, "473"),
    ("C3", "0805", BACK, (23.5, 12), 0.0, {"1": "sense", "2": "gnd"}, ""),
    ("R6", "0805", BACK, (23.5, 9.5), 0.0, {"1": "sense", "2": "base"}, "103"),
    ("Q1", "SOT-23", BACK, (19.5, 8.5), 90.0, {"1": "base", "2": "gnd", "3": "led_end"}, "J3Y"),
    ("LED1", "LED-2835", BACK, (10, 10.5), -90.0, {"A": "rail", "K": "led_12"}, ""),
    ("LED2", "LED-2835", BACK, (11, 3.5), 0.0, {"A": "led_12", "K": "led_23"}, ""),
    ("LED3", "LED-2835", BACK, (15.75, 3.25), 0.0, {"A": "led_23", "K": "led_tail"}, ""),
    ("R5", "0805", BACK, (19.5, 4.5), -90.0, {"1": "led_tail", "2": "led_end"}, "470"),
)

TRUTH = BoardTruth(
    dossier="night-light",
    board="main",
    layout=one_sided(
        routed_layout(
            PARTS,
            (31.0, 24.0),
            TrackRules(width=0.5, gap=0.3, sides=(BACK,)),
            title=("NL-2 INVENTED", (13.0, 2.5)),
        )
    ),
    views={
        FRONT: View(
            finish="bare",
            px_per_mm=24.0,
            tilt=6.0,
            turn=4.0,
            lens=0.02,
            light=0.2,
            populated=True,
            table="cloth",
        ),
        BACK: View(
            finish="green",
            px_per_mm=24.0,
            tilt=8.0,
            turn=-3.0,
            lens=0.02,
            light=0.25,
            populated=True,
            table="cloth",
        ),
    },
    seed=31,
    blank=(FRONT,),
)
