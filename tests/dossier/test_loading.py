"""What the loader says to unusable input: every fault with file, line and key, all in one pass."""

import os
from pathlib import Path

import pytest
from hypothesis import example, given, settings
from hypothesis import strategies as st

from lidoff.dossier import LARGEST_FILE, dossier_from_text, load_dossier, start_dossier
from lidoff.errors import DossierError
from tests.dossier.build import LAMP, lamp_text


def line_of(text: str, words: str) -> int:
    return text[: text.index(words)].count("\n") + 1


def fault_of(text: str) -> str:
    """Words of the one fault that a text has."""
    with pytest.raises(DossierError) as caught:
        dossier_from_text(text)
    assert not caught.value.faults, str(caught.value)
    return str(caught.value)


def told(*changes: tuple[str, str], more: str = "") -> str:
    return fault_of(lamp_text(*changes, more=more))


def test_a_folder_or_its_file_may_be_named(tmp_path: Path) -> None:
    start_dossier(tmp_path)
    assert load_dossier(tmp_path) == load_dossier(tmp_path / "dossier.toml")


def test_a_missing_folder_is_told_with_the_way_to_begin(tmp_path: Path) -> None:
    with pytest.raises(DossierError, match=r"there is no such file or folder; .*lidoff start FOLDER"):
        load_dossier(tmp_path / "nothing")


def test_a_folder_without_dossier_is_told(tmp_path: Path) -> None:
    with pytest.raises(DossierError, match=r"there is no dossier\.toml here"):
        load_dossier(tmp_path)


def test_ten_megabytes_of_junk_are_refused_unread(tmp_path: Path) -> None:
    (tmp_path / "dossier.toml").write_bytes(os.urandom(1000) * 10_000)
    with pytest.raises(DossierError, match=r"the file has 10\.0 MB, and a dossier has at most 4 MB"):
        load_dossier(tmp_path)


def test_the_largest_junk_that_is_read_is_refused_soon(tmp_path: Path) -> None:
    (tmp_path / "dossier.toml").write_text("[" * (LARGEST_FILE - 1), encoding="utf-8")
    with pytest.raises(DossierError, match=r"dossier\.toml, line 1: "):
        load_dossier(tmp_path)


def test_brackets_without_end_are_refused() -> None:
    assert "nested too deeply" in fault_of("a = " + "[" * 100_000)


def test_bytes_that_are_no_text_are_told_with_their_line(tmp_path: Path) -> None:
    (tmp_path / "dossier.toml").write_bytes(b'[device]\ntitle = "caf\xe9"\n')
    with pytest.raises(
        DossierError, match=r"line 2: byte 22 \(0xe9\) is not UTF-8 text; save the file as UTF-8"
    ):
        load_dossier(tmp_path)


def test_a_byte_order_mark_is_no_fault(tmp_path: Path) -> None:
    (tmp_path / "dossier.toml").write_bytes(b'\xef\xbb\xbf[device]\ntitle = "lamp"\n')
    assert load_dossier(tmp_path).device.title == "lamp"


def test_a_link_in_a_circle_is_told(tmp_path: Path) -> None:
    (tmp_path / "dossier.toml").symlink_to("dossier.toml")
    with pytest.raises(DossierError, match=r"there is no dossier\.toml here|cannot be read"):
        load_dossier(tmp_path)


def test_a_pipe_is_not_waited_for(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "dossier.toml")
    with pytest.raises(DossierError, match="this is not an ordinary file"):
        load_dossier(tmp_path)


BROKEN = [
    ('title = "lamp', "a text is not closed"),
    ("title = lamp", "the value after = cannot be read"),
    ('title "lamp"', "there is no = after the key"),
    ('title = "lamp" lamp', "there is more on the line than one key = value"),
    ("[device", "the header has no closing bracket"),
    ("notes = [1, 2", "a list is not closed"),
    ("set = { a = 1", "a table between { and } is not closed"),
    ("set = { a = 1, a = 2 }", "a stands twice between { and }"),
    (
        "[readings..x]",
        "a name is missing beside a dot or between the brackets: [readings..x]; write the name there",
    ),
    ("[readings.]", "a name is missing beside a dot"),
    ("[readings.\N{VULGAR FRACTION ONE HALF}]", "a name begins with a sign that names cannot have"),
    ("= 1", "neither key = value nor a"),
    ('path = "c:\\dir"', "a backslash stands in a text"),
]


