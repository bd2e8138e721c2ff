"""The usual cautions about what is inside such gadgets, as a person working on them would be told.

The words are common practice, without a source; local codes and licensed practice go before them.
"""

from __future__ import annotations

from collections.abc import Mapping
from types import MappingProxyType

__all__ = ["CAUTIONS"]

CAUTIONS: Mapping[str, str] = MappingProxyType(
    {
        "mains": (
            "Mains voltage kills. Work on it unplugged, behind a residual-current device and an isolating transformer where "
            "it must be live, with a second person near, and leave mains wiring to those licensed for it where you live."
        ),
        "stored charge": (
            "Capacitors keep their charge after unplugging. Discharge them through a resistor, not a screwdriver, and check "
            "with a meter before touching."
        ),
        "lithium": (
            "A lithium cell burns when it is pierced, shorted, overcharged or heated. Keep it away from what burns, never "
            "leave it charging alone on the bench, and hand it to a collection point, not the bin."
        ),
        "uv": (
            "Ultraviolet light hurts eyes and skin, and is hardly seen. Cover the source or wear rated eye protection; do not "
            "look into it to see whether it works."
        ),
        "laser": (
            "A laser beam, also a reflected one, can blind before you blink, and the printed class may be wrong. Do not look "
            "into it, end the beam on something dull, and follow the local rules for its class."
        ),
        "heat": "Parts may be hot enough to burn skin. Let them cool, and measure before touching.",
        "moving parts": "Motors start without warning. Keep fingers, hair and sleeves away, and disconnect the supply first.",
        "solvent": "Solvents burn and their vapour harms. Work in moving air, away from sparks, with gloves that resist them.",
        "resin": (
            "Cast resin gives off harmful vapour and dust when it is heated, cut or dissolved, and hides what is live. Soften "
            "or mill it in moving air with a rated mask, and stop short of the parts."
        ),
        "mercury": (
            "Lamps may hold mercury. If one breaks, leave and air the room, do not sweep or vacuum, and follow local advice."
        ),
        "dust": "Grinding and sawing make dust that harms lungs. Wear a rated mask and wet or extract the dust.",
    }
)
"""Word in the dossier → what is printed."""
