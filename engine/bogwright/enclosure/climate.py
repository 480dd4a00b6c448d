"""The air of the case from the room around it: warmth of lamp and sun, vapour of wet surfaces, leaks."""

from __future__ import annotations

from functools import lru_cache, partial
from typing import NamedTuple

from bogwright.enclosure.forecast import Told, resting, stated, tell
from bogwright.enclosure.inputs import Inputs, Missing
from bogwright.enclosure.intervals import added, always, hull, open_ended, scaled, yearly
from bogwright.enclosure.plan import UNKNOWN, Interval, Plan, Year
from bogwright.physics.air import (
    absolute_humidity,
    humidity_from_content,
    vapour_pressure_deficit,
    vent_flow,
    wet_case,
)
from bogwright.physics.daylight import MIDMONTH, day_length
from bogwright.physics.heat import heat_loss, warmth_above_room

ROOM = 22.0  # °C, for the weight of the air that a vent moves: a few kelvin change it by a hundredth
HOTTEST_ABOVE = 40.0  # K
HALVINGS = 20
STAYS_WARM = 0.3  # share of the lamp's warmth that a case may keep through the night; from memory


def air(plan: Plan, inputs: Inputs) -> dict[str, Told]:
    """Temperatures, humidities, vapour pressure deficit, condensation and evaporation of the case.

    Keys: temperature_day, temperature_night, peak, lowest, photoperiod apart; humidity, night_humidity, vpd, night_vpd;
    condensing, night_condensing [g/h]; leaving [L/d]: water that leaves with the air.
    """
    day = ("temperature_day", "usual"), ("temperature_day", "peak")
    night = ("temperature_night", "usual"), ("temperature_night", "lowest")
    told = {
        "temperature_day": stated(plan.year(*day[0])) or tell(inputs, lambda: _day(plan, inputs)),
        "peak": stated(plan.year(*day[1])) or tell(inputs, lambda: uncooled_peak(plan, inputs)),
        "temperature_night": stated(plan.year(*night[0])) or tell(inputs, lambda: _night(plan, inputs, "room_night")),
        "lowest": stated(plan.year(*night[1])) or tell(inputs, lambda: _night(plan, inputs, "room_lowest")),
    }
    for part, key in (("day", "humidity"), ("night", "night_humidity")):
        warm = told[f"temperature_{part}"]
        told[key] = stated(plan.year(key)) or resting(
            tell(inputs, partial(_humidity, plan, inputs, part, warm.value)), warm
        )
        told["vpd" if part == "day" else "night_vpd"] = _deficit(warm, told[key])
        told["condensing" if part == "day" else "night_condensing"] = tell(
            inputs, partial(_balance, plan, inputs, part, warm.value, "condensing")
        )
    told["leaving"] = resting(tell(inputs, lambda: _leaving(plan, inputs, told)), told["humidity"])
    return told


def _warmth(plan: Plan, inputs: Inputs) -> Year:
    """How much the lamps warm the case above the room. [K]"""
    if plan.case["vessel"]["openings"] == "outdoor" or not plan.lamps:
        return always(0.0)
    if unwalled(plan):
        return inputs["shelf_warmth"]
    power = always(0.0)
    for lamp in plan.lamps:
        id = lamp["id"]
        if "mounted" not in lamp:
            raise Missing(f"whether the lamp {id} hangs inside or outside (lamps: mounted)")
        watts = inputs.need(f"{id}/watts", f"the watts of the lamp {id} (lamps: watts)")
        share = inputs[f"{id}/heat"] if lamp["mounted"] == "outside" else always(1.0)
        power = added(power, yearly(lambda w, s: w * s, watts, share))
    return _warmed(plan, inputs, power)


def heat_lost(plan: Plan, inputs: Inputs, difference: Year) -> Year:
    """Heat that panes, leaks and vents carry off: vents by any difference from the room up to the greatest. [W/K]"""
    area, vents = panes(plan), _vents(plan)
    flow = tuple((q[0], q[1] + vents.flow(d[1])) for q, d in zip(_leak(plan, inputs), difference, strict=True))
    return yearly(lambda u, q: heat_loss(area, u, q), inputs["wall_conductance"], flow)


