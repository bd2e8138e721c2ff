"""Meanings of whole markings, their order, and the errors for what means nothing."""

from __future__ import annotations

import subprocess
import sys
from datetime import date

import pytest

from lidoff.errors import ImpossibleValue, UnknownName
from lidoff.markings import Meaning, decode, describe


def kinds(text: str) -> list[str]:
    return [meaning.what for meaning in decode(text)]


def values(text: str) -> list[str]:
    return [str(meaning.value) for meaning in decode(text)]


def first(text: str, what: str | None = None) -> Meaning:
    return decode(text, what=what)[0]


def fact(meaning: Meaning, name: str) -> str:
    (found,) = [fact for fact in meaning.facts if fact.name == name]
    return " ".join(filter(None, (str(found.value) if found.value else "", found.text)))


# --- ambiguity


def test_104_is_a_resistor_or_a_capacitor_or_an_inductor() -> None:
    assert [(meaning.what, str(meaning.value)) for meaning in decode("104")] == [
        ("resistor", "100 kΩ"),
        ("capacitor", "100 nF"),
        ("inductor", "100 mH"),
    ]


def test_knowing_the_part_settles_104() -> None:
    assert [(m.what, str(m.value)) for m in decode("104", what="capacitor")] == [("capacitor", "100 nF")]


def test_47k_may_be_kilohms_or_picofarads() -> None:
    assert values("47K") == ["47 kΩ", "47 pF"]


def test_2512_may_be_a_size_a_date_or_a_resistor() -> None:
    assert {"chip size", "date", "resistor"} == set(kinds("2512"))


def test_0603_may_be_inch_or_metric() -> None:
    assert [meaning.says for meaning in decode("0603", what="chip size")] == [
        "0603 in inch code, 1608 in metric code",
        "0603 in metric code, 0201 in inch code",
    ]


def test_a7_may_be_a_mark_a_capacitor_or_a_date() -> None:
    assert {"diode", "capacitor", "date"} == set(kinds("A7"))


def test_107c_on_a_tantalum_chip_carries_its_voltage() -> None:
    meaning = first("107C")
    assert (str(meaning.value), fact(meaning, "rated voltage")) == ("100 µF", "16 V DC")


# --- colour bands


@pytest.mark.parametrize(
    "text", ["red violet brown gold", "rd vt bn gd", "RDVTBNGD", "Red-Violet-Brown-Gold", "re vi br go"]
)
def test_colours_may_be_written_long_short_or_joined(text: str) -> None:
    assert str(first(text).value) == "270 Ω"


def test_bands_that_read_both_ways_are_offered_both_ways() -> None:
    assert [str(m.value) for m in decode("brown red orange brown", what="resistor")] == ["12 kΩ", "1.3 kΩ"]


def test_a_metal_band_settles_the_direction() -> None:
    assert [str(m.value) for m in decode("red violet brown gold", what="resistor")] == ["270 Ω"]


def test_bands_given_from_the_wrong_end_are_read_from_the_other() -> None:
    meaning = first("gold brown violet red")
    assert (str(meaning.value), meaning.doubts) == ("270 Ω", ("read from the last band to the first",))


def test_six_bands_tell_the_temperature_coefficient() -> None:
    assert fact(first("brown black black red brown red"), "temperature coefficient") == "50 ppm/K"


def test_one_black_band_is_a_zero_ohm_link() -> None:
    assert str(first("black").value) == "0 Ω"


def test_an_unknown_colour_is_named_with_the_nearest() -> None:
    with pytest.raises(UnknownName, match=r"'redd' .* is no colour of the code; did you mean 'red'\?"):
        decode("redd violet brown gold")


def test_a_short_form_of_two_colours_is_refused() -> None:
    with pytest.raises(
        ImpossibleValue, match=r"'bl' .* may be black or blue; write bk for black or bu for blue"
    ):
        decode("bl rd gd")


def test_bands_that_read_from_neither_end_say_which_band_is_wrong() -> None:
    with pytest.raises(
        ImpossibleValue, match=r"(?s)can't be read from either end.*band 1, gold, can't be a digit"
    ):
        decode("gold red gold")


def test_two_bands_are_too_few() -> None:
    with pytest.raises(
        ImpossibleValue, match="2 colour bands make no value; a resistor has three to six bands"
    ):
        decode("red violet")


# --- resistors