@pytest.mark.parametrize(("line", "words"), BROKEN, ids=[line for line, _ in BROKEN])
def test_broken_toml_is_told_in_plain_words_with_its_line(line: str, words: str) -> None:
    message = fault_of(f"# a remark\n{line}")
    assert message.startswith("dossier.toml, line 2: ")
    assert words in message


def test_two_parts_of_one_name_are_told_at_the_second() -> None:
    text = LAMP + '[parts.R1]  # again\nkind = "resistor"\n'
    assert fault_of(text).startswith(
        f"dossier.toml, line {line_of(text, '# again')}: two entries are called parts.R1"
    )


def test_a_key_given_twice_is_told() -> None:
    assert "a key stands here for the second time: value" in told(
        ('value = "5 V"', 'value = "5 V"\nvalue = "5 V"')
    )


FAULTS = [
    ('kind = "led"', 'kind = "ledd"', "parts.D1.kind: unknown kind 'ledd'; did you mean 'led'?"),
    (
        'kind = "led"',
        'knd = "led"',
        "parts.D1.knd: a part has no kind, but 'knd'; is 'knd' meant to be 'kind'?",
    ),
    (
        "anode =",
        "anod =",
        "parts.D1.pins: D1: a light-emitting diode has no pin 'anod'; its pins are anode, cathode",
    ),
    ('"150 Ω ± 5 %"', '"150"', "parts.R1.value: '150' is a value without unit"),
    (
        '"150 Ω ± 5 %"',
        '"150 V"',
        "parts.R1.value: '150 V' states voltage [V], but resistance [Ω] is expected",
    ),
    ('"150 Ω ± 5 %"', "150", "parts.R1.value: '150' is a value without unit"),
    ('"150 Ω ± 5 %"', "inf", "parts.R1.value: 'inf' does not start with a number"),
    ('"150 Ω ± 5 %"', "nan", "parts.R1.value: 'nan' does not start with a number"),
    ('"150 Ω ± 5 %"', "true", "parts.R1.value: value = true is not a text with a unit"),
    ('"150 Ω ± 5 %"', '"1e999 Ω"', "parts.R1.value: '1e999 Ω' is too large or too small to be held"),
    ('"150 Ω ± 5 %"', '"-150 Ω"', "parts.R1.value: resistance = -150 Ω cannot be; give a finite value > 0 Ω"),
    ('"150 Ω ± 5 %"', '"0 Ω"', "parts.R1.value: resistance = 0 Ω cannot be"),
    (
        "forward_drop",
        "forward_dorp",
        "parts.D1.forward_dorp: D1 (led) has no parameter 'forward_dorp'; did you mean 'forward_drop'?",
    ),
    ("forward_drop", "pakage", "did you mean 'package'?"),
    (
        'voltage = "led_plus"',
        'voltage = "led_pluss"',
        "readings.led.voltage: there is no net 'led_pluss'; did you mean 'led_plus'?",
    ),
    (
        'voltage = "led_plus"',
        'across = "D2"',
        "readings.led.across: there is no part 'D2'; known: D1, J1, R1",
    ),
    (
        'voltage = "led_plus"\nshown = "3.01 V"',
        'current = "D1.gate"\nshown = "3 A ± 1 A"',
        "readings.led.current: D1 has no pin 'gate'",
    ),
    ('voltage = "led_plus"', "", "readings.led: the reading is about nothing; say one thing"),
    (
        'voltage = "led_plus"',
        'voltage = "led_plus"\npower = "D1"',
        "readings.led: the reading is about voltage and power",
    ),
    (
        'shown = "3.01 V"',
        "",
        'readings.led: the reading has neither shown nor from_log; tell what the display showed: shown = "4.40 V"',
    ),
    (
        'shown = "3.01 V"',
        'shown = "3.01 V"\nfrom_log = { log = "run", take = "mean", channels = ["U"] }',
        "readings.led: the reading has both shown and from_log; leave one of the two out",
    ),
    ('shown = "3.01 V"', "shown = []", "readings.led.shown: shown has 0 of at least 1 entries"),
    (
        'shown = "3.01 V"',
        'shown = "3.01 A"',
        "readings.led.shown: '3.01 A' states current [A], but voltage [V] is expected",
    ),
    ('shown = "3.01 V"', 'shown = "7 V"', "readings.led.shown: 7 V lies beyond the range of 'meter'"),
    (
        'instrument = "meter"',
        'instrument = "metre"',
        "readings.led.instrument: there is no instrument 'metre'; did you mean 'meter'?",
    ),
    (
        'situation = "lit"\ninst',
        'situation = "lot"\ninst',
        "readings.led.situation: there is no situation 'lot'; did you mean 'lit'?",
    ),
    ('situation = "lit"\ninst', "inst", "readings.led: the reading 'led' is in no situation"),
    (
        '{ voltage = "5.02 V" }',
        '{ voltag = "5.02 V" }',
        "situations.lit.set.J1.voltag: J1 (dc_supply) has no parameter 'voltag'",
    ),
    ('{ voltage = "5.02 V" }', '{ voltage = "5.02 V ± 1 %" }', "has limits, which a situation does not set"),
    (
        "set = { J1 = { vol",
        "set = { J2 = { vol",
        "situations.lit.set.J2: there is no part 'J2'; known: D1, J1, R1",
    ),
    ('kind = "power_input"', 'kind = "power"', "claims.power.kind: unknown kind of claim 'power'"),
    (
        'value = "1 W"',
        'value = "1 V"',
        "claims.power.value: '1 V' states voltage [V], but power [W] is expected",
    ),
    (
        "from = { power",
        "from = { powr",
        "claims.power.from.powr: a claim of power taken in has no input 'powr'; did you mean 'power'?",
    ),
    ('accuracy = "±(0.5 % + 3)"', 'accuracy = "good"', "instruments.meter.ranges.0"),
    (
        'measures = "voltage dc"',
        'measures = "volts"',
        "instruments.meter.ranges.0.measures: measures = 'volts' is not among the known words",
    ),
    ('title = "lamp"', 'title = ""', "device.title: title is empty; fill it in"),
    ('title = "lamp"', "title = 3", "device.title: title = 3 is not a text"),
    ('[device]\ntitle = "lamp"', "", "the dossier has no device; add [device]"),
]