def _warmed(plan: Plan, inputs: Inputs, power: Year) -> Year:
    """Warmth above the room at which panes, leaks and vents carry off as much as comes in. [K]"""
    width, depth, height = sides(plan)
    area = 2 * (width * depth + width * height + depth * height)
    return yearly(partial(_settled, area, _vents(plan)), power, inputs["wall_conductance"], _leak(plan, inputs))


# Remembered, since most changes of a plan that are tried leave its air as it is.
@lru_cache(maxsize=4096)
def _settled(area: float, vents: Vents, watts: float, conductance: float, leak: float) -> float:
    """Warmth above the room of panes of an area [m²] that lose as much as the watts bring. [K]"""
    least = float(warmth_above_room(watts, heat_loss(area, conductance, leak)))
    if least <= 0 or vents.opening == 0:
        return least
    low, high = 0.0, min(least, HOTTEST_ABOVE)
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        carried = middle * float(heat_loss(area, conductance, leak + vents.flow(middle)))
        low, high = (middle, high) if carried < watts else (low, middle)
    return high


class Vents(NamedTuple):
    """A low and a high opening. opening: of each. [m²] rise: from the middle between them to either. [m]"""

    opening: float
    rise: float

    def flow(self, warmer: float) -> float:
        """Air that they let through at a warmth above the room. [m³/h]"""
        return float(vent_flow(self.opening, self.rise, min(warmer, HOTTEST_ABOVE), ROOM))


def _vents(plan: Plan) -> Vents:
    vents = plan.case["vessel"].get("vents", {"cm2": 0, "rise": 0})
    return Vents(vents["cm2"] / 10_000, vents["rise"] / 200)


def _leak(plan: Plan, inputs: Inputs) -> Year:
    """Exchange of air, vents that warmth drives aside. [m³/h]"""
    width, depth, height = sides(plan)
    changes = inputs.need("air_changes", "the openings of the case (case: vessel: openings)")
    return scaled(changes, width * depth * height)


def unwalled(plan: Plan) -> bool:
    """Whether the plants stand in the air of the room itself: open, and no vessel's size is told."""
    return plan.case["vessel"]["openings"] == "open" and "inside_cm" not in plan.case["vessel"]


def sides(plan: Plan) -> tuple[float, float, float]:
    """Inner width, depth and height of the case. [m]"""
    if "inside_cm" not in plan.case["vessel"]:
        raise Missing("the inner size of the case (case: vessel: inside_cm)")
    width, depth, height = plan.case["vessel"]["inside_cm"]
    return width / 100, depth / 100, height / 100


def panes(plan: Plan) -> float:
    """Area of all six panes. [m²]"""
    width, depth, height = sides(plan)
    return 2 * (width * depth + width * height + depth * height)


def _day(plan: Plan, inputs: Inputs) -> Year:
    return added(inputs.need("room_day", "the room by day (room: temperature_day)"), _warmth(plan, inputs))


def uncooled_peak(plan: Plan, inputs: Inputs) -> Year:
    """The hottest where nothing cools: the room's own peak, the lamps, and the sun through the side it shines on."""
    peak = inputs.need("room_peak", "the hottest of the room (room: temperature_day: peak)")
    sun = inputs["sun_through_glass"]
    if plan.case["vessel"]["openings"] == "outdoor" or unwalled(plan) or sun == always(0.0):
        return added(peak, _warmth(plan, inputs))
    width, depth, height = sides(plan)
    sunlit = max(width, depth) * height
    shone = _warmed(plan, inputs, scaled(sun, sunlit))
    return added(peak, _warmth(plan, inputs), shone)


def _night(plan: Plan, inputs: Inputs, key: str) -> Year:
    """With the lamps out the case nears the room; how near by morning hangs on how much water it holds."""
    room = inputs.need(key, f"the nights of the room (room: temperature_night: {key.removeprefix('room_')})")
    rest = tuple((0.0, w[1] if open_ended(w) else STAYS_WARM * w[1]) for w in _warmth(plan, inputs))
    return added(room, rest)


def _humidity(plan: Plan, inputs: Inputs, part: str, warm: Year) -> Year:
    """Relative humidity by day or night. [%]"""
    if plan.case["vessel"]["openings"] == "outdoor" or unwalled(plan):
        return inputs.need("room_humidity", "the humidity of the air around (room: humidity)")
    return _balance(plan, inputs, part, warm, "humidity")


