"""Codes on parts against published tables and worked examples.

The facts and their sources stand in data/codes.toml, apart from the package's own tables, so that each check compares two
independent copies. Rows with how = "memory" were recalled: they check the rule, not the standard.
"""

from __future__ import annotations

import math
import tomllib
from pathlib import Path
from typing import Any

import pytest

from lidoff.markings import E_SERIES, Meaning, decode, encode_bands, encode_eia96

FACTS: dict[str, list[dict[str, Any]]] = tomllib.loads(
    (Path(__file__).parent / "data" / "codes.toml").read_text(encoding="utf-8")
)


def rows(table: str) -> list[Any]:
    """Rows of one table, each named for the report."""
    return [
        pytest.param(row, id=str(row.get("id", row.get("code", row.get("letter", row.get("inch", number))))))
        for number, row in enumerate(FACTS[table])
    ]


def values(text: str, what: str, decoder: str = "") -> list[float]:
    """Values of every meaning of one kind, the most plausible first."""
    return [
        meaning.value.value
        for meaning in decode(text, what=what)
        if meaning.value is not None and meaning.decoder.startswith(decoder)
    ]


def best(text: str, what: str) -> Meaning:
    return decode(text, what=what)[0]


# --- colours (IEC 60062)


@pytest.mark.parametrize("row", rows("colour_example"))
def test_worked_examples_of_colour_bands_come_first(row: dict[str, Any]) -> None:
    meaning = best(" ".join(row["bands"]), "resistor")
    assert meaning.value is not None
    assert row["ohms"] == meaning.value.value


@pytest.mark.parametrize("row", rows("colour_example"))
def test_worked_examples_of_colour_bands_have_their_limits(row: dict[str, Any]) -> None:
    limits = best(" ".join(row["bands"]), "resistor").limits
    assert limits is not None
    low, high = (row["ohms"] * (1 + sign * row["tolerance_pct"] / 100) for sign in (-1, 1))
    assert (low, high) == pytest.approx((limits.low, limits.high), rel=1e-12)


@pytest.mark.parametrize("row", rows("colour_example"))
def test_worked_examples_of_colour_bands_are_written_back(row: dict[str, Any]) -> None:
    bands = len(row["bands"])
    assert tuple(row["bands"]) == encode_bands(row["ohms"], tolerance=row["tolerance_pct"], bands=bands)


@pytest.mark.parametrize("row", [row for row in rows("colour") if "digit" in row.values[0]])
def test_each_colour_has_its_digit(row: dict[str, Any]) -> None:
    found = values(f"brown {row['colour']} black black brown", "resistor")
    assert 100.0 + 10 * row["digit"] in found


@pytest.mark.parametrize("row", [row for row in rows("colour") if "multiplier" in row.values[0]])
def test_each_colour_has_its_multiplier(row: dict[str, Any]) -> None:
    found = values(f"brown green {row['colour']} gold", "resistor")
    assert found[0] == pytest.approx(15 * row["multiplier"], rel=1e-12)


@pytest.mark.parametrize(
    "row",
    [row for row in rows("colour") if "tolerance_pct" in row.values[0] and row.values[0]["colour"] != "none"],
)
def test_each_colour_has_its_tolerance(row: dict[str, Any]) -> None:
    found = [
        meaning.limits.high
        for meaning in decode(f"brown black black black {row['colour']}", what="resistor")
        if meaning.limits is not None
    ]
    assert any(high == pytest.approx(100 + row["tolerance_pct"], rel=1e-12) for high in found)


def test_no_fourth_band_means_twenty_percent() -> None:
    (row,) = [row for row in FACTS["colour"] if row["colour"] == "none"]
    limits = best("white violet black", "resistor").limits
    assert limits is not None
    assert limits.high == pytest.approx(97 * (1 + row["tolerance_pct"] / 100), rel=1e-12)


