"""The air of the case from the room around it: warmth of lamp and sun, vapour of wet surfaces, leaks."""

from __future__ import annotations

from functools import lru_cache, partial
from math import hypot
from operator import mul
from typing import NamedTuple

from bogwright.enclosure.forecast import Told, given, resting, tell
from bogwright.enclosure.inputs import Inputs, Missing
from bogwright.enclosure.intervals import added, always, open_ended, scaled, yearly
from bogwright.enclosure.plan import UNKNOWN, Interval, Plan, Year
from bogwright.physics.air import (
    COLDEST,
    HOTTEST,
    absolute_humidity,
    humidity_from_content,
    saturation_content,
    vapour_pressure_deficit,
    vent_flow,
    wet_case,
)
from bogwright.physics.daylight import MIDMONTH, day_length
from bogwright.physics.heat import heat_loss, warmth_above_room

ROOM = 22.0  # °C, for the weight of the air that a vent moves: a few kelvin change it by a hundredth
HOTTEST_ABOVE = 40.0  # K
HALVINGS = 20
EVAPORATION = 0.68  # Wh that a gram of evaporating water takes; from memory
COOLED_BY_WATER = 15.0  # K: no wet surface is cooler than its room by more, short of a desert's
ADDED = "the water you add in a week (water_units: top_up)"
COOLER = "what cools the case takes vapour out of its air, nobody knows how much"


def air(plan: Plan, inputs: Inputs) -> dict[str, Told]:
    """Temperatures, humidities, vapour pressure deficit, condensation and evaporation of the case.

    Keys: temperature_day, temperature_night, peak, lowest, photoperiod apart; humidity, night_humidity, vpd, night_vpd;
    condensing, night_condensing [g/h]; leaving [L/d]: water that leaves with the air.
    """
    day = ("temperature_day", "usual"), ("temperature_day", "peak")
    night = ("temperature_night", "usual"), ("temperature_night", "lowest")
    told = {
        "temperature_day": given(plan.year(*day[0]), lambda: tell(inputs, lambda: _day(plan, inputs))),
        "peak": given(plan.year(*day[1]), lambda: tell(inputs, lambda: uncooled_peak(plan, inputs))),
        "temperature_night": given(
            plan.year(*night[0]), lambda: tell(inputs, lambda: _night(plan, inputs, "night", "usual"))
        ),
        "lowest": given(plan.year(*night[1]), lambda: tell(inputs, lambda: _night(plan, inputs, "lowest", "lowest"))),
    }
    for part, key in (("day", "humidity"), ("night", "night_humidity")):
        warm = told[f"temperature_{part}"]
        told[key] = given(plan.year(key), partial(_humid, plan, inputs, part, warm))
        told["vpd" if part == "day" else "night_vpd"] = _deficit(inputs, warm, told[key])
        told["condensing" if part == "day" else "night_condensing"] = tell(
            inputs, partial(_balance, plan, inputs, part, warm, "condensing")
        )
    told["leaving"] = resting(tell(inputs, lambda: _leaving(plan, inputs, told)), told["humidity"])
    return told


def _warmth(plan: Plan, inputs: Inputs, room: Year, sun: Year) -> Year:
    """How much the lamps, and sun of so many watts, warm the case above a room of such temperatures. [K]"""
    if plan.case["vessel"]["openings"] == "outdoor" or (not plan.lamps and sun == always(0.0)):
        return always(0.0)
    if unwalled(plan):
        return inputs["shelf_warmth"]
    power = sun
    for lamp in plan.lamps:
        id = lamp["id"]
        if "mounted" not in lamp:
            raise Missing(f"whether the lamp {id} hangs inside or outside (lamps: mounted)")
        watts = inputs.need(f"{id}/watts", f"the watts of the lamp {id} (lamps: watts)")
        power = added(power, yearly(mul, watts, inputs[f"{id}/heat"]))
    return _warmed(plan, inputs, room, power)


def _sun(plan: Plan, inputs: Inputs) -> Year:
    """What the sun brings in at its height: through the largest side, at most through side and lid at once. [W]"""
    if plan.case["vessel"]["openings"] == "outdoor" or unwalled(plan) or inputs["sun_through_glass"] == always(0.0):
        return always(0.0)
    width, depth, height = sides(plan)
    side = max(width, depth) * height
    return tuple((low * side, high * hypot(side, width * depth)) for low, high in inputs["sun_through_glass"])


def _sunny(plan: Plan) -> bool:
    """Whether sun on a usual day is told of; where nothing speaks of sun the peak alone allows for it."""
    case = plan.case
    return (
        bool(plan.window)
        or case.get("sun_on_glass") in ("brief", "hours")
        or case["vessel"].get("kind") == "greenhouse"
    )


