"""A plant of a plan in its place: needs, conditions by month and the year chosen for it."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from bogwright.enclosure.conditions import MonthConditions, conditions
from bogwright.enclosure.plan import Place, Plan, PlantEntry, WaterUnit
from bogwright.facts.years import ChosenYear, choose
from bogwright.sharing.needs import Needs


@dataclass(frozen=True, slots=True)
class PlacedPlant:
    """``lift``: possible, impossible or ``?``. ``saucer``: own or shared water."""

    entry: PlantEntry
    needs: Needs
    place: Place
    unit: WaterUnit
    months: tuple[MonthConditions, ...]
    chosen: ChosenYear
    lift: str
    saucer: str

    @property
    def id(self) -> str:
        return self.entry.id

    @property
    def words(self) -> dict[str, str]:
        """The key and the name that every row of the plant carries."""
        return {"plant": self.entry.id, "plant_name": self.needs.name}


def place_plant(plan: Plan, entry: PlantEntry, needs: Needs, lamps: Mapping[str, Any]) -> PlacedPlant:
    """Put one plant of the plan in its place and choose its year."""
    place = plan.places[entry.place]
    saucer = "own" if entry.given.get("own_saucer") else "shared"
    in_ground = entry.potted == "no" and plan.case["vessel"]["openings"] == "outdoor"
    months = conditions(plan, place, lamps, potted_saucer=saucer == "own", in_ground=in_ground)
    lift = lift_word(entry.potted, entry.removable)
    chosen = choose(needs, months, [m.moisture for m in months], lift, entry.potted)
    return PlacedPlant(entry, needs, place, plan.water_units[place.water], months, chosen, lift, saucer)


def lift_word(potted: str, removable: str) -> str:
    """Whether a plant can leave the case:

    in a pot of its own and allowed to go. Runners that tie it in are a rule's matter.
    """
    if "no" in (potted, removable):
        return "impossible"
    if potted == "?" or removable == "?":
        return "?"
    return "possible"
