"""The water of a unit: what it loses, when it wants refilling, and what gathers in it between flushes."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from bogwright.enclosure.forecast import Told, resting, stated, tell
from bogwright.enclosure.inputs import Inputs, Missing
from bogwright.enclosure.intervals import LIMIT, open_ended, scaled, yearly
from bogwright.enclosure.plan import Interval, Place, Plan, WaterUnit, Year
from bogwright.physics.water import (
    co2_in_water,
    cycle_end,
    days_until_dry,
    ph_of_water,
    solids_after,
    solids_from_conductivity,
)

Materials = Mapping[str, Any]
LITRES = "the water held by reservoir and medium (water_units: litres)"
DAYS_IN_WEEK = 7
DAYS_IN_YEAR = 365.25
MONTHLY = DAYS_IN_YEAR / 12


def water(
    plan: Plan, unit: WaterUnit, inputs: Inputs, leaving: Told, mean: Year, materials: Materials
) -> dict[str, Told]:
    """Conditions of one water unit.

    Keys: solids_supply [mg/L], evaporation [L/d], days_to_refill [d]; just before a flush root_solids [mg/L] and
    root_alkalinity [mg/L as CaCO3]. Of open water: co2 [mg/L], ph.
    leaving: water lost with the air of the case. [L/d] mean: between night and day, which the water follows. [°C]
    """
    told = {"solids_supply": stated(unit.year("supply", "solids")) or tell(inputs, lambda: _supply(unit, inputs))}
    told["evaporation"] = _evaporation(plan, unit, inputs, leaving)
    lost = told["evaporation"]
    told["days_to_refill"] = resting(tell(inputs, lambda: _days(unit, inputs, lost)), lost)
    told |= _pool(plan, unit, inputs, mean)
    told["root_solids"] = stated(unit.year("root_solids")) or _gathered(unit, inputs, told)
    told["root_alkalinity"] = _alkaline(plan, unit, inputs, told, materials)
    return told


def _pool(plan: Plan, unit: WaterUnit, inputs: Inputs, mean: Year) -> dict[str, Told]:
    """Carbon dioxide and pH of open water: what the air gives, drawn down by plants or fed by litter."""
    if "open_water" not in unit.given:
        return {}
    stated_mean = stated(unit.year("open_water", "temperature"))  # else between night and day
    warm = stated_mean.value if stated_mean is not None else mean

    def dissolved() -> Year:
        fed = inputs.need(
            f"{unit.id}/carbon", "how the open water gets its carbon dioxide (water_units: open_water: carbon)"
        )
        if any(open_ended(v) for v in warm):
            raise Missing("the temperature of the water (water_units: open_water: temperature)")
        return yearly(lambda t, ppm, f: f * float(co2_in_water(t, ppm)), warm, inputs["air_co2"], fed)

    co2 = stated(unit.year("open_water", "co2")) or tell(inputs, dissolved)

    def acid() -> Year:
        alkalinity = inputs.need(
            f"{unit.id}/alkalinity", "the alkalinity of the water (water_units: supply: alkalinity)"
        )
        if co2.how == "unknown" or any(open_ended(v) for v in warm):
            raise Missing(*(co2.needs or ("the temperature of the water (water_units: open_water: temperature)",)))
        return yearly(lambda a, c, t: float(ph_of_water(a, c, t)), alkalinity, co2.value, warm)

    warmth = stated_mean or Told(mean, "predicted" if not any(open_ended(v) for v in mean) else "unknown")
    return {"water_temperature": warmth, "co2": co2, "ph": stated(unit.year("open_water", "ph")) or tell(inputs, acid)}


def _supply(unit: WaterUnit, inputs: Inputs) -> Year:
    """Solids of the supplied water from its conductivity. [mg/L]"""
    conductivity = inputs.need(f"{unit.id}/conductivity", "the solids of the water (water_units: supply: solids)")
    return yearly(lambda c, f: float(solids_from_conductivity(c, f)), conductivity, inputs[f"{unit.id}/factor"])


def _evaporation(plan: Plan, unit: WaterUnit, inputs: Inputs, leaving: Told) -> Told:
    """From what the grower adds, else this unit's share of what leaves the case, by the floor its places take."""
    added = inputs.known.get(f"{unit.id}/top_up")
    if added is not None:
        return Told(scaled(added.value, 1 / DAYS_IN_WEEK), "measured", (added.name,))
    if leaving.how != "predicted":
        return Told(needs=leaving.needs)
    share = _floor_share(plan, unit)
    if share is None:
        return Told(needs=("the size of every place (places: size_cm), or the water you add (water_units: top_up)",))
    return Told(scaled(leaving.value, share), "predicted", leaving.rests_on)


