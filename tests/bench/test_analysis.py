"""What is worked out beside the requests: fresh after each edit, stale work dropped, what-if beside the real circuit."""

import os
import signal
import time
from pathlib import Path

import pytest

from tests.bench.running import Running, running, waited_for
from tests.dossier.build import lamp_text
from tests.dossier.test_supposing import HEATER


def current_of_led(answer: dict[str, object]) -> float:
    """Current of the lamp's LED in its lit situation."""
    analysis = answer["analysis"]
    return float(analysis["situations"]["lit"]["parts"]["D1"]["current"]["value"])  # type: ignore[index]


def test_numbers_follow_an_edit_in_both_stages(tmp_path: Path) -> None:
    with running(tmp_path) as server:
        found = {}
        for base, value in enumerate(("150 Ω", "300 Ω")):
            edit: dict[str, object] = {"kind": "set", "path": ["parts", "R1", "value"], "value": value}
            server.edit(edit, base=base).raise_for_status()
            for stage in ("quick", "full"):
                answer = server.client.get(f"/api/analysis?stage={stage}&wait=60000").json()
                assert (base + 1, True, None) == (answer["revision"], answer["fresh"], answer["problem"])
                found[stage, value] = current_of_led(answer)
        assert found["quick", "150 Ω"] == pytest.approx(found["full", "150 Ω"], rel=1e-6)
        assert found["quick", "300 Ω"] == pytest.approx(found["quick", "150 Ω"] / 2, rel=0.05)


def test_pages_are_told_when_numbers_are_fresh(tmp_path: Path) -> None:
    with running(tmp_path) as server:
        server.client.get("/api/analysis?stage=quick&wait=60000")
        told = waited_for(server.bench.events, "analysis")
        assert (0, "quick") == (told["revision"], told["stage"])


def test_of_many_edits_in_a_row_the_last_is_told(tmp_path: Path) -> None:
    with running(tmp_path) as server:
        for base in range(12):
            edit: dict[str, object] = {
                "kind": "set",
                "path": ["parts", "R1", "value"],
                "value": f"{100 + base} Ω",
            }
            server.edit(edit, base=base).raise_for_status()
        answer = server.client.get("/api/analysis?stage=full&wait=60000").json()
        assert (12, True) == (answer["revision"], answer["fresh"])
        full = [event for event in server.bench.events.missed(0) or [] if '"stage": "full"' in event.data]
        assert len(full) < 12


def test_an_analysis_whose_process_was_ended_is_made_by_another(tmp_path: Path) -> None:
    with running(tmp_path) as server:
        server.client.get("/api/analysis?wait=60000").raise_for_status()
        pool = server.bench.live._beside._pool
        assert pool is not None
        (first,) = pool._processes
        edit: dict[str, object] = {"kind": "set", "path": ["parts", "R1", "value"], "value": "180 Ω"}
        before = server.bench.events.missed(0) or []
        server.edit(edit).raise_for_status()
        while not [
            one for one in server.bench.events.missed(before[-1].number) or [] if one.sort == "working"
        ]:
            time.sleep(0.005)
        os.kill(first, signal.SIGKILL)
        answer = server.client.get("/api/analysis?wait=60000").json()
        assert (1, True) == (answer["revision"], answer["fresh"])


def test_a_dossier_with_faults_is_told_with_what_stands_against_it(tmp_path: Path) -> None:
    broken = lamp_text(('kind = "resistor"', 'kind = "resistr"'))
    with running(tmp_path, broken) as server:
        answer = server.client.get("/api/analysis?stage=quick&wait=60000").json()
        assert "unknown kind 'resistr'" in answer["problem"]["what"]
        faults = server.state()["faults"]
        assert ["parts", "R1", "kind"] == faults[0]["path"]  # type: ignore[index]
        assert 422 == server.client.get("/api/schematic.svg").status_code


def test_a_finding_is_decided_by_its_key_and_known_again(tmp_path: Path) -> None:
    off = lamp_text(('shown = "3.01 V"', 'shown = "1.21 V"'))
    with running(tmp_path, off) as server:
        findings = server.client.get("/api/analysis?wait=60000").json()["analysis"]["findings"]
        finding = next(one for one in findings if one["readings"] == ["led"])
        assert finding["decision"] is None
        edit = {"kind": "decide", "finding": finding["key"], "says": "dismissed", "reason": "wrong range"}
        server.edit(edit).raise_for_status()
        again = server.client.get("/api/analysis?wait=60000").json()["analysis"]["findings"]
        decided = next(one for one in again if one["key"] == finding["key"])
        assert {"says": "dismissed", "reason": "wrong range"} == decided["decision"]