@pytest.mark.parametrize(
    ("text", "value"), [("R047", "47 mΩ"), ("4R7", "4.7 Ω"), ("0R0", "0 Ω"), ("000", "0 Ω"), ("0", "0 Ω")]
)
def test_small_values_and_links(text: str, value: str) -> None:
    assert value == str(first(text, "resistor").value)


def test_a_tolerance_letter_behind_a_letter_code_sets_limits() -> None:
    limits = first("4K7J").limits
    assert limits is not None
    assert (limits.low, limits.high, limits.printed) == (4465.0, 4935.0, "±5 %")


@pytest.mark.parametrize(
    ("text", "value"), [("4.7k", "4.7 kΩ"), ("0.47Ω", "470 mΩ"), ("100 ohm", "100 Ω"), ("1.5MΩ", "1.5 MΩ")]
)
def test_a_resistance_may_be_printed_plainly(text: str, value: str) -> None:
    assert [(meaning.what, str(meaning.value)) for meaning in decode(text)] == [("resistor", value)]


def test_a_power_resistor_tells_its_power() -> None:
    meaning = first("5W 0R47 J")
    assert (str(meaning.value), fact(meaning, "rated power")) == ("470 mΩ", "5 W")


def test_an_eia96_number_beyond_the_table_is_refused() -> None:
    with pytest.raises(ImpossibleValue, match="98 is no EIA-96 number; the numbers run from 01 to 96"):
        decode("98A")


# --- preferred numbers


def test_a_value_off_the_series_is_marked_doubtful() -> None:
    assert "1.7 MΩ is in no E series (IEC 60063)" in first("175", "resistor").doubts


def test_the_coarsest_series_is_named() -> None:
    assert [first(text, "resistor").series for text in ("472", "562", "512", "4992")] == [
        "E3",
        "E12",
        "E24",
        "E96",
    ]


def test_off_series_values_rank_below_preferred_ones() -> None:
    assert first("175", "resistor").plausibility < first("473", "resistor").plausibility


def test_low_off_series_resistors_are_excused_as_current_sense_parts() -> None:
    assert any("current-sense" in doubt for doubt in first("R005", "resistor").doubts)


# --- capacitors


def test_a_voltage_code_before_the_digits_is_read() -> None:
    meaning = first("2A104J")
    assert (
        str(meaning.value),
        fact(meaning, "rated voltage"),
        meaning.limits.printed if meaning.limits else "",
    ) == ("100 nF", "100 V DC", "±5 %")


def test_a_film_capacitor_with_its_voltage_in_one_word() -> None:
    meaning = first("100nJ63")
    assert (str(meaning.value), fact(meaning, "rated voltage")) == ("100 nF", "63 V")


@pytest.mark.parametrize("text", ["220µF 25V", "220uF25V", "25V 220 µF", "220 μF  25 V", "220MFD 25V"])
def test_an_electrolytic_print_in_any_order(text: str) -> None:
    meaning = first(text)
    assert (str(meaning.value), fact(meaning, "rated voltage")) == ("220 µF", "25 V")


def test_a_can_with_bare_numbers_is_in_microfarads() -> None:
    assert str(first("47 16V").value) == "47 µF"


def test_a_film_capacitor_with_a_bare_decimal_is_in_microfarads() -> None:
    assert str(first("0.22 400V").value) == "220 nF"


def test_the_farad_is_no_tolerance() -> None:
    assert [meaning.limits for meaning in decode("100nF")] == [None]


def test_large_capacitors_are_told_in_microfarads() -> None:
    assert describe(first("2200µF 10V ±20%")).startswith("Capacitor, 2200 µF, ±20 % (1760 µF to 2640 µF)")


def test_a_mains_capacitor_tells_its_class_voltage_and_film() -> None:
    meaning = first("MKP 0.1µF 275V~ X2 40/100/21 ±10%")
    assert (
        fact(meaning, "rated voltage"),
        fact(meaning, "dielectric"),
        fact(meaning, "climatic category"),
    ) == ("275 V AC", "metallised polypropylene film", "−40 °C to 100 °C, 21 days of damp heat")


def test_words_that_mean_nothing_to_the_reader_are_named() -> None:
    assert first("ACME 220µF 25V").doubts == ("not read: ACME",)


def test_a_small_capacitors_letter_is_in_picofarads() -> None:
    limits = first("4p7C").limits
    assert limits is not None
    assert limits.printed == "±0.25 pF"


