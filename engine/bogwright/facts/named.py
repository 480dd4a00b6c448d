"""Rows for plain names: what is known of each plant, its year, its water, and what the group asks of one case."""

from __future__ import annotations

from collections.abc import Sequence

from bogwright.facts.ground import emersed
from bogwright.facts.plants import gap_rows, law_row, lift_row, standing_row, year_row
from bogwright.facts.rows import NO_DEMAND, Row, row
from bogwright.rules.meaning import UNBOUNDED
from bogwright.sharing.axes import Axes
from bogwright.sharing.demands import floats
from bogwright.sharing.months import GROWTH, NO_MONTHS, YearOption, month_words
from bogwright.sharing.needs import Needs

NEVER = (0.0, 0.0)


def words_of(plant: Needs) -> dict[str, str]:
    return {"plant": plant.id, "plant_name": plant.name}


def known_rows(plant: Needs, axes: Axes) -> list[Row]:
    """What holds of a plant whatever year it is given: law, standing, gaps."""
    words = words_of(plant)
    return [law_row(plant, words), standing_row(plant, words), *gap_rows(plant, words, axes)]


def year_rows(plant: Needs, year: YearOption, horizon: str, midwinter: int) -> list[Row]:
    """The year it is given: its rest, and whether it leaves for it."""
    words, resting = words_of(plant), year.resting
    given = "skipped" if year.skipped else "lifted-out" if year.absent else "in-place" if resting else "not-needed"
    months = month_words(resting, midwinter) if resting else NO_MONTHS
    rows = [year_row(plant, words, given, NO_DEMAND, months, year.way, horizon, NEVER, NEVER)]
    if year.absent:
        rows.append(lift_row(plant, words, year, months, "chosen", "chosen"))
    return rows


def water_row(plant: Needs, year: YearOption, saucer: str, bed: int) -> Row:
    """Its pool or its bed. saucer: shared or own; bed: number of its bed, from 1."""
    if floats(plant.profile):
        return _pool_row(plant)
    return row(
        "plant.bed",
        plant.id,
        **words_of(plant),
        saucer=saucer,
        wetness=_wetness_words(plant, year) + (", drained" if must_drain(plant) else ""),
        bed=f"bed {bed}",
        genus=plant.profile.entry.genus,
    )


def group_row(
    clash: tuple[int, int], regime: str, problem: str, plants: int, lifted: int, beds: int, lights: int, finished: bool
) -> Row:
    """case.group. clash: the strictest level that can be shared, (possible, certain); problem: who cannot agree."""
    return row(
        "case.group",
        "case",
        case="case",
        max_clash=(float(min(clash)), float(max(clash))),
        regime=regime,
        problem=problem,
        count_plants=(float(plants),) * 2,
        count_lifted=(float(lifted),) * 2,
        count_beds=(float(beds),) * 2,
        count_lights=(float(lights),) * 2,
        search="finished" if finished else "cut-short",
    )


def water_kind(plant: Needs, year: YearOption) -> str:
    """Whose water it can share: ``pool`` floats; ``drying`` rests dry where it stands, ``drained`` must never stand in
    water, ``either`` stands in it or does with drained medium; ``standing`` the rest.
    """
    if floats(plant.profile):
        return "pool"
    if _rests_dry(plant, year):
        return "drying"
    if must_drain(plant):
        return "drained"
    return "either" if "drained" in (plant.profile.value("water.watering") or ()) else "standing"


def must_drain(plant: Needs) -> bool:
    """Whether every way growers water it lets the water run off."""
    ways = plant.profile.value("water.watering")
    return bool(ways) and not {"tray", "flowing", "aquatic"} & set(ways)


def _rests_dry(plant: Needs, year: YearOption) -> bool:
    """Whether it must go dry within the enclosure, which no water line that others drink from can do."""
    rests = map(plant.rest, year.rests_in_place)
    return any(rest.kind == "dry" and rest.need == "obligatory" for rest in rests)


def _wetness_words(plant: Needs, year: YearOption) -> str:
    """Moisture lived with, and that of a rest in place where it is another."""
    grown = " or ".join(plant.moisture.get(GROWTH) or ()) or "unknown"
    at_rest = " or ".join(dict.fromkeys(w for phase in year.rests_in_place for w in plant.moisture[phase]))
    return grown if at_rest in ("", grown) else f"{grown} (at rest {at_rest})"


def light_bands(plant: Needs) -> tuple[float, float] | None:
    """Light a day it grows in at best reading (least, most) [mol m-2 d-1], or None where it asks nothing."""
    demand = plant.demands[GROWTH].get("dli")
    if demand is None:
        return None
    return (demand.low[0] if demand.low else 0.0, demand.high[1] if demand.high else float("inf"))


def light_places(plants: Sequence[Needs]) -> int:
    """The fewest lights a day (daily light integrals) with one that every plant grows in: least points that hit all
    the bands, taken from the dimmest upper end.
    """
    ends = sorted((high, low) for low, high in filter(None, map(light_bands, plants)))
    places, lit = 1, ends[0][0] if ends else 0.0
    for high, low in ends:
        if low > lit:
            places, lit = places + 1, high
    return places


def _pool_row(plant: Needs) -> Row:
    return row(
        "plant.pool",
        plant.id,
        **words_of(plant),
        pool="chosen",
        emersed=emersed(plant.profile),
        ph_over=UNBOUNDED,
        ph_under=UNBOUNDED,
        co2_short=UNBOUNDED,
        depth_short=UNBOUNDED,
        depth_over=UNBOUNDED,
        warm_over=UNBOUNDED,
        cold_under=UNBOUNDED,
        nutrients="?",
        nutrients_fit="?",
        algae="?",
    )
