"""Rows of a plan that speak of months: air, light, water and day-length cues of each plant."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from bogwright.enclosure.conditions import MonthConditions
from bogwright.enclosure.moisture import MOISTURE, levels
from bogwright.facts.placed import PlacedPlant
from bogwright.facts.rows import NO_DEMAND, Row, level_of, over, row, runs, span_of, span_words, under, word_of
from bogwright.rules.meaning import LIMIT, UNBOUNDED, Interval
from bogwright.sharing.demands import Demand, floats
from bogwright.sharing.months import GROWTH, WEEKS_IN_MONTH, month_words
from bogwright.sharing.windows import day_limit

NOTHING = Demand(None, None, "?", "?")
Fields = dict[str, Any]


def monthly_rows(plant: PlacedPlant, midwinter: int) -> list[Row]:
    """Rows month.air, month.light, month.water and month.cue of one plant; months alike are one row."""
    rows = _by_phase("month.air", plant, midwinter, _air)
    if not floats(plant.needs.profile) or "dli" in plant.needs.demands[GROWTH]:
        rows += _by_phase("month.light", plant, midwinter, _light)
    if not floats(plant.needs.profile):
        rows += _by_phase("month.water", plant, midwinter, _water)
    return rows + _cues(plant, midwinter)


def _by_phase(
    kind: str, plant: PlacedPlant, midwinter: int, fields: Callable[[PlacedPlant, int, MonthConditions], Fields]
) -> list[Row]:
    year = plant.chosen.year
    present = [m for m in range(12) if m not in year.absent]
    made = [fields(plant, m, plant.months[m]) for m in present]
    rows = []
    for n, (months, same) in enumerate(runs(made, present)):
        weeks = len(months) * WEEKS_IN_MONTH
        made_row = row(
            kind, f"{plant.id}/{n}", **plant.words, months=month_words(months, midwinter), **same, weeks=(weeks, weeks)
        )
        # not a field: lets findings of one rule in several runs be told in one sentence
        made_row["run"] = tuple((midwinter - 1 + m) % 12 for m in months)
        rows.append(made_row)
    return rows


def _phase(plant: PlacedPlant, month: int) -> str:
    return "growth" if plant.chosen.year.phases[month] == GROWTH else "rest"


def _demands(plant: PlacedPlant, month: int) -> Mapping[str, Demand]:
    return plant.needs.demands[plant.chosen.year.phases[month]]


def _air(plant: PlacedPlant, month: int, given: MonthConditions) -> Fields:
    demands = _demands(plant, month)
    day, night = demands.get("temperature_day", NOTHING), demands.get("temperature_night", NOTHING)
    drop, humid, hours = (demands.get(a, NOTHING) for a in ("night_drop", "humidity", "photoperiod"))
    steps = plant.needs.steps[plant.chosen.year.phases[month]]
    limit: Interval | None = None
    if steps:
        warm = given.temperature_night
        limit = UNBOUNDED if warm == UNBOUNDED else (day_limit(steps, warm[1]), day_limit(steps, warm[0]))
    claim = plant.needs.profile.claim("air.night_drop")
    return {
        "phase": _phase(plant, month),
        "day_over": over(given.temperature_day, day.high),
        "day_under": under(given.temperature_day, day.low),
        "night_over": over(given.temperature_night, night.high),
        "night_under": under(given.temperature_night, night.low),
        "peak_over": over(given.peak, _survived(day.survives_high, day.high, "high")),
        "lowest_under": under(given.lowest, _survived(night.survives_low, night.low, "low")),
        "drop_short": under(given.night_drop, drop.low),
        "limit_over": over(given.temperature_day, limit),
        "humidity_under": under(given.humidity, humid.low),
        "humidity_over": over(given.humidity, humid.high),
        "hours_over": over(given.photoperiod, hours.high),
        "hours_under": under(given.photoperiod, hours.low),
        "day_high": day.outside_high,
        "day_low": day.outside_low,
        "night_high": night.outside_high,
        "night_low": night.outside_low,
        "humid_low": humid.outside_low,
        "humid_high": humid.outside_high,
        "drop_low": drop.outside_low,
        "hours_high": hours.outside_high,
        "hours_low": hours.outside_low,
        "stands_day": span_words(day.low, day.high, "°C"),
        "stands_night": span_words(night.low, night.high, "°C"),
        "stands_humidity": span_words(humid.low, humid.high, "%"),
        "limit_axis": "stated" if steps else "unstated",
        "drop_standing": "disputed" if claim is not None and claim.disputed else "plain",
    }


def _survived(stated: Interval | None, held: Interval | None, side: str) -> Interval | None:
    """What is survived: as stated, else at least what is tolerated for good and nobody knows how much more."""
    if stated is not None or held is None:
        return stated
    return (held[0], LIMIT) if side == "high" else (-LIMIT, held[1])


def _light(plant: PlacedPlant, month: int, given: MonthConditions) -> Fields:
    phase = plant.chosen.year.phases[month]
    light = _demands(plant, month).get("dli", NOTHING)
    low = None if phase in plant.needs.dark_ok else light.low
    return {
        "phase": _phase(plant, month),
        "place": plant.place.id,
        "light_short": under(given.dli, low),
        "light_over": over(given.dli, light.high),
        "short_means": light.outside_low,
        "over_means": light.outside_high,
        "stands_light": span_words(low, light.high, "mol/m²/day"),
        "light_given": given.dli,
    }


def _water(plant: PlacedPlant, month: int, given: MonthConditions) -> Fields:
    phase = plant.chosen.year.phases[month]
    demands = _demands(plant, month)
    solids, alkalinity, table = (demands.get(a, NOTHING) for a in ("solids_supply", "alkalinity", "table_below_crown"))
    wetter, drier = moisture_margins(given.moisture, plant.needs.moisture[phase])
    return {
        "phase": _phase(plant, month),
        "unit": plant.unit.id,
        "wetter_by": wetter,
        "drier_by": drier,
        "moisture": given.moisture,
        "table_near": under(given.table_below_crown, table.low),
        "table_far": over(given.table_below_crown, table.high),
        "solids_over": over(given.solids_supply, solids.high),
        "alkalinity_over": over(given.alkalinity, alkalinity.high),
        "root_solids_over": _salted(plant, given.root_solids),
        "solids_means": solids.outside_high,
        "alkalinity_means": alkalinity.outside_high,
        "saucer": plant.saucer,
        "lift": plant.lift,
        "rest_kind": "none" if phase == GROWTH else plant.needs.rest(phase).kind,
        "growth_form": word_of(plant.needs.profile, "habit.growth_form"),
        "drying_stood": span_of(plant.needs.profile, "water.drying_stood"),
        "stands_moisture": " or ".join(plant.needs.moisture[phase]) or "unknown",
    }


def _salted(plant: PlacedPlant, given: Interval) -> Interval:
    """How far the solids at the roots exceed what they stand; water renewed monthly gathers nothing to ask about."""
    if given == UNBOUNDED and plant.unit.exchanged == "yes":
        return NO_DEMAND
    return over(given, level_of(plant.needs.profile, "water.solids_root", "tolerates", "high"))


def moisture_margins(given: str, stood: tuple[str, ...]) -> tuple[Interval, Interval]:
    """Classes by which the moisture given is (wetter, drier) than any class stood; unknown where either is."""
    if given == "?" or not stood:
        return UNBOUNDED, UNBOUNDED
    (driest, wettest), bounds = levels(given), [MOISTURE.index(w) for w in stood]
    wetter = (float(driest - max(bounds)), float(wettest - max(bounds)))
    return wetter, (float(min(bounds) - wettest), float(min(bounds) - driest))


def _cues(plant: PlacedPlant, midwinter: int) -> list[Row]:
    """One row for each day-length cue whose event this plant's year counts on."""
    rows = []
    profile = plant.needs.profile
    hours = [m.photoperiod for m in plant.months]
    shortest = (min(h[0] for h in hours), min(h[1] for h in hours))
    longest = (max(h[0] for h in hours), max(h[1] for h in hours))
    way = profile.ways.get(plant.chosen.year.way)
    need = next((r.need for r in way.rests.values()), None) if way is not None else None
    for key, cue in sorted(profile.cues().items()):
        rows.append(
            row(
                "month.cue",
                f"{plant.id}/{key}",
                **plant.words,
                event=cue.event,
                hours_over=NO_DEMAND if cue.below is None else over(shortest, (cue.below, cue.below)),
                hours_under=NO_DEMAND if cue.above is None else under(longest, (cue.above, cue.above)),
                months=month_words(cue.months or range(12), midwinter),
                way=plant.chosen.year.way,
                rest_need=need or "none",
            )
        )
    return rows