@pytest.mark.parametrize(
    ("text", "expected"),
    [
        ("X7R", "±15 % over that range"),
        ("Y5V", "+22 % −82 % over that range"),
        ("X5R", "±15 % over that range"),
    ],
)
def test_a_dielectric_code_tells_its_change(text: str, expected: str) -> None:
    assert expected == fact(first(text), "change of capacitance")


@pytest.mark.parametrize("text", ["C0G", "NP0", "NPO", "c0g"])
def test_class_1_dielectrics_hardly_drift(text: str) -> None:
    assert fact(first(text), "temperature drift") == "0 ± 30 ppm/K (class 1, NP0)"


def test_x1y2_names_both_classes() -> None:
    assert first("X1/Y2").says == "X1 and Y2"


def test_safety_classes_are_flagged_as_from_memory() -> None:
    assert first("X2").from_memory


# --- inductors, wire, dates, temperatures, Zener diodes


@pytest.mark.parametrize(
    ("text", "value"), [("100", "10 µH"), ("4R7", "4.7 µH"), ("R47", "470 nH"), ("6N8", "6.8 nH")]
)
def test_inductor_codes_are_in_microhenries(text: str, value: str) -> None:
    assert value == str(first(text, "inductor").value)


@pytest.mark.parametrize("text", ["24AWG", "AWG24", "24 AWG", "AWG #24", "awg 24"])
def test_a_gauge_tells_the_diameter(text: str) -> None:
    assert fact(first(text), "diameter of a solid conductor") == "510.6 µm"


@pytest.mark.parametrize("text", ["0000AWG", "4/0 AWG"])
def test_large_gauges_are_written_with_zeros(text: str) -> None:
    assert fact(first(text), "diameter of a solid conductor") == "11.68 mm"


def test_a_gauge_beyond_use_is_refused() -> None:
    with pytest.raises(ImpossibleValue, match="AWG 77 is thinner than any wire in use"):
        decode("AWG 77")


def test_a_date_code_tells_week_and_year() -> None:
    assert first("2214", "date").says == "week 14 of 2022"


def test_a_date_to_come_ranks_last_and_says_so() -> None:
    last = decode("3216", today=date(2026, 11, 28))[-1]
    assert ("date", "week 16 of 2032") == (last.what, last.says)
    assert "that date has not come yet" in last.doubts


def test_a_date_of_this_week_has_come() -> None:
    assert "date" == decode("2648", today=date(2026, 11, 28))[0].what
    assert "chip size" == decode("3216", today=date(2026, 11, 28))[0].what


def test_week_60_is_no_date() -> None:
    assert "date" not in kinds("2260")


def test_an_old_date_is_of_the_last_century() -> None:
    assert first("8752", "date").says == "week 52 of 1987"


def test_a_class_of_insulation_tells_its_temperature() -> None:
    assert str(first("CLASS B").value) == "130 °C"


def test_an_unknown_class_of_insulation_is_refused() -> None:
    with pytest.raises(ImpossibleValue, match=r"names no thermal class of insulation; known: Y \(90 °C\)"):
        decode("CLASS Q")


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("BZX55C5V1", "5.1 V"),
        ("BZX84-C3V3", "3.3 V"),
        ("1N4728A", "3.3 V"),
        ("1N4764A", "100 V"),
        ("1N5231B", "5.1 V"),
        ("MMSZ5245B", "15 V"),
        ("1N5281B", "200 V"),
        ("5V1", "5.1 V"),
        ("BZX84C5V1LT1G", "5.1 V"),
        ("BZT52C12", "12 V"),
    ],
)
def test_zener_numbers_tell_the_voltage(text: str, value: str) -> None:
    assert ("zener diode", value) == (first(text).what, str(first(text).value))


def test_a_number_outside_the_registered_zeners_is_refused() -> None:
    with pytest.raises(ImpossibleValue, match="this series runs from 4728 to 4764"):
        decode("1N4790")


# --- diodes, protection, supplies, cells, cables