def test_the_drawing_comes_with_its_revision_and_is_sent_once(shared: Running) -> None:
    first = shared.client.get("/api/schematic.svg?situation=lit&style=outside")
    assert ("0", "1") == (first.headers["x-revision"], first.headers["x-fresh"])
    assert "<style>" not in first.text
    assert "voltage" in first.text
    again = shared.client.get(
        "/api/schematic.svg?situation=lit&style=outside", headers={"if-none-match": first.headers["etag"]}
    )
    assert (304, b"") == (again.status_code, again.content)


def test_the_circuit_is_told_with_the_texts_of_its_values(shared: Running) -> None:
    told = shared.client.get("/api/circuit").json()
    resistor = next(part for part in told["parts"] if part["reference"] == "R1")
    assert ("resistor", {"1": "usb_5v", "2": "led_plus"}) == (resistor["kind"], resistor["pins"])
    assert "150 Ω ± 5 %" == resistor["values"]["resistance"]["text"]
    values = {part["reference"]: part["value"] for part in told["parts"]}
    assert {"R1": "150 Ω", "D1": "3 V"}.items() <= values.items()
    nets = {net["name"]: net for net in told["nets"]}
    assert ("ground", ["D1.cathode", "J1.minus"]) == (nets["gnd"]["role"], sorted(nets["gnd"]["pins"]))


def what_if(server: Running, *changes: dict[str, object]) -> dict[str, object]:
    """Answer to a what-if in the lit situation."""
    answer = server.client.post("/api/what-if", json={"changes": list(changes), "situation": "lit"})
    return {"status": answer.status_code, **answer.json()}


def test_a_what_if_stands_beside_the_real_circuit_and_saves_nothing(shared: Running) -> None:
    answer = what_if(shared, {"part": "R1", "do": "set", "values": {"value": "300 Ω"}})
    current = answer["situations"]["lit"]["parts"]["D1"]["current"]  # type: ignore[index]
    assert current["changed"]["value"] == pytest.approx(current["real"]["value"] / 2, rel=0.05)
    assert 0 == shared.bench.desk.revision


def test_a_shorted_and_a_missing_part_can_be_tried(shared: Running) -> None:
    short = what_if(shared, {"part": "R1", "do": "short"})["situations"]["lit"]  # type: ignore[index]
    assert short["nets"]["led_plus"]["changed"]["value"] == pytest.approx(5.02, abs=0.05)
    for do in ("open", "remove"):
        gone = what_if(shared, {"part": "R1", "do": do})["situations"]["lit"]  # type: ignore[index]
        assert gone["problem"] is not None or gone["parts"]["D1"]["current"]["changed"]["value"] == (
            pytest.approx(0.0, abs=1e-9)
        )


def test_claims_are_judged_with_the_change_beside_the_real_ones(tmp_path: Path) -> None:
    with running(tmp_path, HEATER) as server:
        body = {"changes": [{"part": "R1", "do": "set", "values": {"value": "50 Ω"}}]}
        answer = server.client.post("/api/what-if/claims", json=body).raise_for_status().json()
        told = {
            one["name"]: (one["real"]["verdict"], one["changed"]["verdict"], one["moved"])
            for one in answer["claims"]
        }
        assert ("not borne out", "borne out", True) == told["current"]
        assert ("borne out", "borne out", False) == told["mass"]
        (reading,) = answer["readings"]
        assert ("current", pytest.approx(0.102)) == (reading["name"], reading["changed"]["value"])
        assert 0 == server.bench.desk.revision
        missing = server.client.post("/api/what-if/claims", json={"changes": [{"part": "X9", "do": "open"}]})
        assert "there is no part 'X9'" in missing.json()["what"]


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"part": "X9", "do": "open"}, "there is no part 'X9'"),
        ({"part": "R1", "do": "set", "values": {"value": "ten"}}, "ten"),
        ({"part": "R1", "do": "set", "values": {"colour": "1"}}, "no parameter 'colour'"),
    ],
)
def test_a_what_if_that_cannot_be_says_why(shared: Running, change: dict[str, object], words: str) -> None:
    answer = what_if(shared, change)
    assert 422 == answer["status"]
    assert words in str(answer["what"])


