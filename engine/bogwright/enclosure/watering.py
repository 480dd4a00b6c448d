"""The water of a unit: what it loses, when it wants refilling, and what gathers in it between flushes."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace
from typing import Any

from bogwright.enclosure.bedding import parts_of
from bogwright.enclosure.forecast import Told, given, resting, stated, tell
from bogwright.enclosure.inputs import Inputs, Missing
from bogwright.enclosure.intervals import LIMIT, open_ended, scaled, yearly
from bogwright.enclosure.plan import WEEKS_IN_MONTH, Place, Plan, WaterUnit, Year
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
SOUR = 5.0  # pH: a medium that stays below it gives acid to the water
DAYS_IN_YEAR = 365.25
MONTHLY = DAYS_IN_YEAR / 12


def water(
    plan: Plan,
    unit: WaterUnit,
    inputs: Inputs,
    leaving: Told,
    mean: Year,
    materials: Materials,
    above: Sequence[Mapping[str, Told]] = (),
) -> dict[str, Told]:
    """Conditions of one water unit.

    Keys: solids_supply [mg/L], evaporation [L/d], days_to_refill [d]; just before a flush root_solids [mg/L] and
    root_alkalinity [mg/L as CaCO3]. Of open water: co2 [mg/L], ph.
    leaving: water lost with the air of the case. [L/d] mean: between night and day, which the water follows. [°C]
    above: conditions of the units whose water runs into it.
    """
    told = {"solids_supply": given(unit.year("supply", "solids"), lambda: tell(inputs, lambda: _supply(unit, inputs)))}
    told["evaporation"] = _evaporation(plan, unit, inputs, leaving)
    lost = told["evaporation"]
    told["days_to_refill"] = resting(tell(inputs, lambda: _days(unit, inputs, lost)), lost)
    told |= _pool(plan, unit, inputs, mean, materials)
    told["root_solids"] = given(unit.year("root_solids"), lambda: _gathered(plan, unit, inputs, told, above))
    told["root_alkalinity"] = _alkaline(plan, unit, inputs, told, materials, above)
    return told


def _pool(plan: Plan, unit: WaterUnit, inputs: Inputs, mean: Year, materials: Materials) -> dict[str, Told]:
    """Carbon dioxide and pH of open water: what the air gives, drawn down by plants or fed by litter.

    Peat, moss and rotting litter give acids nobody can tell the amount of: with them only the high end of pH is told.
    """
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

    co2 = given(unit.year("open_water", "co2"), lambda: tell(inputs, dissolved))

    def acid() -> Year:
        alkalinity = inputs.need(
            f"{unit.id}/alkalinity", "the alkalinity of the water (water_units: supply: alkalinity)"
        )
        if co2.how == "unknown" or any(open_ended(v) for v in warm):
            raise Missing(*(co2.needs or ("the temperature of the water (water_units: open_water: temperature)",)))
        return yearly(lambda a, c, t: float(ph_of_water(a, c, t)), alkalinity, co2.value, warm)

    ph = stated(unit.year("open_water", "ph")) or tell(inputs, acid)
    if ph.how == "predicted" and (unit.given["open_water"].get("carbon") == "litter" or _sour(plan, unit, materials)):
        value = tuple((-LIMIT, high) for _, high in ph.value)
        ph = replace(
            ph, value=value, needs=("a reading of the pH (water_units: open_water: ph): peat, moss and litter sour it",)
        )

    warmth = stated_mean or Told(mean, "predicted" if not any(open_ended(v) for v in mean) else "unknown")
    return {"water_temperature": warmth, "co2": co2, "ph": ph}


def _sour(plan: Plan, unit: WaterUnit, materials: Materials) -> bool:
    """Whether a medium on the unit, or on one that runs into it, is acid whatever the make."""
    ranges = [materials[m].get("ph", {}).get("value") for p in _draining(plan, unit.id) for m in _media(p)]
    return any(isinstance(ph, list) and ph[1] <= SOUR for ph in ranges)


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


def _gathered(
    plan: Plan, unit: WaterUnit, inputs: Inputs, told: dict[str, Told], above: Sequence[Mapping[str, Told]]
) -> Told:
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
    brought = _brought(supply.value, [(one["solids_supply"], one["root_solids"]) for one in above])
    value = _build_up(plan, unit, brought, lost.value, litres, source)
    needs = _unread(plan, unit, brought)
    if not inputs.has(f"{id}/adds"):
        value = tuple((low, LIMIT) for low, _ in value)
        needs = (*needs, "what feeding and medium give to the water (water_units: adds)")
    return resting(Told(value, "predicted", tuple(inputs.used), needs), supply, lost)


def _brought(supply: Year, above: Sequence[tuple[Told, Told]]) -> Year:
    """What the water that comes in may hold: the supply, and what runs in from units above. [mg/L]

    above: of each its supply and what gathers at its roots; the high end is unknown where that is.
    """
    spans = [supply]
    for fresh, gathered in above:
        if fresh.how == "unknown":
            fresh = Told(((0.0, 0.0),) * 12)
        spans.append(tuple((f[0], max(f[1], g[1])) for f, g in zip(fresh.value, gathered.value, strict=True)))
    return tuple((min(v[0] for v in month), max(v[1] for v in month)) for month in zip(*spans, strict=True))


def _unread(plan: Plan, unit: WaterUnit, brought: Year) -> tuple[str, ...]:
    """What to state where nobody can tell what runs in."""
    if not any(open_ended(v) for v in brought):
        return ()
    from_ = ", ".join(u.id for u in plan.water_units.values() if unit.id in u.flows_to)
    return (f"a reading of the water in {unit.id} (water_units: root_solids): that of {from_} runs into it",)


def _alkaline(
    plan: Plan,
    unit: WaterUnit,
    inputs: Inputs,
    told: dict[str, Told],
    materials: Materials,
    above: Sequence[Mapping[str, Told]],
) -> Told:
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
    brought = _brought(inputs[f"{unit.id}/alkalinity"], [(Told(), one["root_alkalinity"]) for one in above])
    value = _build_up(plan, unit, brought, lost.value, inputs[f"{unit.id}/litres"], ((0.0, 0.0),) * 12)
    whole = resting(Told(value, "predicted", tuple(inputs.used), _unread(plan, unit, brought)), lost)
    chalky = sorted(p.id for p in _draining(plan, unit.id) if _limed(p, materials))
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


def _draining(plan: Plan, id: str) -> list[Place]:
    """Places whose water is that of the unit or runs into it."""
    units = _above(plan, id)
    return [p for p in plan.places.values() if p.water in units]


def _media(place: Place) -> set[str]:
    layers = place.given.get("medium", {}).get("layers", ())
    return {m for one in layers for m, _ in parts_of(one)} | set(place.components)


def _limed(place: Place, materials: Materials) -> bool:
    return any(materials[m]["lime"] == "carbonate" for m in _media(place))


def _build_up(plan: Plan, unit: WaterUnit, supply: Year, lost: Year, litres: Year, source: Year) -> Year:
    """The highest concentration of the unit's own routine. [mg/L]

    supply: [mg/L] lost: [L/d] litres: held. [L] source: [mg/d] What stands for longer than a month holds what all
    months left in it. Outdoors rain may have washed it any day; where nobody said whether it is renewed, it may be.
    """
    flush = unit.given.get("flush")
    if flush is not None:
        days, poured = flush["every_weeks"] * DAYS_IN_WEEK, flush["litres"]
        made = _risen(lambda s, e, v, q: float(cycle_end(s, e, v, q, days, poured)), supply, lost, litres, source)
        if flush["every_weeks"] <= WEEKS_IN_MONTH:
            return made
        return ((min(v[0] for v in made), max(v[1] for v in made)),) * 12

    def topped(days: float) -> Year:
        return _risen(lambda s, e, v, q: float(solids_after(days, s, s, e, v, q)), supply, lost, litres, source)

    renewed = topped(MONTHLY)
    made = renewed
    if unit.exchanged != "yes":
        year = topped(DAYS_IN_YEAR)
        low, high = (sum(v[end] for v in year) / 12 for end in (0, 1))
        made = ((low, min(LIMIT, high)),) * 12
    if plan.case["vessel"]["openings"] == "outdoor":
        return tuple((s[0], v[1]) for s, v in zip(supply, made, strict=True))
    if unit.exchanged == "?":
        return tuple((r[0], v[1]) for r, v in zip(renewed, made, strict=True))
    return made


def _risen(
    formula: Callable[[float, float, float, float], float], supply: Year, lost: Year, litres: Year, source: Year
) -> Year:
    """A concentration that rises with that of the supply, whose high end may be unknown."""
    known: Year = tuple((low, low if high >= LIMIT else high) for low, high in supply)
    made = yearly(formula, known, lost, litres, source)
    return tuple((v[0], LIMIT if s[1] >= LIMIT else min(LIMIT, v[1])) for s, v in zip(supply, made, strict=True))
