"""Remedies: diluting a stock, and what its strength means for eyes, skin, fire and water life.

Classes are those of Regulation (EC) No 1272/2008 (CLP) as last read on 2026-11-25: they change, and the label and
safety data sheet of the product in hand go before this table.
"""

from __future__ import annotations

from typing import NamedTuple

from bogwright.physics.elementwise import Number
from bogwright.physics.ranges import within


def stock_needed(stock: Number, product: Number, volume: Number) -> Number:
    """Volume of stock to make up with water to a volume of the product; in the unit of volume.

    stock, product: strengths on the same basis, product not above stock. [%]
    Exact where both are mass per volume. Concentrates are labelled by mass: as 35 % peroxide weighs near 1.13 kg/L
    (from memory), diluting it by volume gives a product about 13 % too strong.
    """
    within(product, 0, stock, "strength of the product", "%")
    return product * volume / stock


class Hazard(NamedTuple):
    """One class of danger and the strengths that carry it. [% by mass]"""

    category: str
    statement: str
    least: float
    below: float
    source: str


class Unclassified(ValueError):
    """An agent whose limits are not known: not the same as harmless."""


# Where a limit was read; what is from memory says so and errs to the careful side
_ANNEX_VI = "CLP Annex VI, index 008-003-00-9, as told in ECHA's registry of intentions"
_PEROXIDE = "GisChem data sheets, hydrogen peroxide solution"
_COPPER = "GisChem data sheet, copper(II) sulphate pentahydrate (ATE 481 mg/kg, M 10 and 1)"
_ETHANOL = "GisChem data sheets, ethanol solutions in water"
_PROPANOL = "Carl Roth safety data sheet, 2-propanol 70 %"
_SULPHUR = "GisChem data sheet, sulphur"
_MEMORY = "; limit from memory of CLP Annex I"
_ALL = 101.0  # the pure substance is within its class

HAZARDS: dict[str, tuple[Hazard, ...]] = {
    # under revision: H301 and H412 are proposed, the opinion was due by 2026-01-11
    "hydrogen-peroxide": (
        Hazard("Ox. Liq. 1", "H271", 70, _ALL, _ANNEX_VI),
        Hazard("Ox. Liq. 2", "H272", 50, 70, _ANNEX_VI),
        Hazard("Ox. Liq. 2", "H272", 20, 50, _PEROXIDE),
        Hazard("Ox. Liq. 3", "H272", 8, 20, _PEROXIDE),
        Hazard("Acute Tox. 4", "H302", 25, _ALL, _PEROXIDE),
        Hazard("Acute Tox. 4", "H332", 30, _ALL, _PEROXIDE),
        Hazard("Skin Corr. 1A", "H314", 70, _ALL, _ANNEX_VI),
        Hazard("Skin Corr. 1B", "H314", 50, 70, _ANNEX_VI),
        Hazard("Skin Irrit. 2", "H315", 35, 50, _ANNEX_VI),
        Hazard("Eye Dam. 1", "H318", 8, _ALL, _PEROXIDE),
        Hazard("Eye Irrit. 2", "H319", 5, 8, _PEROXIDE),
        Hazard("STOT SE 3", "H335", 35, _ALL, "CLP Annex VI, from memory"),
    ),
    # pentahydrate; an inorganic salt, for which 1 % may already damage the eye
    "copper-sulphate": (
        Hazard("Acute Tox. 4", "H302", 24.05, _ALL, _COPPER + _MEMORY),
        Hazard("Eye Dam. 1", "H318", 1, _ALL, _COPPER + _MEMORY),
        Hazard("Aquatic Acute 1", "H400", 2.5, _ALL, _COPPER + _MEMORY),
        Hazard("Aquatic Chronic 1", "H410", 25, _ALL, _COPPER + _MEMORY),
        Hazard("Aquatic Chronic 2", "H411", 2.5, 25, _COPPER + _MEMORY),
        Hazard("Aquatic Chronic 3", "H412", 0.25, 2.5, _COPPER + _MEMORY),
    ),
    # many makers set the limit of H319 at 50 %
    "ethanol": (
        Hazard("Flam. Liq. 2", "H225", 60, _ALL, _ETHANOL),
        Hazard("Flam. Liq. 3", "H226", 0, 60, _ETHANOL),
        Hazard("Eye Irrit. 2", "H319", 10, _ALL, _ETHANOL),
    ),
    # the sheet's classes at 70 % are carried down: where weaker solutions stop being so flammable was not read
    "isopropanol": (
        Hazard("Flam. Liq. 2", "H225", 0, _ALL, _PROPANOL),
        Hazard("Eye Irrit. 2", "H319", 10, _ALL, _PROPANOL + _MEMORY),
        Hazard("STOT SE 3", "H336", 20, _ALL, _PROPANOL + _MEMORY),
    ),
    # H228 is that of the dry dust
    "sulphur": (
        Hazard("Flam. Sol. 2", "H228", 100, _ALL, _SULPHUR),
        Hazard("Skin Irrit. 2", "H315", 10, _ALL, _SULPHUR + _MEMORY),
    ),
}


def hazard_class(agent: str, percent: float) -> tuple[Hazard, ...]:
    """Classes of danger of an agent in water at a strength; none below every limit.

    agent: a key of HAZARDS. percent: by mass, 0 to 100. Sulphur dust is 100 %.
    Raises Unclassified for an agent that HAZARDS does not hold, OutOfRange for a percentage beyond 0 to 100.
    Below every limit is unclassified, not harmless: eyes and open skin are kept from any of these agents.
    """
    within(percent, 0, 100, "strength", "%")
    if agent not in HAZARDS:
        raise Unclassified(f"hazard not predicted: needs the concentration limits of {agent}")
    return tuple(hazard for hazard in HAZARDS[agent] if percent > 0 and hazard.least <= percent < hazard.below)