@pytest.mark.parametrize(("old", "new", "words"), FAULTS, ids=[words[:60] for _, _, words in FAULTS])
def test_a_fault_is_told_with_its_key_and_cure(old: str, new: str, words: str) -> None:
    assert words in told((old, new))


def test_the_line_is_that_of_the_key() -> None:
    text = lamp_text(("150 Ω ± 5 %", "-150 Ω"))
    assert fault_of(text).startswith(f"dossier.toml, line {line_of(text, '-150')}, parts.R1.value: ")


def test_an_unknown_table_suggests_the_nearest() -> None:
    assert "the dossier has no key 'reading'; did you mean 'readings'?" in told(more="[reading.x]\n")


def test_all_faults_are_told_in_one_pass_in_the_order_of_lines() -> None:
    text = lamp_text(("150 Ω", "-150 Ω"), ('"3.01 V"', '"3.01"'), ('kind = "led"', 'kind = "lad"'))
    with pytest.raises(DossierError, match=r"^dossier\.toml: 3 faults") as caught:
        dossier_from_text(text)
    places = [fault.where.split(", ")[2] for fault in caught.value.faults]
    assert ["readings.led.shown", "parts.R1.value", "parts.D1.kind"] == places


def test_a_fault_does_not_draw_others_after_it() -> None:
    # Without the meter's table the reading that names it would be a second fault, which is none of its own.
    assert "instruments.meter.wight" in told(('input_resistance = "10 MΩ"', 'wight = "1 kg"'))