@pytest.mark.parametrize(
    ("text", "says", "volts", "amperes"),
    [
        ("1N4007", "rectifier", "1 kV", "1 A"),
        ("1N5404", "rectifier", "400 V", "3 A"),
        ("1N5819", "Schottky diode", "40 V", "1 A"),
        ("FR107", "fast rectifier", "1 kV", "1 A"),
        ("UF4004", "fast rectifier", "400 V", "1 A"),
        ("SS34", "Schottky diode", "40 V", "3 A"),
        ("SS110", "Schottky diode", "100 V", "1 A"),
        ("SR160", "Schottky diode", "60 V", "1 A"),
        ("MBR0520", "Schottky diode", "20 V", "500 mA"),
        ("MBR1045", "Schottky diode", "45 V", "10 A"),
        ("MBR20100CT", "Schottky diode", "100 V", "20 A"),
        ("ES1J", "very fast rectifier", "600 V", "1 A"),
        ("MB6S", "bridge rectifier", "600 V", "500 mA"),
        ("DB107", "bridge rectifier", "1 kV", "1 A"),
        ("KBPC3510", "bridge rectifier", "1 kV", "35 A"),
        ("GBU806", "bridge rectifier", "600 V", "8 A"),
    ],
)
def test_diode_numbers_tell_voltage_and_current(text: str, says: str, volts: str, amperes: str) -> None:
    meaning = first(text, "diode")
    assert (
        meaning.says,
        fact(meaning, "repetitive reverse voltage"),
        fact(meaning, "average forward current"),
    ) == (
        says,
        volts,
        amperes,
    )


def test_a_stand_off_voltage_is_told_from_a_breakdown_voltage() -> None:
    assert "stand-off" in first("SMBJ5.0A").how
    assert "breakdown" in first("P6KE6.8A").how


def test_a_mains_fuse_tells_speed_and_breaking_capacity() -> None:
    meaning = first("T3.15AH250V")
    assert (str(meaning.value), fact(meaning, "characteristic"), fact(meaning, "breaking capacity")) == (
        "3.15 A",
        "time lag",
        "high: 1500 A",
    )


def test_a_thermal_link_tells_its_temperature() -> None:
    assert str(first("TF 130°C 10A 250V").value) == "130 °C"


@pytest.mark.parametrize("text", ["10D471K", "471KD10", "HEL-10D471K", "FNR-10K471"])
def test_a_varistor_code_may_have_its_disc_first_or_last(text: str) -> None:
    meaning = first(text)
    assert (str(meaning.value), fact(meaning, "disc diameter")) == ("470 V", "10 mm")


def test_an_inrush_thermistor_tells_its_cold_resistance() -> None:
    meaning = first("5D-9")
    assert (meaning.what, str(meaning.value)) == ("thermistor", "5 Ω")


@pytest.mark.parametrize(
    ("text", "volts"),
    [
        ("7805", "5 V"),
        ("L7812CV", "12 V"),
        ("79L12", "−12 V"),
        ("AMS1117-3.3", "3.3 V"),
        ("HT7533-1", "3.3 V"),
        ("XC6206P332MR", "3.3 V"),
    ],
)
def test_regulator_numbers_tell_the_voltage(text: str, volts: str) -> None:
    assert str(first(text, "voltage regulator").value) == volts


def test_7805_may_also_be_a_resistor_or_a_date() -> None:
    assert kinds("7805") == ["voltage regulator", "date", "resistor"]


def test_a_cell_tells_size_and_printed_capacity() -> None:
    meaning = first("INR18650 2600mAh 3.6V")
    assert (fact(meaning, "diameter"), fact(meaning, "height"), fact(meaning, "capacity")) == (
        "18 mm",
        "65 mm",
        "2.6 Ah",
    )


def test_a_coin_cell_tells_its_height_in_tenths() -> None:
    assert fact(first("CR2032"), "height") == "3.2 mm"


def test_a_pouch_cell_tells_its_three_sides() -> None:
    meaning = first("503040")
    assert [fact(meaning, name) for name in ("thickness", "width", "length")] == ["5 mm", "30 mm", "40 mm"]


def test_a_harmonised_cable_tells_voltage_cores_and_area() -> None:
    meaning = first("H05VV-F 3G1.5mm²")
    assert (
        fact(meaning, "rated voltage, to earth and between cores"),
        fact(meaning, "cores"),
        fact(meaning, "area of a core"),
    ) == ("300/500 V", "3, one of them the protective conductor", "1.5 mm²")


def test_a_potentiometer_tells_its_taper() -> None:
    meaning = first("B10K")
    assert (meaning.what, str(meaning.value), fact(meaning, "taper")) == ("potentiometer", "10 kΩ", "linear")


