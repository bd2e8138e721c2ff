"""The table of units, as data: symbols, words, sizes and prefixes, and how each unit is shown to people.

A quantity is always kept in one of the symbols of the table; every other way to write it is a spelling with a factor.
Factors are decimal text, so that "100 nF" becomes the float nearest to 1e-7 and not the product of two rounded ones.
"""

from __future__ import annotations

from lidoff.quantities.unit import Other, Unit

__all__ = ["UNITS"]

PI_OVER_180 = "0.017453292519943295"  # one degree in radians, π/180 to double precision
RPM_IN_RAD_PER_S = "0.10471975511965978"  # 2π/60 to double precision

# Factors follow the international definitions (inch 25.4 mm, standard gravity 9.80665 m/s², 1 bar = 100 kPa); those of
# psi and cubic foot per minute follow from them.
UNITS: tuple[Unit, ...] = (
    # --- electricity
    Unit(symbol="V", dimension="voltage", prefixes="fpnµmkMG", words="volt volts VDC VAC", bare_prefix=True),
    Unit(
        symbol="A", dimension="current", prefixes="fpnµmk", words="ampere amperes amp amps", bare_prefix=True
    ),
    Unit(
        symbol="Ω",
        dimension="resistance",
        prefixes="pnµmkMGT",
        words="ohm ohms",
        others=(Other("kilohm kilohms", "1e3"), Other("megohm megohms", "1e6"), Other("V/A", "1", "mk")),
        loose="R",
        bare_prefix=True,
    ),
    Unit(
        symbol="S",
        dimension="conductance",
        prefixes="fpnµmkM",
        words="siemens",
        others=(Other("A/V", "1", "nµm"), Other("1/Ω", "1")),
    ),
    Unit(symbol="F", dimension="capacitance", prefixes="fpnµm", words="farad farads", bare_prefix=True),
    Unit(symbol="H", dimension="inductance", prefixes="pnµm", words="henry henries henrys", bare_prefix=True),
    Unit(symbol="W", dimension="power", prefixes="fpnµmkMG", words="watt watts", bare_prefix=True),
    Unit(symbol="VA", dimension="apparent power", prefixes="mkM", words="voltampere voltamperes"),
    Unit(
        symbol="J",
        dimension="energy",
        prefixes="fpnµmkMG",
        words="joule joules",
        others=(Other("Ws", "1", "µmk"),),
    ),
    Unit(
        symbol="Wh",
        dimension="energy",
        size="3600",
        prefixes="µmk",
        words="watthour watthours watt-hour watt-hours",
        label_capitals=True,
    ),
    Unit(
        symbol="C",
        dimension="charge",
        prefixes="fpnµmk",
        words="coulomb coulombs",
        others=(Other("As", "1", "nµm"),),
    ),
    Unit(
        symbol="Ah",
        dimension="charge",
        size="3600",
        prefixes="nµmk",
        words="amperehour amperehours ampere-hour ampere-hours amp-hour amp-hours",
        label_capitals=True,
    ),
    Unit(symbol="Hz", dimension="frequency", prefixes="nµmkMGT", words="hertz", bare_prefix=True),
    Unit(
        symbol="V/s",
        dimension="rate of change of voltage",
        prefixes="µmkMG",
        others=(Other("V/ms", "1e3", "mk"), Other("V/µs V/us", "1e6", "mk"), Other("V/ns", "1e9")),
    ),
    Unit(
        symbol="A/s",
        dimension="rate of change of current",
        prefixes="µmkMG",
        others=(Other("A/ms", "1e3", "mk"), Other("A/µs A/us", "1e6", "mk"), Other("A/ns", "1e9")),
    ),
    Unit(
        symbol="Ω·m",
        dimension="resistivity",
        prefixes="nµmkMG",
        words="ohm·m ohm·metre",
        others=(Other("Ω·cm ohm·cm", "1e-2", "µmkMG"), Other("Ω·mm²/m", "1e-6")),
    ),
    Unit(
        symbol="Ω/m",
        dimension="resistance per length",
        prefixes="µmkMG",
        words="ohm/m",
        others=(Other("Ω/km ohm/km", "1e-3", "m"), Other("Ω/cm", "1e2", "m"), Other("Ω/mm", "1e3", "m")),
    ),
    Unit(
        symbol="V/m",
        dimension="electric field",
        prefixes="µmkMG",
        others=(Other("V/cm", "1e2", "mk"), Other("V/mm", "1e3", "mk"), Other("V/µm", "1e6")),
    ),
    Unit(
        symbol="A/m²",
        dimension="current density",
        prefixes="pnµmkMG",
        others=(Other("A/mm²", "1e6", "m"), Other("A/cm²", "1e4", "nµm")),
    ),
    Unit(symbol="A/V²", dimension="transconductance parameter", prefixes="pnµmk"),
    Unit(
        symbol="1/V",
        dimension="relative change per volt",
        others=(Other("/V", "1"), Other("%/V", "0.01"), Other("ppm/V", "1e-6")),
        shown=(("ppm/V", 0.0), ("%/V", 1e-3), ("1/V", 1.0)),
    ),
    Unit(
        symbol="V·s",
        dimension="magnetic flux",
        prefixes="nµmk",
        words="weber Wb",
        others=(Other("N·m/A", "1", "µm"),),
    ),
    Unit(symbol="T", dimension="magnetic flux density", prefixes="pnµm", words="tesla"),
    Unit(symbol="A²·s", dimension="melting integral", prefixes="µmk"),
    # --- time, space, mass
    Unit(
        symbol="s",
        dimension="time",
        prefixes="fpnµm",
        words="second seconds sec secs",
        others=(
            Other("min mins minute minutes", "60"),
            Other("h hr hrs hour hours", "3600"),
            Other("d day days", "86400"),
        ),
        shown=(
            ("fs", 0.0),
            ("ps", 1e-12),
            ("ns", 1e-9),
            ("µs", 1e-6),
            ("ms", 1e-3),
            ("s", 1.0),
            ("min", 120.0),
            ("h", 7200.0),
            ("d", 172800.0),
        ),
    ),
    Unit(
        symbol="m",
        dimension="length",
        prefixes="fpnµmk",
        words="metre metres meter meters",
        others=(
            Other("cm", "1e-2"),
            Other("in inch inches", "0.0254"),
            Other("mil mils thou", "0.0000254"),
            Other("ft foot feet", "0.3048"),
        ),
    ),
    Unit(
        symbol="m²",
        dimension="area",
        others=(
            Other("cm²", "1e-4"),
            Other("mm²", "1e-6"),
            Other("µm² um²", "1e-12"),
            Other("in²", "0.00064516"),
        ),
        shown=(("µm²", 0.0), ("mm²", 1e-9), ("cm²", 1e-3), ("m²", 0.1)),
    ),
    Unit(
        symbol="m³",
        dimension="volume",
        others=(
            Other("l L litre litres liter liters", "1e-3", "µm"),
            Other("cm³ cc", "1e-6"),
            Other("mm³", "1e-9"),
        ),
        shown=(("mm³", 0.0), ("cm³", 1e-7), ("l", 1e-3), ("m³", 1.0)),
    ),
    Unit(
        symbol="kg",
        dimension="mass",
        words="kilogram kilograms",
        others=(Other("g gram grams", "1e-3", "pnµm"), Other("t tonne tonnes", "1e3")),
        shown=(("pg", 0.0), ("ng", 1e-12), ("µg", 1e-9), ("mg", 1e-6), ("g", 1e-3), ("kg", 1.0), ("t", 1e4)),
    ),
    Unit(
        symbol="m/s", dimension="speed", prefixes="nµmk", others=(Other("km/h kph", "0.27777777777777779"),)
    ),
    Unit(
        symbol="m³/s",
        dimension="volume flow",
        others=(
            Other("m³/h", "0.00027777777777777778"),
            Other("m³/min", "0.016666666666666667"),
            Other("l/s L/s", "1e-3", "µm"),
            Other("l/min L/min lpm", "0.000016666666666666667", "µm"),
            Other("l/h L/h", "0.00000027777777777777778", "m"),
            Other("cfm", "0.0004719474432"),
        ),
        shown=(("µl/s", 0.0), ("ml/s", 1e-6), ("l/s", 1e-3), ("m³/s", 1.0)),
    ),
    # --- mechanics and pressure
    Unit(symbol="N", dimension="force", prefixes="nµmkM", words="newton newtons"),
    Unit(
        symbol="Pa",
        dimension="pressure",
        prefixes="µmkMG",
        words="pascal pascals",
        others=(
            Other("bar", "1e5", "µm"),
            Other("hPa", "100"),
            Other("psi", "6894.757293168361"),
            Other("mmHg", "133.322387415"),
        ),
    ),
    Unit(
        symbol="N·m",
        dimension="torque",
        prefixes="nµmkM",
        others=(
            Other("N·cm", "0.01", "m"),
            Other("N·mm", "0.001"),
            Other("kgf·cm kg·cm", "0.0980665"),
            Other("gf·cm g·cm", "0.0000980665"),
        ),
    ),
    Unit(symbol="N·m·s/rad", dimension="rotational friction", prefixes="pnµm", words="N·m·s"),
    Unit(symbol="V·s/rad", dimension="back-EMF constant of a motor", prefixes="µm"),
    Unit(
        symbol="kg·m²",
        dimension="moment of inertia",
        others=(Other("g·cm²", "1e-7", "m"), Other("kg·cm²", "1e-4")),
    ),
    Unit(
        symbol="rad/s",
        dimension="speed of rotation",
        prefixes="µmk",
        others=(Other("rpm r/min rev/min", RPM_IN_RAD_PER_S),),
        shown=(("rpm", 0.0),),
    ),
    Unit(
        symbol="rad",
        dimension="angle",
        prefixes="nµm",
        words="radian radians",
        others=(Other("° deg degree degrees", PI_OVER_180),),
        shown=(("°", 0.0),),
    ),
    Unit(symbol="sr", dimension="solid angle", prefixes="µm", words="steradian steradians"),
    # --- heat
    Unit(
        symbol="K",
        dimension="temperature difference or absolute temperature",
        prefixes="nµm",
        words="kelvin kelvins",
    ),
    Unit(
        symbol="°C",
        dimension="temperature on the Celsius scale",
        words="degC celsius degreesC degreeC deg.C",
        # t/°C = (t/°F − 32)·5/9, so the offset after the factor is −32·5/9.
        others=(Other("°F degF fahrenheit", "0.5555555555555555555556", "", "-17.7777777777777777778"),),
        loose="C",
    ),
    Unit(symbol="K/W", dimension="thermal resistance", prefixes="µmk", words="°C/W degC/W C/W"),
    Unit(symbol="W/K", dimension="thermal conductance", prefixes="nµmk", words="W/°C W/degC"),
    Unit(symbol="J/K", dimension="heat capacity", prefixes="nµmk", words="J/°C J/degC"),
    Unit(symbol="W/(m·K)", dimension="thermal conductivity", prefixes="µmk", words="W/mK W/(m·°C)"),
    Unit(symbol="W/(m²·K)", dimension="heat transfer coefficient", prefixes="µmk", words="W/m²K W/(m²·°C)"),
    Unit(
        symbol="1/K",
        dimension="relative change per kelvin",
        others=(
            Other("/K 1/°C /°C", "1"),
            Other("%/K %/°C %/C", "0.01"),
            Other("ppm/K ppm/°C ppm/C", "1e-6"),
        ),
        shown=(("ppm/K", 0.0), ("%/K", 1e-3), ("1/K", 1.0)),
    ),
    Unit(symbol="V/K", dimension="voltage change per kelvin", prefixes="nµmk", words="V/°C V/C"),
    Unit(symbol="A/K", dimension="current change per kelvin", prefixes="pnµm", words="A/°C A/C"),
    # --- light
    Unit(symbol="lm", dimension="luminous flux", prefixes="µmk", words="lumen lumens"),
    Unit(symbol="lx", dimension="illuminance", prefixes="µmk", words="lux"),
    Unit(symbol="cd", dimension="luminous intensity", prefixes="µmk", words="candela candelas"),
    Unit(symbol="cd/m²", dimension="luminance", prefixes="µmkM", words="nit nits"),
    Unit(symbol="A/lx", dimension="photocurrent per illuminance", prefixes="pnµm"),
    Unit(symbol="cd/lm", dimension="intensity per flux", prefixes="µm"),
    Unit(symbol="lm/W", dimension="luminous efficacy"),
    Unit(
        symbol="W/m²",
        dimension="irradiance",
        prefixes="pnµmkMG",
        others=(Other("W/cm²", "1e4", "pnµmk"), Other("W/mm²", "1e6", "nµm")),
    ),
    Unit(
        symbol="J/m²",
        dimension="radiant exposure",
        prefixes="pnµmkMG",
        others=(Other("J/cm²", "1e4", "pnµmk"),),
    ),
    Unit(symbol="W/sr", dimension="radiant intensity", prefixes="pnµmk"),
    Unit(symbol="W/(m²·sr)", dimension="radiance", prefixes="pnµmkMG", words="W/m²/sr"),
    Unit(symbol="A/W", dimension="responsivity", prefixes="nµm"),
    # --- plain numbers
    Unit(
        symbol="1",
        dimension="ratio",
        others=(
            Other("% percent pct", "0.01"),
            Other("‰", "0.001"),
            Other("ppm", "1e-6"),
            Other("ppb", "1e-9"),
        ),
        shown=(("ppm", 0.0), ("%", 1e-3), ("1", 1.0)),
    ),
    Unit(symbol="dB", dimension="level", words="decibel decibels"),
)