def test_a_part_that_cannot_be_read_does_not_make_its_nets_unknown() -> None:
    assert "parts.D1.pins" in told(('pins = { anode = "led_plus"', "pins = { anode = 3"))


def test_a_file_that_is_no_dossier_is_not_told_in_a_thousand_lines() -> None:
    with pytest.raises(DossierError, match="more than 100 faults, of which these are the first") as caught:
        dossier_from_text("".join(f"key{number} = 1\n" for number in range(5000)))
    assert len(caught.value.faults) == 100


def test_a_table_of_thousands_of_strange_keys_is_refused() -> None:
    keys = "".join(f'key{number} = "a"\n' for number in range(5000))
    with pytest.raises(DossierError, match="more than 100 faults"):
        dossier_from_text(f"[device]\n{keys}")


def test_a_missing_pin_is_left_to_the_analysis() -> None:
    assert dossier_from_text(lamp_text((', cathode = "gnd"', "")))


def test_a_photo_outside_the_folder_is_refused() -> None:
    assert "the photo '../x.jpg' lies outside the folder" in told(more='[[photos]]\nfile = "../x.jpg"\n')


def test_a_value_given_twice_over_is_refused() -> None:
    changed = ('value = "150 Ω ± 5 %"', 'value = "150 Ω"\nresistance = "150 Ω"')
    assert "value and resistance say the same thing" in told(changed)


def test_a_dossier_without_circuit_may_have_readings_in_it() -> None:
    text = '[device]\ntitle = "lamp"\n[readings.v]\nvoltage = "usb_5v"\nshown = "5.0 V"\n'
    assert dossier_from_text(text).readings[0].shown == ("5.0 V",)


def test_invented_may_be_true_or_words() -> None:
    start = '[device]\ntitle = "x"\n'
    assert "invented" in dossier_from_text("invented = true\n" + start).invented
    assert dossier_from_text('invented = "made up"\n' + start).invented == "made up"
    assert dossier_from_text("invented = false\n" + start).invented == ""


def error_of(text: str) -> DossierError | None:
    """Read a text and return the error it makes, if any; no other error may come."""
    try:
        dossier_from_text(text)
    except DossierError as error:
        return error
    return None


LETTERS = st.sampled_from(
    ['"', "[", "]", "{", "}", "=", "\n", "#", "\\", ",", ".", "'", "-", "é", "\x00", "1", "a"]
)


@settings(max_examples=150, deadline=None)
@given(st.lists(st.tuples(st.integers(0, len(LAMP) - 1), st.booleans(), LETTERS), min_size=1, max_size=4))
@example([(LAMP.index("}"), True, "[")])
def test_a_damaged_file_is_read_or_refused_with_a_line_and_never_anything_else(
    damage: list[tuple[int, bool, str]],
) -> None:
    text = LAMP
    for place, replaces, letter in damage:
        text = text[:place] + letter + text[place + replaces :]
    error = error_of(text)
    assert error is None or "line " in str(error)


@settings(max_examples=100, deadline=None)
@given(st.text(max_size=200))
def test_any_text_is_read_or_refused(text: str) -> None:
    with pytest.raises(DossierError):
        dossier_from_text(text)


def test_readings_that_were_taken_together_are_as_many() -> None:
    more = (
        '[readings.amps]\nsituation = "lit"\ncurrent = "D1"\nshown = ["10 mA", "11 mA"]\nread_with = "led"\n'
    )
    assert "'amps' has 2 repeats and 'led' has 1" in told(more=more)


def test_a_reading_taken_together_with_an_unknown_one_is_told() -> None:
    more = (
        '[readings.amps]\nsituation = "lit"\ncurrent = "D1"\nshown = ["10 mA", "11 mA"]\nread_with = "lead"\n'
    )
    assert "there is no reading 'lead'" in told(more=more)