@pytest.mark.parametrize("row", [row for row in rows("colour") if "tempco_ppm_per_K" in row.values[0]])
def test_each_colour_has_its_temperature_coefficient(row: dict[str, Any]) -> None:
    found = [
        fact.value.value
        for meaning in decode(f"orange orange black brown brown {row['colour']}", what="resistor")
        for fact in meaning.facts
        if fact.name == "temperature coefficient" and fact.value is not None
    ]
    assert found[0] == pytest.approx(row["tempco_ppm_per_K"] * 1e-6, rel=1e-12)


# --- letter and digit codes (IEC 60062)


@pytest.mark.parametrize("row", rows("rkm_resistor"))
def test_letter_codes_of_resistance(row: dict[str, Any]) -> None:
    assert row["ohms"] in values(row["code"], "resistor", "resistor_letters")


@pytest.mark.parametrize("row", rows("rkm_capacitor"))
def test_letter_codes_of_capacitance(row: dict[str, Any]) -> None:
    assert row["farads"] == values(row["code"], "capacitor")[0]


@pytest.mark.parametrize("row", rows("smd_example"))
def test_prints_on_chip_resistors_come_first_among_resistors(row: dict[str, Any]) -> None:
    assert row["ohms"] == values(row["code"], "resistor")[0]


@pytest.mark.parametrize("row", rows("capacitor_code"))
def test_prints_on_capacitors(row: dict[str, Any]) -> None:
    assert row["farads"] in values(row["code"], "capacitor")


@pytest.mark.parametrize("row", [row for row in rows("tolerance_letter") if row.values[0].get("unit") == "%"])
def test_tolerance_letters_of_resistance_are_percentages(row: dict[str, Any]) -> None:
    limits = [meaning.limits for meaning in decode(f"1K00{row['letter']}", what="resistor")]
    assert limits[0] is not None
    assert limits[0].high == pytest.approx(1000 * (1 + row["value"] / 100), rel=1e-12)


@pytest.mark.parametrize(
    "row", [row for row in rows("tolerance_letter") if row.values[0].get("unit") == "pF"]
)
def test_tolerance_letters_of_small_capacitors_are_picofarads(row: dict[str, Any]) -> None:
    limits = best(f"4p7{row['letter']}", "capacitor").limits
    assert limits is not None
    assert limits.high - 4.7e-12 == pytest.approx(row["value"] * 1e-12, rel=1e-9)


@pytest.mark.parametrize("row", [row for row in rows("tolerance_letter") if "plus_pct" in row.values[0]])
def test_uneven_tolerance_letters(row: dict[str, Any]) -> None:
    limits = best(f"104{row['letter']}", "capacitor").limits
    assert limits is not None
    expected = (100e-9 * (1 - row["minus_pct"] / 100), 100e-9 * (1 + row["plus_pct"] / 100))
    assert expected == pytest.approx((limits.low, limits.high), rel=1e-12)


# --- EIA-96


def test_all_96_numbers_of_eia96_have_their_values() -> None:
    (table,) = FACTS["eia96"]
    found = [values(f"{code}A", "resistor", "resistor_eia96")[0] for code in table["codes"]]
    assert [float(value) for value in table["values"]] == found


def test_all_96_values_of_eia96_are_written_back() -> None:
    (table,) = FACTS["eia96"]
    assert [f"{code}A" for code in table["codes"]] == [
        encode_eia96(float(value)) for value in table["values"]
    ]


@pytest.mark.parametrize("row", rows("eia96_multiplier"))
def test_each_letter_of_eia96_has_its_multiplier(row: dict[str, Any]) -> None:
    found = values(f"01{row['letter']}", "resistor", "resistor_eia96")
    assert [pytest.approx(100 * row["multiplier"], rel=1e-12)] == found


@pytest.mark.parametrize("row", rows("eia96_multiplier"))
def test_letters_of_eia96_from_memory_say_so(row: dict[str, Any]) -> None:
    (meaning,) = [m for m in decode(f"01{row['letter']}", what="resistor") if m.decoder == "resistor_eia96"]
    assert meaning.from_memory == (row["how"] == "memory")


@pytest.mark.parametrize("row", rows("eia96_example"))
def test_worked_examples_of_eia96(row: dict[str, Any]) -> None:
    assert [row["ohms"]] == values(row["code"], "resistor", "resistor_eia96")


# --- preferred numbers (IEC 60063)