def test_waveforms_are_told_and_bounded(shared: Running) -> None:
    body = {"situation": "lit", "duration": "10 ms", "nets": ["led_plus"], "currents": ["D1"]}
    told = shared.client.post("/api/waveform", json=body).raise_for_status().json()
    assert told["times"][-1] == pytest.approx(0.01)
    assert len(told["times"]) == len(told["nets"]["led_plus"]) == len(told["currents"]["D1"])
    too_long = shared.client.post("/api/waveform", json={**body, "duration": "2 h"})
    assert (422, "impossible_value") == (too_long.status_code, too_long.json()["code"])
    unknown = shared.client.post("/api/waveform", json={**body, "nets": ["nothing"]})
    assert "there is no net 'nothing'" in unknown.json()["what"]


@pytest.mark.parametrize(
    ("asked", "said"),
    [
        ({"text": "4k7", "as": "quantity", "unit": "Ω"}, "4.7 kΩ"),
        ({"text": "1.58A", "as": "quantity", "unit": "A"}, "1.58 A"),
        ({"text": "10k ± 5 %", "as": "value", "kind": "resistor"}, "10 kΩ ± 5 %"),
        ({"text": "473", "as": "marking", "kind": "capacitor"}, "capacitor 47 nF"),
        ({"text": "473", "as": "marking", "kind": "resistor"}, "resistor 47 kΩ"),
        ({"text": "±(0.5 % + 3)", "as": "accuracy"}, "±(0.5 % + 3 counts)"),
        ({"text": "OL", "as": "shown"}, "over range"),
        ({"text": "over range", "as": "shown"}, "over range"),
        ({"text": "46", "as": "length"}, "46 mm"),
        ({"text": " 28,5 ", "as": "length"}, "28.5 mm"),
        ({"text": "46 cm", "as": "length"}, "460 mm"),
        ({"text": "1.8 in", "as": "length"}, "45.72 mm"),
        ({"text": "1e3", "as": "length"}, "1 m"),
        ({"text": "28 ± 0.1", "as": "length"}, "28.00 mm ± 0.10 mm"),
        ({"text": "0.000 V", "as": "shown", "unit": "V"}, "0 V, last digit 1 mV"),
        ({"text": "12", "as": "shown"}, "12, a number without a unit"),
        ({"text": "47R ±5", "as": "value", "kind": "resistor"}, "47 Ω ± 5 Ω"),
        ({"text": "47R ±5%", "as": "value", "kind": "resistor"}, "47 Ω ± 5 %"),
    ],
)
def test_what_is_typed_is_understood_at_once(shared: Running, asked: dict[str, object], said: str) -> None:
    told = shared.client.post("/api/understand", json=asked).raise_for_status().json()
    assert (True, said) == (told["understood"], told["said"])


def test_what_is_not_understood_says_why(shared: Running) -> None:
    told = shared.client.post("/api/understand", json={"text": "4k7 V", "as": "quantity", "unit": "Ω"}).json()
    assert told["understood"] is False
    assert told["problem"]["what"]
    # A supply is never over its range: only a display is.
    asked = {"text": "over range", "as": "quantity", "unit": "V"}
    assert shared.client.post("/api/understand", json=asked).json()["understood"] is False


@pytest.mark.parametrize(
    ("text", "kind", "values"),
    [
        ("103", "resistor", ["10 kΩ"]),
        ("01C", "resistor", ["10 kΩ"]),
        ("103", "electrolytic_capacitor", ["10 nF"]),
        ("103", "led", []),
        ("103", "connector", []),
    ],
)
def test_a_print_typed_as_a_value_is_refused_with_the_value_that_it_means(
    shared: Running, text: str, kind: str, values: list[str]
) -> None:
    told = shared.client.post("/api/understand", json={"text": text, "as": "value", "kind": kind}).json()
    assert told["understood"] is False
    assert [one["value"] for one in told["meanings"]] == values


@pytest.mark.parametrize(
    ("text", "why"),
    [
        ("thirty", "'thirty' does not start with a number"),
        ("46 V", "'46 V' states voltage [V], but length [m] is expected"),
        ("0", "'0' is no length above zero"),
        ("-3 mm", "'-3 mm' is no length above zero"),
        ("1 2", "'1 2' is no length"),
    ],
)
def test_what_is_no_length_says_how_one_is_written(shared: Running, text: str, why: str) -> None:
    told = shared.client.post("/api/understand", json={"text": text, "as": "length"}).json()
    assert told["understood"] is False
    remedy = 'write millimetres, such as 42.5, or with its unit, "4.25 cm"'
    assert (why, remedy) == (told["problem"]["what"], told["problem"]["remedy"])


