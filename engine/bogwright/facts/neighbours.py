"""Rows about two plants, and about water that carries lime, for a plan and for plain names alike."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from itertools import permutations
from typing import Any

from bogwright.enclosure.plan import Plan, yes_no
from bogwright.facts.placed import PlacedPlant
from bogwright.facts.rows import Row, over, row, span_of, word_of
from bogwright.knowledge.profiles import Profile
from bogwright.rules.meaning import LIMIT, UNBOUNDED, Interval
from bogwright.sharing.months import GROWTH, WEEKS_IN_MONTH
from bogwright.sharing.needs import Needs

POTTED = {"yes": "potted", "no": "planted", "?": "?"}
# traits of the first plant that can act on a neighbour; a plant certainly without them gets no rows
HARMLESS = {"self_sowing": "none", "runners": "none"}


def traits(first: Profile, second: Profile) -> dict[str, Any]:
    """What one plant does to another whatever the enclosure."""
    return {
        "creep": span_of(first, "habit.creep"),
        "self_sowing": word_of(first, "habit.self_sowing"),
        "overgrown_risk": word_of(second, "habit.overgrown_risk"),
        "first_form": word_of(first, "habit.growth_form"),
        "second_form": word_of(second, "habit.growth_form"),
        "moss_effect": word_of(second, "medium.live_sphagnum"),
        "height_over": over(span_of(first, "habit.height"), span_of(second, "habit.height")),
        "first_lime": word_of(first, "medium.lime"),
        "second_lime": word_of(second, "medium.lime"),
    }


def months_to_cover(gap: Interval, creep: Interval) -> Interval:
    """Months until a plant that spreads ``creep`` cm a year crosses ``gap`` cm."""
    if UNBOUNDED in (gap, creep):
        return UNBOUNDED
    longest = LIMIT if creep[0] <= 0 else gap[1] / creep[0] * 12
    return (LIMIT if creep[1] <= 0 else max(0.0, gap[0] / creep[1] * 12), longest)


def plan_pairs(plants: Sequence[PlacedPlant]) -> list[Row]:
    """pair.neighbours for a plan: only plants that share a water unit or a place can reach each other."""
    rows = []
    for first, second in permutations(plants, 2):
        together = first.place.id == second.place.id
        if not together and first.unit.id != second.unit.id:
            continue
        gap = first.entry.given.get("gap"), second.entry.given.get("gap")
        near = min((float(g) for g in gap if g is not None), default=None)
        distance: Interval = UNBOUNDED if near is None else (near, near if together else LIMIT)
        what = traits(first.needs.profile, second.needs.profile)
        cover = months_to_cover(distance, what["creep"])
        trim = first.entry.given.get("trimmed_every")
        throw = span_of(first.needs.profile, "habit.seed_throw")
        rows.append(
            row(
                "pair.neighbours",
                f"{first.id}>{second.id}",
                first=first.id,
                second=second.id,
                first_name=first.needs.name,
                second_name=second.needs.name,
                water="same-water" if first.unit.id == second.unit.id else "other-water",
                spot="same-place" if together else "other-place",
                gap=distance,
                months_to_cover=cover,
                trim_late=UNBOUNDED if trim is None else over((float(trim),) * 2, _weeks(cover)),
                deadheaded={"yes": "deadheaded", "no": "seeding"}.get(yes_no(first.entry.given.get("deadheaded")), "?"),
                seed_reach=over(throw, distance),
                spare_light=_spare_light(second),
                second_potted=POTTED[second.entry.potted],
                **what,
            )
        )
    return rows


def _weeks(months: Interval) -> Interval:
    return (
        months
        if months == UNBOUNDED
        else (
            months[0] * WEEKS_IN_MONTH if months[0] < LIMIT else LIMIT,
            months[1] * WEEKS_IN_MONTH if months[1] < LIMIT else LIMIT,
        )
    )


def name_pairs(plants: Sequence[Needs]) -> list[Row]:
    """pair.neighbours where no enclosure is given: distance, trimming and light are the grower's to choose."""
    return [name_pair(first, second) for first, second in permutations(plants, 2) if acts(first)]