@pytest.mark.parametrize("row", rows("e_series"))
def test_each_series_holds_the_printed_terms(row: dict[str, Any]) -> None:
    assert tuple(row["values"]) == E_SERIES[row["id"]]


# --- chip sizes


def chip_facts(row: dict[str, Any], code: str, system: str) -> dict[str, float]:
    (meaning,) = decode(f"{row[code]} {system}", what="chip size")
    return {fact.name: fact.value.value for fact in meaning.facts if fact.value is not None}


@pytest.mark.parametrize(("code", "system"), [("inch", "inch"), ("metric", "metric")])
@pytest.mark.parametrize("row", rows("chip_size"))
def test_each_chip_size_has_its_outline(row: dict[str, Any], code: str, system: str) -> None:
    facts = chip_facts(row, code, system)
    expected = (row["length_mm"] * 1e-3, row["width_mm"] * 1e-3)
    assert expected == pytest.approx((facts["length"], facts["width"]), rel=1e-9)


@pytest.mark.parametrize("row", [row for row in rows("chip_size") if "power_W" in row.values[0]])
def test_each_chip_size_has_its_usual_rating(row: dict[str, Any]) -> None:
    assert row["power_W"] == chip_facts(row, "inch", "inch")["rated power as a resistor"]


@pytest.mark.parametrize("row", rows("chip_size"))
def test_each_chip_size_names_its_other_code(row: dict[str, Any]) -> None:
    (meaning,) = decode(f"{row['inch']} inch", what="chip size")
    assert f"{row['metric']} in metric code" in meaning.says


# --- wire (ASTM B258, IEC 60028)


def wire_facts(name: str) -> dict[str, float]:
    (meaning,) = decode(f"{name} AWG", what="wire")
    return {fact.name.split()[0]: fact.value.value for fact in meaning.facts if fact.value is not None}


@pytest.mark.parametrize("row", [row for row in rows("awg") if "table_inch" in row.values[0]])
def test_each_gauge_has_the_diameter_of_the_printed_table(row: dict[str, Any]) -> None:
    # The table prints four significant figures, thinner than 0.1 inch too; the factor is for the float of the digits.
    half_digit = 0.5 * 10.0 ** (math.floor(math.log10(row["table_inch"])) - 3)
    inches = wire_facts(row["name"])["diameter"] / 0.0254
    assert row["table_inch"] == pytest.approx(inches, abs=half_digit * 1.0001)


@pytest.mark.parametrize("row", rows("awg"))
def test_each_gauge_has_its_area_and_resistance(row: dict[str, Any]) -> None:
    facts = wire_facts(row["name"])
    expected = (row["area_mm2"] * 1e-6, row["ohm_per_m"])
    assert expected == pytest.approx((facts["area"], facts["resistance"]), rel=1e-4)


def test_gauge_14_has_the_area_of_a_worked_example() -> None:
    # Lessons In Electric Circuits I, physics of conductors: 14 AWG has 4107 cmil. Its 5.651 Ω for 2300 ft rests on
    # 10.09 Ω·cmil/ft, 2.7 % below the annealed copper of IEC 60028, so the area is compared and not the resistance.
    (row,) = [row for row in FACTS["conductor"] if row["id"] == "awg14-2300ft"]
    assert "4107 cmil" in row["inputs"]
    assert (wire_facts("14")["diameter"] / 0.0254e-3) ** 2 == pytest.approx(4107, abs=0.5)


# --- chip capacitors and dielectrics (EIA-198), tantalum, mains classes


def test_each_letter_of_chip_capacitors_has_its_value() -> None:
    (table,) = FACTS["chip_capacitor_letter"]
    found = [values(f"{letter}3", "capacitor", "capacitor_chip_letter") for letter in table["letters"]]
    assert [[pytest.approx(value * 1e-9, rel=1e-12)] for value in table["values"]] == found


@pytest.mark.parametrize("row", rows("chip_capacitor_example"))
def test_worked_examples_of_chip_capacitors(row: dict[str, Any]) -> None:
    assert [pytest.approx(row["farads"], rel=1e-12)] == values(
        row["code"], "capacitor", "capacitor_chip_letter"
    )


