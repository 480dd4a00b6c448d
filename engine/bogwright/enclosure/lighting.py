"""Light at each place: from lamps by height and offset, through a window, less what taller neighbours take."""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import partial
from typing import Any

from bogwright.enclosure.climate import lit_hours, unwalled
from bogwright.enclosure.conditions import flux_at_leaf
from bogwright.enclosure.forecast import Told, given, stated, tell
from bogwright.enclosure.inputs import Inputs, Missing
from bogwright.enclosure.intervals import added, always, yearly
from bogwright.enclosure.plan import Interval, Place, Plan, Year
from bogwright.physics.daylight import (
    MIDMONTH,
    PHOTOSYNTHETIC_SHARE,
    daylight_integral,
    extraterrestrial_radiation,
    solar_radiation,
)
from bogwright.physics.light import (
    daily_light_integral,
    disc_factor,
    from_reading,
    ppfd_under,
    rectangle_factor,
    wall_shade,
)

CM2_IN_M2 = 10_000
# what a neighbour or its gaps let through is not known, so its shade is taken as none to all of what a wall would hide
SIDES = 4


def light(plan: Plan, place: Place, inputs: Inputs, lamps: Mapping[str, Any]) -> dict[str, Told]:
    """Photon flux while the lamps are on, and the daily light integral. Keys: ppfd, dli."""
    bare = stated(flux_at_leaf(place, lamps))
    told = {"ppfd": given(flux_at_leaf(place, lamps), lambda: tell(inputs, lambda: _flux(plan, place, inputs)))}
    told["dli"] = given(place.year("light", "dli"), lambda: tell(inputs, lambda: _integral(plan, place, inputs, bare)))
    return told


def _flux(plan: Plan, place: Place, inputs: Inputs) -> Year:
    """Photon flux of all lamps together. [umol m-2 s-1]"""
    if not plan.lamps:
        raise Missing("the lamps (lamps), or the light at the place (places: light)")
    total = [_under(plan, lamp, place, inputs) for lamp in plan.lamps]
    return _shaded(place, added(*total))


def _under(plan: Plan, lamp: Mapping[str, Any], place: Place, inputs: Inputs) -> Year:
    """Photon flux of one lamp at the crown."""
    id = lamp["id"]
    if "size_cm" not in lamp and "across_cm" not in lamp:
        raise Missing(f"the size of the lamp {id} (lamps: size_cm, or lamps: across_cm)")
    here = _factors(plan, lamp, place)
    passed = _passed(plan, inputs) if lamp.get("mounted") == "outside" else always(1.0)
    if inputs.has(f"{id}/reading"):
        reading = inputs[f"{id}/reading"]
        there = _factor(lamp, 0.0, 0.0, lamp["reading"]["below_cm"])
        bare = yearly(lambda r, f: float(from_reading(r, f, there)), reading, here)
    else:
        flux = inputs.need(f"{id}/flux", f"the lumens or watts of the lamp {id} (lamps: lumens)")
        area = _area(lamp) / CM2_IN_M2
        label, scattered = inputs[f"{id}/label"], inputs["scattered"]
        bare = yearly(lambda q, f, t, s: float(ppfd_under(q, area, f)) * t * s, flux, here, label, scattered)
    return yearly(lambda b, t: b * t, bare, passed)


def _passed(plan: Plan, inputs: Inputs) -> Year:
    """Share of an outside lamp's light that gets in: all of it over a shelf, perhaps all of it over an open case."""
    if unwalled(plan) or plan.case["vessel"]["openings"] == "outdoor":
        return always(1.0)
    lid = inputs["lid_transmission"]
    return tuple((low, 1.0) for low, _ in lid) if plan.case["vessel"]["openings"] == "open" else lid


def _area(lamp: Mapping[str, Any]) -> float:
    """Area that shines. [cm²]"""
    if "across_cm" in lamp:
        return math.pi / 4 * float(lamp["across_cm"]) ** 2
    width, depth = lamp["size_cm"]
    return float(width * depth)


def _factor(lamp: Mapping[str, Any], dx: float, dy: float, below: float) -> float:
    if "across_cm" in lamp:
        return float(disc_factor(lamp["across_cm"] / 2, (dx * dx + dy * dy) ** 0.5, below))
    width, depth = lamp["size_cm"]
    return float(rectangle_factor(width, depth, dx, dy, below))