def acts(plant: Needs) -> bool:
    """Whether a plant may do something to a neighbour: sow, creep, or lime the water it wants."""
    harmless = all(word_of(plant.profile, f"habit.{trait}") == word for trait, word in HARMLESS.items())
    return not harmless or word_of(plant.profile, "medium.lime") == "wants"


def name_pair(first: Needs, second: Needs) -> Row:
    """What the first plant may do to the second."""
    return row(
        "pair.neighbours",
        f"{first.id}>{second.id}",
        first=first.id,
        second=second.id,
        first_name=first.name,
        second_name=second.name,
        water="chosen",
        spot="chosen",
        gap=UNBOUNDED,
        months_to_cover=UNBOUNDED,
        trim_late=UNBOUNDED,
        deadheaded="chosen",
        seed_reach=UNBOUNDED,
        spare_light=(LIMIT, LIMIT),
        second_potted="chosen",
        **traits(first.profile, second.profile),
    )


def _spare_light(plant: PlacedPlant) -> Interval:
    """Light a day that the plant has above the least it tolerates, in its darkest month of growth."""
    spans = []
    for m, phase in enumerate(plant.chosen.year.phases):
        demand = plant.needs.demands[phase].get("dli")
        if phase == GROWTH and m not in plant.chosen.year.absent and demand is not None and demand.low is not None:
            spans.append(over(plant.months[m].dli, demand.low))
    return (min(s[0] for s in spans), min(s[1] for s in spans)) if spans else UNBOUNDED


def drain_rows(plan: Plan, plants: Sequence[PlacedPlant], materials: Mapping[str, Any]) -> list[Row]:
    """pair.drain: each plant and each unit with lime in a medium whose water reaches it."""
    lime: dict[str, str] = {}
    rank = ("none", "some", "sulphate", "carbonate")
    for place in plan.places.values():
        for part in place.components:
            word = materials[part]["lime"]
            lime[place.water] = max(lime.get(place.water, "none"), word, key=rank.index)
    rows = []
    for plant in plants:
        for unit, word in sorted(lime.items()):
            if word in ("none", "some") or not _reaches(plan, unit, plant.unit.id):
                continue
            # lime in the plant's own pot is no neighbour's doing when it stands in water of its own
            rows.append(
                row(
                    "pair.drain",
                    f"{plant.id}<{unit}",
                    **plant.words,
                    unit=unit,
                    lime=word,
                    reach="same-unit" if unit == plant.unit.id else "downstream",
                    plant_lime=word_of(plant.needs.profile, "medium.lime"),
                    moss="live-moss" if plant.needs.profile.entry.genus == "sphagnum" else "other",
                    exchange={"yes": "exchanged", "no": "stagnant"}.get(plan.water_units[unit].exchanged, "?"),
                    own_saucer=plant.saucer,
                )
            )
    return rows


def _reaches(plan: Plan, source: str, target: str) -> bool:
    todo, seen = [source], set()
    while todo:
        unit = todo.pop()
        if unit == target:
            return True
        if unit not in seen:
            seen.add(unit)
            todo += plan.water_units[unit].flows_to
    return False


def reached(plan: Plan, plants: Sequence[PlacedPlant], target: str, path: str) -> list[PlacedPlant]:
    """Plants that something given to ``target`` (a plant, place or water unit) reaches by a path.

    A drench follows the water to every plant of the unit and downstream; vapour fills the case; spray and dust stay.
    """
    if path == "vapour":
        return list(plants)
    hit = [p for p in plants if target in (p.id, p.place.id, p.unit.id)]
    if path != "drench":
        return hit
    if len(hit) == 1 and hit[0].id == target and hit[0].saucer == "own":
        return hit
    units = {p.unit.id for p in hit if p.saucer == "shared"} | ({target} if target in plan.water_units else set())
    wet = [p for p in plants if p.saucer == "shared" and any(_reaches(plan, u, p.unit.id) for u in units)]
    return [p for p in plants if p in hit or p in wet]