def _balance(plan: Plan, inputs: Inputs, part: str, warm: Year, what: str) -> Year:
    """One result of the vapour balance: humidity [%], condensing or leaving [g/h].

    The panes lie between room and case, so the coldest is taken as half way.
    """
    room = inputs.need(f"room_{part}", f"the room by {part} (room: temperature_{part})")
    moist = inputs.need("room_humidity", "the humidity of the room (room: humidity)")
    wet = inputs.need("wet_share", "how wet the surfaces look (case: surfaces)")
    width, depth, _ = sides(plan)
    drive = yearly(lambda s, h: s * width * depth * h, wet, inputs["transfer"])  # m³/h
    if any(open_ended(w) for w in warm):
        raise Missing(f"the temperature of the case by {part}")
    above = tuple((max(0.0, w[0] - r[0]), max(0.0, w[1] - r[1])) for w, r in zip(warm, room, strict=True))
    vents = _vents(plan)

    def one(*corner: float) -> float:
        found: float = getattr(_vapour(vents, *corner), what)
        return found

    return yearly(one, room, above, moist, _leak(plan, inputs), drive)


class Vapour(NamedTuple):
    """humidity [%]; condensing and leaving [g/h]."""

    humidity: float
    condensing: float
    leaving: float


@lru_cache(maxsize=16384)
def _vapour(vents: Vents, celsius: float, more: float, humidity: float, leak: float, drive: float) -> Vapour:
    """The vapour of a case in a room of a temperature and humidity, so much warmer than it. leak, drive: [m³/h]"""
    inside, flow = celsius + more, leak + vents.flow(more)
    made = wet_case(absolute_humidity(celsius, humidity), flow, drive, inside, 1.0, celsius + more / 2)
    relative = min(100.0, float(humidity_from_content(inside, made.content)))
    return Vapour(relative, max(0.0, float(made.condensing)), max(0.0, float(made.leaving)))


def _leaving(plan: Plan, inputs: Inputs, told: dict[str, Told]) -> Year:
    """Water that leaves with the air. [L/d]"""
    if plan.case["vessel"]["openings"] == "outdoor" or unwalled(plan):
        raise Missing("the water you add in a week (water_units: top_up)")
    hours = lit_hours(plan, inputs)
    by_day = _balance(plan, inputs, "day", told["temperature_day"].value, "leaving")
    by_night = _balance(plan, inputs, "night", told["temperature_night"].value, "leaving")
    return yearly(lambda d, n, h: (d * h + n * (24 - h)) / 1000, by_day, by_night, hours)


def lit_hours(plan: Plan, inputs: Inputs) -> Year:
    """Hours of light a day: as stated, of the lamps, of the day."""
    given = plan.year("photoperiod")
    if all(v != UNKNOWN for v in given):
        return given
    lamps = [f"{lamp['id']}/hours" for lamp in plan.lamps]
    spans: list[Year] = [inputs.need(name, f"the hours of the lamp {name[:-6]} (lamps: hours)") for name in lamps]
    if plan.window or plan.case["vessel"]["openings"] == "outdoor":
        spans.append(_daylight(plan))
    if not spans:
        raise Missing("the hours of light (case: photoperiod, or lamps: hours, or window)")
    return tuple((max(s[m][0] for s in spans), max(s[m][1] for s in spans)) for m in range(12))


def _daylight(plan: Plan) -> Year:
    if plan.latitude is None:
        raise Missing("the latitude")
    hours = [float(day_length(plan.latitude, day)) for day in MIDMONTH]
    # dawn and dusk beyond the geometric day
    return tuple((h, min(24.0, h + 0.5)) for h in hours)


def _deficit(warm: Told, humid: Told) -> Told:
    """What the air could still take up. [kPa]"""
    if any(open_ended(v) for v in (*warm.value, *humid.value)):
        return Told(needs=humid.needs or warm.needs)
    value = tuple(hull(vapour_pressure_deficit, w, _capped(h)) for w, h in zip(warm.value, humid.value, strict=True))
    return Told(value, "predicted", tuple(dict.fromkeys((*warm.rests_on, *humid.rests_on))))


def _capped(humidity: Interval) -> Interval:
    return (min(100.0, humidity[0]), min(100.0, humidity[1]))