def _factors(plan: Plan, lamp: Mapping[str, Any], place: Place) -> Year:
    """Configuration factor at the place; the hull over the floor where the plan does not say where it lies."""
    id = lamp["id"]
    if "height" not in lamp:
        raise Missing(f"the height of the lamp {id} (lamps: height)")
    if "crown_height" not in place.given:
        raise Missing(f"the height of the crowns of {place.id} (places: crown_height)")
    below = lamp["height"] - place.given["crown_height"]
    if below <= 0:
        raise Missing(f"a lamp {id} above the crowns of {place.id}: it hangs {-below:g} cm below them")
    if "at_cm" in place.given and "over_cm" in lamp:
        (x, y), (a, b) = place.given["at_cm"], lamp["over_cm"]
        found = _factor(lamp, x - a, y - b, below)
        return ((found, found),) * 12
    if "inside_cm" not in plan.case["vessel"]:
        raise Missing(f"where {place.id} and the lamp {id} are (places: at_cm, lamps: over_cm)")
    width, depth, _ = plan.case["vessel"]["inside_cm"]
    a, b = lamp.get("over_cm", (width / 2, depth / 2))
    far = _factor(lamp, max(a, width - a), max(b, depth - b), below)
    return ((far, _factor(lamp, 0.0, 0.0, below)),) * 12


def _shaded(place: Place, flux: Year) -> Year:
    """Less what taller things beside it may take: each hides up to what a long wall would."""
    hidden = sum(float(wall_shade(one["rise"], one["gap"])) for one in place.given.get("beside", ())[:SIDES])
    least = max(0.0, 1 - hidden)
    return tuple((low * least, high) for low, high in flux)


def _integral(plan: Plan, place: Place, inputs: Inputs, bare: Told | None) -> Year:
    """Light a day: of each lamp for its hours, and of the window. [mol m-2 d-1]

    Light measured where no lamp burns is that of the window itself.
    """
    parts: list[Year] = []
    if bare is not None:
        parts.append(yearly(daily_light_integral, bare.value, _lamp_hours(plan, inputs)))
    else:
        parts += [_lamp_day(plan, lamp, place, inputs) for lamp in plan.lamps]
    if plan.window and (bare is None or plan.lamps):
        parts.append(_shaded(place, _through_window(plan, inputs)))
    if not parts:
        raise Missing("the lamps (lamps), the window (window), or the light at the place (places: light)")
    return added(*parts)


def _lamp_day(plan: Plan, lamp: Mapping[str, Any], place: Place, inputs: Inputs) -> Year:
    """Light a day of one lamp. [mol m-2 d-1]"""
    flux = _shaded(place, _under(plan, lamp, place, inputs))
    return yearly(daily_light_integral, flux, inputs.need(*_hours_of(lamp)))


def _hours_of(lamp: Mapping[str, Any]) -> tuple[str, str]:
    """Name of a lamp's hours, and the words to ask for them."""
    return f"{lamp['id']}/hours", f"the hours of the lamp {lamp['id']} (lamps: hours)"


def _lamp_hours(plan: Plan, inputs: Inputs) -> Year:
    """Hours in which the lamps burn: alike for all, or the hull from the shortest to the longest."""
    hours: list[Year] = [inputs.need(*_hours_of(lamp)) for lamp in plan.lamps]
    if not hours:
        return lit_hours(plan, inputs)
    return tuple((min(h[m][0] for h in hours), max(h[m][1] for h in hours)) for m in range(12))


def _through_window(plan: Plan, inputs: Inputs) -> Year:
    if plan.latitude is None:
        raise Missing("the latitude (latitude)")
    outside = [float(extraterrestrial_radiation(plan.latitude, day)) for day in MIDMONTH]
    above: tuple[Interval, ...] = tuple((r, r) for r in outside)
    radiation = yearly(lambda r, n: float(solar_radiation(r, n)), above, inputs["sunshine"])
    seen = always(*PHOTOSYNTHETIC_SHARE)
    return yearly(lambda s, r, p: s * float(daylight_integral(r, p)), inputs["window_share"], radiation, seen)


def hours(plan: Plan, inputs: Inputs) -> Told:
    """Hours of light a day."""
    return given(plan.year("photoperiod"), lambda: tell(inputs, partial(lit_hours, plan, inputs)))