@pytest.mark.parametrize("row", rows("dielectric"))
def test_worked_examples_of_dielectrics(row: dict[str, Any]) -> None:
    facts = {fact.name: fact.text for fact in best(row["code"], "dielectric").facts}
    coldest = f"−{-row['coldest']}" if row["coldest"] < 0 else str(row["coldest"])
    assert facts["temperature range"] == f"{coldest} °C to {row['hottest']} °C"
    assert facts["change of capacitance"].startswith(row["change"])


@pytest.mark.parametrize("row", rows("dielectric_drift"))
def test_worked_examples_of_drifting_dielectrics(row: dict[str, Any]) -> None:
    (fact,) = best(row["code"], "dielectric").facts
    assert fact.text.startswith(row["text"])


def test_voltage_letters_of_tantalum_chips() -> None:
    (table,) = FACTS["tantalum_voltage"]
    found = []
    for letter in table["letters"]:
        (meaning,) = [m for m in decode(f"{letter}475", what="capacitor") if m.decoder == "tantalum_code"]
        found += [fact.value.value for fact in meaning.facts if fact.value is not None]
    assert table["volts"] == found


def test_impulse_voltages_of_mains_capacitors() -> None:
    (table,) = FACTS["mains_capacitor"]
    for name, impulse in zip(table["classes"], table["impulse_kV"], strict=True):
        (fact,) = best(name, "safety class").facts
        assert f"impulse test {impulse}" in fact.text


# --- Zener diodes, marks, varistors (makers' data sheets)


def test_1n4728a_to_1n4747a_have_the_limits_of_the_data_sheet() -> None:
    (table,) = FACTS["zener_1n47"]
    for place, number in enumerate(table["numbers"]):
        meaning = best(f"1N{number}A", "zener diode")
        assert meaning.value is not None
        assert meaning.limits is not None
        assert meaning.value.value == table["typical_V"][place]
        assert meaning.limits.high == pytest.approx(table["high_V"][place], rel=1e-9)
        if number != 4728:  # its printed lower limit is a misprint, see the note in the table
            assert meaning.limits.low == pytest.approx(table["low_V"][place], rel=1e-9)


@pytest.mark.parametrize(("table_name", "prefix"), [("zener_1n47", "A"), ("zener_1n52", "B")])
def test_registered_zeners_have_their_voltage_and_test_current(table_name: str, prefix: str) -> None:
    (table,) = FACTS[table_name]
    first = table.get("first", 4728)
    for place, (volts, milliamperes) in enumerate(zip(table["typical_V"], table["test_mA"], strict=True)):
        meaning = best(f"1N{first + place}{prefix}", "zener diode")
        facts = {fact.name: fact.value.value for fact in meaning.facts if fact.value is not None}
        assert meaning.value is not None
        assert meaning.value.value == volts
        assert facts["test current"] == pytest.approx(milliamperes * 1e-3, rel=1e-12)


def test_marks_of_zener_diodes_in_sot23() -> None:
    (table,) = FACTS["zener_mark"]
    for mark, volts in zip(table["marks"], table["volts"], strict=True):
        says = [meaning.says for meaning in decode(mark, what="zener diode") if "BZX84C" in meaning.says]
        assert [f": {volts}," in text for text in says] == [True]


def test_marks_of_transistors_in_sot23() -> None:
    (table,) = FACTS["transistor_mark"]
    for mark, part in zip(table["marks"], table["parts"], strict=True):
        found = [m for m in decode(mark, what="bipolar transistor") if m.says.startswith(f"{part}:")]
        assert [meaning.from_memory for meaning in found] == [False]


@pytest.mark.parametrize("row", rows("varistor"))
def test_codes_of_disc_varistors(row: dict[str, Any]) -> None:
    meaning = best(row["code"], "varistor")
    facts = {fact.name: fact.value.value for fact in meaning.facts if fact.value is not None}
    assert meaning.value is not None
    assert meaning.value.value == row["volts"]
    assert facts["disc diameter"] == pytest.approx(row["disc_mm"] * 1e-3)