@pytest.mark.parametrize(
    ("text", "shown"), [("12.000", "12 MHz"), ("32.768", "32.768 kHz"), ("16MHz", "16 MHz")]
)
def test_a_crystal_tells_its_frequency_to_the_last_digit(text: str, shown: str) -> None:
    assert describe(first(text)).startswith(f"Crystal, {shown},")


def test_an_optocoupler_tells_its_rank_and_proves_no_insulation() -> None:
    meaning = first("PC817C")
    assert fact(meaning, "current transfer ratio") == "200 % to 400 % at 5 mA"
    assert "the print proves no insulation" in meaning.doubts[0]


def test_a_usual_dielectric_ranks_above_a_diode_and_a_rare_one_below() -> None:
    assert first("X7R").what == "dielectric"
    assert first("S1M").what == "diode"


# --- errors


def test_what_no_decoder_reads_is_said_plainly() -> None:
    with pytest.raises(UnknownName, match="no decoder reads 'zzz'; mind O and 0"):
        decode("zzz")


def test_an_unknown_kind_is_said_with_the_known_ones() -> None:
    with pytest.raises(UnknownName, match="no decoder speaks of 'resistro'; did you mean 'resistor'"):
        decode("104", what="resistro")


def test_a_marking_of_another_kind_says_which() -> None:
    with pytest.raises(ImpossibleValue, match="'4n7' does not read as resistor; it reads as capacitor"):
        decode("4n7", what="resistor")


def test_an_empty_marking_is_refused() -> None:
    with pytest.raises(ImpossibleValue, match="the marking is empty; type what is printed on the part"):
        decode("  ")


def test_a_pasted_page_is_refused() -> None:
    with pytest.raises(
        ImpossibleValue, match=r"121 characters long, beginning 'xxxx.*at most 120 characters"
    ):
        decode("x" * 121)


# --- sentence


def test_a_meaning_is_one_plain_sentence() -> None:
    expected = (
        "Resistor, 4.7 kΩ, ±5 % (4.465 kΩ to 4.935 kΩ), from the letter-and-digit resistor code (4.7 × 10³ Ω, "
        "K marks the decimal point, J is the tolerance); in the E3 series; source: IEC 60062, letter and digit code "
        "for resistance, from memory."
    )
    assert expected == describe(first("4K7J"))


def test_doubts_stand_in_the_sentence() -> None:
    assert "doubt: 1.7 MΩ is in no E series (IEC 60063)" in describe(first("175", "resistor"))


def test_importing_the_room_loads_no_decoder_and_no_numpy() -> None:
    code = (
        "import sys, lidoff.markings; "
        "print([name for name in sys.modules if name in ('numpy', 'tomllib') or 'decoders' in name])"
    )
    shown = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert shown.stdout == "[]\n"


# --- bare numbers on films, discs and glass bodies


@pytest.mark.parametrize(
    ("text", "value"),
    [
        ("0.1", "100 nF"),
        (".1", "100 nF"),
        ("0.22", "220 nF"),
        (".22J", "220 nF"),
        ("0.047", "47 nF"),
        ("0.0047K", "4.7 nF"),
        ("47", "47 pF"),
    ],
)
def test_a_bare_number_leads_with_a_capacitor(text: str, value: str) -> None:
    assert ("capacitor", value) == (first(text).what, str(first(text).value))


def test_a_letter_and_a_voltage_behind_a_bare_number_are_read() -> None:
    meaning = first(".1K250")
    assert meaning.limits is not None
    assert ("±10 %", "250 V") == (meaning.limits.printed, fact(meaning, "rated voltage"))


def test_a_crystal_with_three_decimals_still_leads() -> None:
    assert "crystal" == first("3.579").what


@pytest.mark.parametrize("text", ["4148", "41 48"])
def test_the_digits_on_a_glass_body_name_the_diode(text: str) -> None:
    assert ("diode", "switching diode 1N4148") == (first(text).what, first(text).says)


@pytest.mark.parametrize(
    ("text", "read"),
    [
        ("472 50V", ["4.7 nF", "472 µF"]),
        ("472 1kV", ["4.7 nF", "472 µF"]),
        ("221 1kV", ["220 pF", "221 µF"]),
        ("470 50V", ["470 µF", "47 pF"]),
        ("100 16V", ["100 µF", "10 pF"]),
        ("104 50V", ["100 nF"]),
        ("47 16V", ["47 µF"]),
    ],
)
def test_three_digits_beside_a_voltage_may_be_a_code_or_microfarads(text: str, read: list[str]) -> None:
    assert read == values(text)
