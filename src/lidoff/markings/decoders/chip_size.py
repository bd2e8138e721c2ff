"""Size codes of chip parts, in hundredths of an inch or tenths of a millimetre, and of LED packages."""

from __future__ import annotations

import re
from dataclasses import dataclass

from lidoff.markings.decoder import Decoder
from lidoff.markings.meaning import Fact, Reading
from lidoff.quantities import Quantity


@dataclass(frozen=True, slots=True, kw_only=True)
class _Size:
    inch: str
    metric: str
    length_mm: float
    width_mm: float
    power_w: float | None = None  # usual rating of a thick-film resistor at 70 °C; makers' series differ


# Codes and sizes from memory; usual ratings read in a public table.
_SIZES = (
    _Size(inch="008004", metric="0201", length_mm=0.25, width_mm=0.125),
    _Size(inch="01005", metric="0402", length_mm=0.4, width_mm=0.2, power_w=0.031),
    _Size(inch="0201", metric="0603", length_mm=0.6, width_mm=0.3, power_w=0.05),
    _Size(inch="0402", metric="1005", length_mm=1.0, width_mm=0.5, power_w=0.062),
    _Size(inch="0603", metric="1608", length_mm=1.6, width_mm=0.8, power_w=0.1),
    _Size(inch="0805", metric="2012", length_mm=2.0, width_mm=1.25, power_w=0.125),
    _Size(inch="1206", metric="3216", length_mm=3.2, width_mm=1.6, power_w=0.25),
    _Size(inch="1210", metric="3225", length_mm=3.2, width_mm=2.5, power_w=0.5),
    _Size(inch="1812", metric="4532", length_mm=4.5, width_mm=3.2, power_w=0.75),
    _Size(inch="2010", metric="5025", length_mm=5.0, width_mm=2.5, power_w=0.75),
    _Size(inch="2512", metric="6332", length_mm=6.3, width_mm=3.2, power_w=1.0),
)

# LED packages are named by their outline in tenths of a millimetre (common practice, no source).
_LED_PACKAGES = {
    "2835": (3.5, 2.8), "3014": (3.0, 1.4), "3528": (3.5, 2.8), "4014": (4.0, 1.4),
    "5050": (5.0, 5.0), "5630": (5.6, 3.0), "5730": (5.7, 3.0), "7020": (7.0, 2.0),
}  # fmt: skip

_CODE = re.compile(r"(?P<code>\d{4,6}) ?(?P<system>inch|in|imperial|metric|mm|M)?", re.ASCII | re.IGNORECASE)


def _read(text: str) -> tuple[Reading, ...]:
    match = _CODE.fullmatch(text)
    if match is None:
        return ()
    code, system = match["code"], (match["system"] or "").lower()
    readings = [_reading(size, "inch", 0.75) for size in _SIZES if size.inch == code and system[:1] != "m"]
    readings += [
        _reading(size, "metric", 0.75 if system[:1] == "m" else 0.35)
        for size in _SIZES
        if size.metric == code and system[:1] != "i"
    ]
    return tuple(readings)


def _reading(size: _Size, system: str, plausibility: float) -> Reading:
    other = f"{size.metric} in metric code" if system == "inch" else f"{size.inch} in inch code"
    code = size.inch if system == "inch" else size.metric
    facts = [_millimetres("length", size.length_mm), _millimetres("width", size.width_mm)]
    if size.power_w is not None:
        facts.append(
            Fact(
                name="rated power as a resistor",
                value=Quantity(size.power_w, "W"),
                text="for thick film at 70 °C, makers' series differ",
                typical=True,
            )
        )
    unit = "hundredths of an inch" if system == "inch" else "tenths of a millimetre"
    return Reading(
        what="chip size",
        says=f"{code} in {system} code, {other}",
        how=f"length and width in {unit}, rounded",
        plausibility=plausibility,
        facts=tuple(facts),
    )


def _millimetres(name: str, millimetres: float) -> Fact:
    return Fact(name=name, value=Quantity(round(millimetres * 1e-3, 9), "m"))


def _led(text: str) -> tuple[Reading, ...]:
    outline = _LED_PACKAGES.get(text.upper().removeprefix("SMD").strip())
    if outline is None:
        return ()
    return (
        Reading(
            what="LED package",
            says=f"{outline[0]:g} mm × {outline[1]:g} mm",
            how="length and width in tenths of a millimetre",
            plausibility=0.5,
            facts=(_millimetres("length", outline[0]), _millimetres("width", outline[1])),
        ),
    )


MEMBERS = (
    Decoder(
        name="chip_size",
        title="size code of a chip part",
        about=("chip size",),
        source="EIA and metric size codes; usual power ratings read in a public table",
        from_memory=True,
        example="0402",
        read=_read,
    ),
    Decoder(
        name="led_package",
        title="size code of an LED package",
        about=("LED package",),
        source="common practice, no source",
        from_memory=True,
        example="2835",
        read=_led,
    ),
)