@pytest.mark.parametrize(
    ("asked", "why", "remedy"),
    [
        ({"as": "shown", "text": "5.02", "unit": "V"}, "'5.02' is a value without unit", "5.02 V"),
        ({"as": "shown", "text": "5.02 A", "unit": "V"}, "'5.02 A' states current [A]", "give it in V"),
        (
            {"as": "value", "text": "47E", "kind": "resistor"},
            "unknown unit 'E' in '47E'",
            "write a number in Ω",
        ),
        (
            {"as": "value", "text": "47 Ω 1/4W", "kind": "resistor"},
            "unknown unit 'Ω 1/4W'",
            "write a number in Ω, and nothing else behind it",
        ),
        ({"as": "value", "text": "abc", "kind": "resistor"}, "does not start with a number", '"4.40 Ω"'),
    ],
)
def test_what_is_not_understood_is_told_in_the_unit_that_is_looked_for(
    shared: Running, asked: dict[str, object], why: str, remedy: str
) -> None:
    told = shared.client.post("/api/understand", json=asked).raise_for_status().json()
    assert told["understood"] is False
    assert why in told["problem"]["what"]
    assert remedy in told["problem"]["remedy"]


def test_searches_run_as_jobs_that_can_be_cancelled(tmp_path: Path) -> None:
    off = lamp_text(('shown = "3.01 V"', 'shown = "1.21 V"'))
    with running(tmp_path, off) as server:
        started = server.client.post("/api/slips").raise_for_status().json()
        waiting = server.client.post("/api/next-readings").raise_for_status().json()
        ended = server.client.delete(f"/api/jobs/{waiting['job']}").json()
        assert "cancelled" == ended["state"]
        waited_for(server.bench.events, "job", 60.0)
        done = server.client.get(f"/api/jobs/{started['job']}").json()
        while done["state"] == "working":
            done = server.client.get(f"/api/jobs/{started['job']}").json()
        assert ("done", None) == (done["state"], done["problem"])
        assert {"title", "why", "more", "parts", "nets", "readings"} <= set(done["result"]["slips"][0])
        assert 404 == server.client.get("/api/jobs/job-99").status_code


def test_a_drawing_that_grew_by_edits_is_laid_out_afresh_when_asked_for(tmp_path: Path) -> None:
    with running(tmp_path) as server:
        server.client.get("/api/schematic.svg").raise_for_status()
        # A capacitor by itself looks for a place beside all else; joined afterwards, it stays there.
        for name, net in (("C1", "usb_5v"), ("R9", "usb_5v"), ("C2", "gnd")):
            kind = "resistor" if name == "R9" else "capacitor"
            value = {
                "kind": kind,
                "value": "1 kΩ" if name == "R9" else "1 µF",
                "pins": {"1": net, "2": "gnd"},
            }
            server.edit({"kind": "add", "path": ["parts", name], "value": value}).raise_for_status()
            server.client.get("/api/schematic.svg?wait=60000").raise_for_status()
        assert 204 == server.client.post("/api/schematic/afresh").status_code
        laid_out = server.client.get("/api/schematic.svg?wait=60000").text
        quick = server.bench.live.quick(60.0)
        assert quick is not None
        assert quick.circuit is not None
        assert quick.earlier == {}
    with running(tmp_path) as again:
        assert laid_out == again.client.get("/api/schematic.svg?wait=60000").text


def test_a_part_placed_by_hand_stays_there_and_blocks_are_tinted(tmp_path: Path) -> None:
    with running(tmp_path) as server:
        free = server.client.get("/api/schematic.svg").text
        server.edit({"kind": "pin", "part": "R1", "x": 40, "y": 3}).raise_for_status()
        assert free != server.client.get("/api/schematic.svg?wait=60000").text
        server.edit({"kind": "unpin", "part": "R1"}).raise_for_status()
        tinted = server.client.get("/api/schematic.svg?tint=1&wait=60000").text
        assert "LED with series resistor<" in tinted
        assert "LED with series resistor<" not in free
