"""Every condition of a plan, measured or predicted; and the plan filled in with them, so that it can be judged."""

from __future__ import annotations

import copy
from collections.abc import Mapping
from graphlib import TopologicalSorter
from typing import Any

from bogwright.enclosure.bedding import medium, parts_of
from bogwright.enclosure.climate import air
from bogwright.enclosure.forecast import Forecast, Told
from bogwright.enclosure.inputs import Inputs, gather
from bogwright.enclosure.lighting import hours, light
from bogwright.enclosure.moisture import spanned
from bogwright.enclosure.plan import UNKNOWN, Plan, Year, read_plan
from bogwright.enclosure.tables import Tables
from bogwright.enclosure.watering import water

# where a condition stands in a plan file: of the case, of a water unit, of a place
CASE = {
    "temperature_day": ("temperature_day", "usual"),
    "peak": ("temperature_day", "peak"),
    "temperature_night": ("temperature_night", "usual"),
    "lowest": ("temperature_night", "lowest"),
    "photoperiod": ("photoperiod",),
    "humidity": ("humidity",),
    "night_humidity": ("night_humidity",),
}
UNITS = {
    "solids_supply": ("supply", "solids"),
    "root_solids": ("root_solids",),
    "co2": ("open_water", "co2"),
    "water_temperature": ("open_water", "temperature"),
    "ph": ("open_water", "ph"),
}
PLACES = {
    "ppfd": ("light", "ppfd"),
    "dli": ("light", "dli"),
    "air_filled_porosity": ("medium", "air_filled_porosity"),
    "root_temperature": ("medium", "root_temperature"),
    "moisture": ("moisture_foreseen",),
}


def predict(
    plan: Plan, tables: Tables, inputs: Inputs | None = None, case: Mapping[str, Told] | None = None
) -> Forecast:
    """Conditions of the case, each water unit and each place, January to December.

    inputs: those of the plan unless given. case: its air, where that is known already.
    """
    if inputs is None:
        inputs = known = gather(plan, tables.assumptions, tables.lamps)
        sizes = [p.given.get("size_cm") for p in plan.places.values()]
        told_by = (plan.case, plan.room, plan.lamps, plan.window, plan.latitude, sizes)
        case = tables.air(told_by, lambda: air(plan, known))
    forecast = Forecast(inputs)
    forecast.case = {**(case or air(plan, inputs)), "photoperiod": hours(plan, inputs)}
    between = _between(forecast.case)
    forecast.units = _waters(plan, inputs, forecast.case["leaving"], between, tables)
    for place in plan.places.values():
        lost = forecast.units[place.water]["evaporation"]
        forecast.places[place.id] = light(plan, place, inputs, tables.lamps) | medium(
            plan, place, inputs, tables, lost, forecast.case
        )
    return forecast


def narrowed(plan: Plan, tables: Tables, whole: Forecast, name: str, end: int) -> Forecast:
    """The same with one input held at its low (0) or high (1) end; air that does not rest on it is taken over."""
    rests = any(name in told.rests_on for told in whole.case.values())
    return predict(plan, tables, whole.inputs.narrowed(name, end), None if rests else whole.case)


def _waters(plan: Plan, inputs: Inputs, leaving: Told, between: Year, tables: Tables) -> dict[str, dict[str, Told]]:
    """Every water unit, after those whose water runs into it."""
    above = {id: [u.id for u in plan.water_units.values() if id in u.flows_to] for id in plan.water_units}
    made: dict[str, dict[str, Told]] = {}
    for id in TopologicalSorter(above).static_order():
        into = [made[one] for one in above[id]]
        made[id] = water(plan, plan.water_units[id], inputs, leaving, between, tables.materials, into)
    return {id: made[id] for id in plan.water_units}


def _between(case: Mapping[str, Told]) -> Year:
    """Temperatures between the usual night and the usual day. [°C]"""
    pairs = zip(case["temperature_night"].value, case["temperature_day"].value, strict=True)
    return tuple(UNKNOWN if UNKNOWN in (n, d) else (min(n[0], d[0]), max(n[1], d[1])) for n, d in pairs)


def foreseen(data: Mapping[str, Any], tables: Tables) -> Plan:
    """The plan of ``data`` with every predicted condition filled in where the file states none.

    data: of a plan file that was found sound. A plan that gives nothing to predict from is returned as it stands.
    """
    plan = read_plan(data)
    if not predictable(plan):
        return plan
    return read_plan(filled(data, predict(plan, tables)))


def predictable(plan: Plan) -> bool:
    """Whether the plan gives anything to predict from: a room, a lamp, a window, layers or a water balance."""
    layers = any("layers" in p.given.get("medium", {}) for p in plan.places.values())
    water_known = any({"top_up", "litres"} & set(u.given) for u in plan.water_units.values())
    conductivity = any("conductivity" in u.given.get("supply", {}) for u in plan.water_units.values())
    return bool(plan.room or plan.lamps or plan.window or layers or water_known or conductivity)


def filled(data: Mapping[str, Any], forecast: Forecast) -> dict[str, Any]:
    """A copy of plan data with the predictions where the file is silent."""
    made = copy.deepcopy(dict(data))
    _fill(made["case"], forecast.case, CASE)
    for unit in made["water_units"]:
        _fill(unit, forecast.units[unit["id"]], UNITS)
    for place in made["places"]:
        _fill(place, forecast.places[place["id"]], PLACES)
        layers = place.get("medium", {}).get("layers")
        if layers and "components" not in place["medium"]:
            place["medium"]["components"] = list(dict.fromkeys(m for one in layers for m, _ in parts_of(one)))
        if layers and "depth" not in place["medium"]:
            place["medium"]["depth"] = sum(one["cm"] for one in layers)
    return made


def _fill(given: dict[str, Any], told: Mapping[str, Told], where: Mapping[str, tuple[str, ...]]) -> None:
    for key, path in where.items():
        one = told.get(key, Told())
        if one.how != "predicted":
            continue
        inside = given
        for step in path[:-1]:
            inside = inside.setdefault(step, {})
        inside[path[-1]] = [spanned(*w) for w in one.words] if one.words else [_written(v) for v in one.value]


def _written(value: tuple[float, float]) -> Any:
    return "unknown" if value == UNKNOWN else list(value)