def heat_lost(plan: Plan, inputs: Inputs, difference: Year) -> Year:
    """Heat that panes, leaks and vents carry off: vents by any difference from the room up to the greatest. [W/K]"""
    area, vents = panes(plan), _vents(plan)
    flow = tuple((q[0], q[1] + vents.flow(d[1])) for q, d in zip(_leak(plan, inputs), difference, strict=True))
    return yearly(lambda u, q: heat_loss(area, u, q), inputs["wall_conductance"], flow)


def _warmed(plan: Plan, inputs: Inputs, room: Year, power: Year) -> Year:
    """Warmth above the room at which panes, exchanged air and what evaporates carry off as much as comes in. [K]

    What the plan does not tell of vapour may be anything between dry and wet.
    """
    settled = partial(_settled, panes(plan), _vents(plan))
    moist = inputs["room_humidity"] if inputs.has("room_humidity") else always(0.0, 100.0)
    wet = inputs["wet_share"] if inputs.has("wet_share") else always(0.0, 1.0)
    drive = _drive(plan, inputs, wet)
    low, high = 0, 1

    def end(of: Year, which: int) -> Year:
        return tuple((v[which], v[which]) for v in of)

    conductance, leak = inputs["wall_conductance"], _leak(plan, inputs)
    coolest = yearly(settled, end(power, low), conductance, leak, room, end(moist, low), end(drive, high))
    # the tighter the case the warmer, whatever evaporates
    tight = end(conductance, low), end(leak, low)
    warmest = yearly(settled, end(power, high), *tight, room, end(moist, high), end(drive, low))
    return tuple((c[0], w[1]) for c, w in zip(coolest, warmest, strict=True))


# Remembered, since most changes of a plan that are tried leave its air as it is.
@lru_cache(maxsize=16384)
def _settled(
    area: float, vents: Vents, watts: float, conductance: float, leak: float, room: float, humidity: float, drive: float
) -> float:
    """Warmth above the room of panes of an area [m²] that lose, with the vapour, what the watts bring. [K]"""
    greatest = float(warmth_above_room(watts, heat_loss(area, conductance, leak)))
    if vents.opening == 0 and drive == 0:
        return greatest
    low, high = -COOLED_BY_WATER, greatest
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        carried = middle * float(heat_loss(area, conductance, leak + vents.flow(abs(middle))))
        evaporated = _vapour(vents, room, middle, humidity, leak, drive).leaving * EVAPORATION if drive else 0.0
        low, high = (middle, high) if carried + evaporated < watts else (low, middle)
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


def _drive(plan: Plan, inputs: Inputs, wet: Year) -> Year:
    """What the wet share of the floor gives its air to exchange with. [m³/h]"""
    width, depth, _ = sides(plan)
    return yearly(lambda share, transfer: share * width * depth * transfer, wet, inputs["transfer"])


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
    """The usual high, from a day without sun to one with it."""
    sun: Year = tuple((0.0, high) for _, high in _sun(plan, inputs)) if _sunny(plan) else always(0.0)
    room = inputs.need("room_day", "the room by day (room: temperature_day)")
    return added(room, _warmth(plan, inputs, room, sun))


def uncooled_peak(plan: Plan, inputs: Inputs) -> Year:
    """The hottest where nothing cools: the room's own peak, the lamps, and the sun through the side it shines on."""
    peak = inputs.need("room_peak", "the hottest of the room (room: temperature_day: peak)")
    return added(peak, _warmth(plan, inputs, peak, _sun(plan, inputs)))


def _night(plan: Plan, inputs: Inputs, which: str, key: str) -> Year:
    """With the lamps out the case nears the room; how near by morning hangs on how much water it holds."""
    room = inputs.need(f"room_{which}", f"the room by night (room: temperature_night: {key})")
    lit = tuple((max(0.0, low), max(0.0, high)) for low, high in _warmth(plan, inputs, room, always(0.0)))
    return added(room, yearly(mul, lit, inputs["night_warmth"]))


def _humid(plan: Plan, inputs: Inputs, part: str, warm: Told) -> Told:
    return resting(tell(inputs, lambda: _humidity(plan, inputs, part, warm)), warm)


def _humidity(plan: Plan, inputs: Inputs, part: str, warm: Told) -> Year:
    """Relative humidity by day or night. [%]"""
    if plan.case["vessel"]["openings"] == "outdoor" or unwalled(plan):
        return inputs.need("room_humidity", "the humidity of the air around (room: humidity)")
    return _balance(plan, inputs, part, warm, "humidity")


