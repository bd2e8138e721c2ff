"""Claim: the light given out, from a sphere or estimated without one."""

from __future__ import annotations

import math

import numpy as np

from lidoff.evidence.claim_kind import ClaimKind, Example, Role, Way
from lidoff.evidence.claim_roles import as_read

ILLUMINANCE = Role(name="illuminance", unit="lx", title="illuminance on the axis")
DISTANCE = Role(name="distance", unit="m", title="distance from the lamp")
_NO_SPHERE = "without an integrating sphere, from one illuminance"

MEMBERS = (
    ClaimKind(
        name="luminous_flux",
        title="luminous flux",
        unit="lm",
        ways=(
            as_read(Role(name="flux", unit="lm", title="luminous flux")),
            Way(
                inputs=(
                    ILLUMINANCE,
                    DISTANCE,
                    Role(name="beam_angle", unit="rad", title="full angle of the beam"),
                ),
                combine=lambda illuminance, distance, beam_angle: (
                    2.0 * math.pi * (1.0 - np.cos(0.5 * beam_angle)) * illuminance * distance**2
                ),
                written="2π × (1 − cos({beam_angle} ÷ 2)) × {illuminance} × ({distance})²",
                estimate=f"{_NO_SPHERE}: an even beam of that angle and nothing beside it",
            ),
            Way(
                inputs=(ILLUMINANCE, DISTANCE),
                combine=lambda illuminance, distance: math.pi * illuminance * distance**2,
                written="π × {illuminance} × ({distance})²",
                estimate=f"{_NO_SPHERE}: a flat bare lamp that shines as the cosine of the angle",
            ),
            Way(
                inputs=(
                    Role(name="power", unit="W", title="electrical power of the lamp", unsigned=True),
                    Role(name="efficacy", unit="lm/W", title="luminous efficacy of such lamps"),
                ),
                combine=lambda power, efficacy: power * efficacy,
                written="{power} × {efficacy}",
                estimate="from the power and what such lamps give at best",
            ),
        ),
        sense="at least",
        says="the light given out",
        source="flux through the solid angle of a cone; of a cosine source π times the intensity on its axis",
        cautions="No lamp can give more than 683 lm/W, and white LEDs give less than half of that (common practice).",
        examples=(
            Example(
                says="800 lm bulb",
                value="800 lm",
                inputs={"flux": "812 lm ± 8 lm"},
                found="812 lm",
                verdict="borne out",
            ),
            Example(
                says="5000 lumens torch",
                value="5000 lm",
                inputs={
                    "illuminance": "320 lx ± 20 lx",
                    "distance": "1 m ± 0.01 m",
                    "beam_angle": "60° ± 5°",
                },
                # the solid angle of 60° is 2π·(1 − √3/2) = 0.842 sr; times 320 lx·m²
                found="270 lm",
                verdict="not borne out",
            ),
            Example(
                says="200 lm",
                value="200 lm",
                inputs={"illuminance": "40 lx ± 2 lx", "distance": "1 m ± 0.01 m"},
                found="126 lm",  # 40π
                verdict="not borne out",
            ),
            Example(
                says="100000 lumens",
                value="100000 lm",
                inputs={"power": "8 W ± 0.2 W", "efficacy": "120 lm/W ± 60 lm/W"},
                found="1000 lm",
                verdict="not borne out",
            ),
        ),
    ),
)
