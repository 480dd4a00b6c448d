"""How long a case holds out when what warms or cools it fails: one lump of water and panes that nears the room."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from operator import ge, le

from bogwright.enclosure.climate import heat_lost, panes, uncooled_peak
from bogwright.enclosure.forecast import Told, tell
from bogwright.enclosure.inputs import Inputs, Missing
from bogwright.enclosure.intervals import LIMIT, added, always, scaled, yearly
from bogwright.enclosure.plan import Interval, Plan, Year
from bogwright.physics.heat import hours_until

COLD, HOT = le, ge  # whether a temperature is beyond a limit already
WATER = 4186.0  # heat that warms a litre of water by one kelvin; from memory [J/K]
# density [kg/m³] times heat of a kilogram [J/(kg K)]; glass: float-glass-figures of kb/sources, acrylic from memory
PANES = {"glass": 2500.0 * 720.0, "acrylic": 1190.0 * 1470.0}


def until_too_cold(plan: Plan, inputs: Inputs, air: Mapping[str, Told], limit: Interval) -> Told:
    """Hours until the air of the case is as cold as ``limit`` [°C] with lamps and heater out, in the room's coldest.

    air: conditions of the case. 0 where the night is that cold anyway, an unknown high end where it never gets there.
    Evaporation cools it sooner, the solids of the medium hold it longer: neither is counted.
    """

    def made() -> Year:
        night = _known(air["temperature_night"])
        coldest = inputs.need("room_lowest", "the coldest of the room (room: temperature_night: lowest)")
        return _until(plan, inputs, night, coldest, COLD, limit)

    return tell(inputs, made)


def until_too_hot(plan: Plan, inputs: Inputs, air: Mapping[str, Told], limit: Interval) -> Told:
    """Hours until the case is as hot as ``limit`` [°C], uncooled, with the lamps on and the room at its peak."""

    def made() -> Year:
        return _until(plan, inputs, _known(air["temperature_day"]), uncooled_peak(plan, inputs), HOT, limit)

    return tell(inputs, made)


def heat_held(plan: Plan, inputs: Inputs) -> Year:
    """Heat that warms the water of all units, and the panes where their thickness is stated, by one kelvin. [J/K]"""
    litres = [
        inputs.need(f"{id}/litres", f"the water held by {id} (water_units: litres)") for id in sorted(plan.water_units)
    ]
    vessel = plan.case["vessel"]
    walls = 0.0
    if "wall_mm" in vessel and vessel.get("wall") in PANES:
        walls = panes(plan) * vessel["wall_mm"] / 1000 * PANES[vessel["wall"]]
    return added(scaled(added(*litres), WATER), always(walls))


def _until(
    plan: Plan, inputs: Inputs, start: Year, outside: Year, beyond: Callable[[float, float], bool], limit: Interval
) -> Year:
    """Hours from a start until a limit in surroundings that the case nears; 0 where the start is beyond it."""

    def hours(start: float, outside: float, end: float, held: float, lost: float) -> float:
        return 0.0 if beyond(start, end) else min(LIMIT, float(hours_until(start, outside, end, held, lost)))

    apart = tuple((0.0, max(abs(a - b) for a in s for b in o)) for s, o in zip(start, outside, strict=True))
    return yearly(hours, start, outside, (limit,) * 12, heat_held(plan, inputs), heat_lost(plan, inputs, apart))


def _known(told: Told) -> Year:
    if told.how == "unknown":
        raise Missing(*told.needs)
    return told.value