def _balance(plan: Plan, inputs: Inputs, part: str, warm: Told, what: str) -> Year:
    """One result of the vapour balance: humidity [%], condensing or leaving [g/h].

    The panes lie between room and case, so the coldest is taken as half way. A case that is cooled below its room is
    not foreseen: how cold its cooler is nobody said.
    """
    room = inputs.need(f"room_{part}", f"the room by {part} (room: temperature_{part})")
    moist = inputs.need("room_humidity", "the humidity of the room (room: humidity)")
    wet = inputs.need("wet_share", "how wet the surfaces look (case: surfaces)")
    drive = _drive(plan, inputs, wet)
    if any(open_ended(w) for w in warm.value):
        raise Missing(*(warm.needs or (f"the temperature of the case by {part} (case: temperature_{part})",)))
    if any(w[1] < r[0] for w, r in zip(warm.value, room, strict=True)):
        asked = "humidity" if part == "day" else "night_humidity"
        raise Missing(f"{ADDED if what == 'leaving' else f'the humidity by {part} (case: {asked})'}: {COOLER}")
    above = tuple((w[0] - r[0], w[1] - r[1]) for w, r in zip(warm.value, room, strict=True))
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
    """The vapour of a case in a room of a temperature and humidity, so much warmer than it. leak, drive: [m³/h]

    Under the sun glass may pass the heat the formulas go to; the driest air is then that of this heat, which kills.
    """
    inside, flow = max(COLDEST, min(celsius + more, max(celsius, HOTTEST))), leak + vents.flow(abs(more))
    made = wet_case(absolute_humidity(celsius, humidity), flow, drive, inside, 1.0, min(inside, (celsius + inside) / 2))
    relative = min(100.0, float(humidity_from_content(inside, made.content)))
    return Vapour(relative, max(0.0, float(made.condensing)), max(0.0, float(made.leaving)))


def _leaving(plan: Plan, inputs: Inputs, told: dict[str, Told]) -> Year:
    """Water that leaves with the air. [L/d]"""
    if plan.case["vessel"]["openings"] == "outdoor":
        raise Missing(ADDED)
    hours = lit_hours(plan, inputs)
    made = _given_off if unwalled(plan) else partial(_balance, what="leaving")
    by_day = made(plan, inputs, "day", told["temperature_day"])
    by_night = made(plan, inputs, "night", told["temperature_night"])
    return yearly(lambda d, n, h: (d * h + n * (24 - h)) / 1000, by_day, by_night, hours)


def _given_off(plan: Plan, inputs: Inputs, part: str, warm: Told) -> Year:
    """What wet places on an open shelf give off to a room that takes it all. [g/h]"""
    moist = inputs.need("room_humidity", "the humidity of the room (room: humidity)")
    wet = inputs.need("wet_share", "how wet the surfaces look (case: surfaces)")
    sizes = [p.given["size_cm"] for p in plan.places.values() if "size_cm" in p.given]
    if len(sizes) < len(plan.places):
        raise Missing(f"the size of every place (places: size_cm), or {ADDED}")
    if any(open_ended(w) for w in warm.value):
        raise Missing(*(warm.needs or (f"the temperature of the room by {part} (room: temperature_{part})",)))
    area = sum(width * depth for width, depth in sizes) / 10_000

    def off(celsius: float, humidity: float, share: float, transfer: float) -> float:
        lacking = saturation_content(celsius) - absolute_humidity(celsius, humidity)
        return float(share * area * transfer * lacking)

    return yearly(off, warm.value, moist, wet, inputs["transfer"])


def lit_hours(plan: Plan, inputs: Inputs) -> Year:
    """Hours of light a day: as stated, of the lamps, of the day."""
    told = plan.year("photoperiod")
    if all(v != UNKNOWN for v in told):
        return told
    lamps = [f"{lamp['id']}/hours" for lamp in plan.lamps]
    spans: list[Year] = [inputs.need(name, f"the hours of the lamp {name[:-6]} (lamps: hours)") for name in lamps]
    burn = tuple((max(s[m][0] for s in spans), max(s[m][1] for s in spans)) for m in range(12)) if spans else None
    sky = _daylight(plan) if plan.window or plan.case["vessel"]["openings"] == "outdoor" else None
    if burn is None or sky is None:
        alone = sky if burn is None else burn
        if alone is None:
            raise Missing("the hours of light (case: photoperiod, or lamps: hours, or window)")
        return alone
    return yearly(lambda b, s, dark: min(24.0, max(b, s + b * dark)), burn, sky, inputs["after_dark"])


def _daylight(plan: Plan) -> Year:
    if plan.latitude is None:
        raise Missing("the latitude (latitude)")
    hours = [float(day_length(plan.latitude, day)) for day in MIDMONTH]
    # dawn and dusk beyond the geometric day
    return tuple((h, min(24.0, h + 0.5)) for h in hours)


def _deficit(inputs: Inputs, warm: Told, humid: Told) -> Told:
    """What the air could still take up. [kPa]"""
    if any(open_ended(v) for v in (*warm.value, *humid.value)):
        return Told(needs=humid.needs or warm.needs)
    humidity = tuple(_capped(h) for h in humid.value)
    return resting(tell(inputs, lambda: yearly(vapour_pressure_deficit, warm.value, humidity)), warm, humid)


def _capped(humidity: Interval) -> Interval:
    return (min(100.0, humidity[0]), min(100.0, humidity[1]))