def _floor_share(plan: Plan, unit: WaterUnit) -> float | None:
    """This unit's part of the floor that all places take; None where a place has no size."""
    if len(plan.water_units) == 1:
        return 1.0
    sizes = {p.id: p.given.get("size_cm") for p in plan.places.values()}
    if any(size is None for size in sizes.values()):
        return None
    areas = {id: size[0] * size[1] for id, size in sizes.items() if size}
    own = sum(areas[p.id] for p in plan.places.values() if p.water == unit.id)
    total = sum(areas.values())
    return float(own / total)


def _days(unit: WaterUnit, inputs: Inputs, evaporation: Told) -> Year:
    """Days until the reservoir is dry. [d]"""
    reservoir = inputs.need(f"{unit.id}/reservoir", "the water that may go before you refill (water_units: reservoir)")
    if evaporation.how == "unknown":
        raise Missing(*evaporation.needs)
    return yearly(lambda v, e: min(LIMIT, float(days_until_dry(v, e))), reservoir, evaporation.value)


def _gathered(unit: WaterUnit, inputs: Inputs, told: dict[str, Told]) -> Told:
    """Solids at the roots just before a flush; without any flush, what a year of topping up leaves, by then and later.

    Where nobody said what feeding and medium give, the supply alone tells the low end.
    """
    inputs.fresh()
    id, supply, lost = unit.id, told["solids_supply"], told["evaporation"]
    wanted = [n for t in (supply, lost) if t.how == "unknown" for n in t.needs]
    if not inputs.has(f"{id}/litres"):
        wanted.append(LITRES)
    if wanted:
        return Told(needs=tuple(wanted))
    litres = inputs[f"{id}/litres"]
    adds = inputs[f"{id}/adds"] if inputs.has(f"{id}/adds") else ((0.0, 0.0),) * 12
    source = scaled(adds, 1 / DAYS_IN_WEEK)
    value = yearly(_build_up(unit), supply.value, lost.value, litres, source)
    whole = resting(Told(value, "predicted", tuple(inputs.used)), supply, lost)
    if inputs.has(f"{id}/adds"):
        return whole
    lower: tuple[Interval, ...] = tuple((v[0], LIMIT) for v in value)
    return replace(whole, value=lower, needs=("what feeding and medium give to the water (water_units: adds)",))


def _alkaline(plan: Plan, unit: WaterUnit, inputs: Inputs, told: dict[str, Told], materials: Materials) -> Told:
    """Alkalinity at the roots just before a flush: what the supply brings stays behind like its solids.

    Limestone on the unit, or on one that runs into it, gives bicarbonate nobody can tell the amount of.
    """
    inputs.fresh()
    lost = told["evaporation"]
    if not inputs.has(f"{unit.id}/alkalinity"):
        return Told(needs=("the alkalinity of the water (water_units: supply: alkalinity)",))
    if lost.how == "unknown":
        return Told(needs=lost.needs)
    if not inputs.has(f"{unit.id}/litres"):
        return Told(needs=(LITRES,))
    brought, litres = inputs[f"{unit.id}/alkalinity"], inputs[f"{unit.id}/litres"]
    value = yearly(_build_up(unit), brought, lost.value, litres, ((0.0, 0.0),) * 12)
    whole = resting(Told(value, "predicted", tuple(inputs.used)), lost)
    chalky = sorted(p.id for p in plan.places.values() if p.water in _above(plan, unit.id) and _limed(p, materials))
    if not chalky:
        return whole
    needs = (f"a reading of the alkalinity in {unit.id}: the limestone of {', '.join(chalky)} gives bicarbonate to it",)
    return replace(whole, value=tuple((v[0], LIMIT) for v in value), needs=needs)


def _above(plan: Plan, id: str) -> set[str]:
    """The unit and those whose water runs into it."""
    found = {id}
    while more := {u.id for u in plan.water_units.values() if set(u.flows_to) & found} - found:
        found |= more
    return found


def _limed(place: Place, materials: Materials) -> bool:
    layers = place.given.get("medium", {}).get("layers", ())
    parts = {m for one in layers for m in one.get("mix", {one.get("material"): 1})} | set(place.components)
    return any(materials[m]["lime"] == "carbonate" for m in parts)


def _build_up(unit: WaterUnit) -> Callable[[float, float, float, float], float]:
    """The highest concentration of the unit's own routine, as a function of supply, loss, litres and source."""
    flush = unit.given.get("flush")

    def gathered(supply: float, lost: float, litres: float, source: float) -> float:
        if flush is not None:
            days, poured = flush["every_weeks"] * DAYS_IN_WEEK, flush["litres"]
            return float(cycle_end(supply, lost, litres, source, days, poured))
        if unit.exchanged == "yes":  # drained and renewed at least monthly
            return float(solids_after(MONTHLY, supply, supply, lost, litres, source))
        return float(solids_after(DAYS_IN_YEAR, supply, supply, lost, litres, source))

    return gathered
