"""Whether the parts of a plan fit into one another: heights, places, lamps and water in a vessel with a floor.

What a plan leaves out fits; beds in open ground may reach below what the plan calls the floor.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from typing import Any

from bogwright.enclosure.plan import UNKNOWN, Interval, Path, monthly

Say = Callable[[Path, str, str], None]

FLOORED = ("glass-case", "jar", "bowl", "tank")  # nothing in them lies below the floor or beyond the walls
SLACK = 1.0  # cm; figures of a plan are rounded
LEAST_SIDE, GREATEST_SIDE = 1.0, 500.0  # cm; beyond them the sides were given in metres or millimetres
MOST_VOLUMES = 50  # a flush of more washes nothing further out: its litres were millilitres
FROM_FLOOR = "heights are counted in cm from the floor of the case"


def check_fit(data: Mapping[str, Any], say: Say) -> None:
    """Report parts that cannot lie as the plan says through ``say(path, message, hint)``."""
    vessel = data["case"]["vessel"]
    floored = vessel.get("kind") in FLOORED
    sides = vessel.get("inside_cm") if floored else None
    if sides is not None and not all(LEAST_SIDE <= side <= GREATEST_SIDE for side in sides):
        hint = "write width, depth and height in cm"
        say(("case", "vessel", "inside_cm"), f"no {vessel['kind']} measures {_sides(sides)} cm inside", hint)
        sides = None
    top = lid(vessel) if sides is not None else None
    for n, place in enumerate(data["places"]):
        _layers(n, place, floored, say)
        if sides is not None:
            _inside(n, place, sides, top, say)
    for n, lamp in enumerate(data.get("lamps", ())):
        _lamp(n, lamp, data["places"], top, say)
    for n, unit in enumerate(data["water_units"]):
        _water(n, unit, sides, say)


def lid(vessel: Mapping[str, Any]) -> float | None:
    """Height of the lid above the floor [cm]; None where the vessel is open, or its size or openings are not told."""
    if vessel["openings"] not in ("closed", "vented") or "inside_cm" not in vessel:
        return None
    return float(vessel["inside_cm"][2])


def _layers(n: int, place: Mapping[str, Any], floored: bool, say: Say) -> None:
    layers, crown = place.get("medium", {}).get("layers"), place.get("crown_height")
    if not (floored and layers and crown is not None):
        return
    deep = sum(layer["cm"] for layer in layers)
    if deep > crown + SLACK:
        message = (
            f"layers of {deep:g} cm reach {deep - crown:g} cm below the floor, since the crowns are at {crown:g} cm"
        )
        say(
            ("places", n, "medium", "layers"), message, "layers go from the floor up to the crowns: mend one of the two"
        )


def _inside(n: int, place: Mapping[str, Any], sides: list[float], top: float | None, say: Say) -> None:
    """Crowns under the lid; the middle and the size of a place within the walls."""
    width, depth, _ = sides
    crown = place.get("crown_height")
    if crown is not None and top is not None and crown > top:
        message = f"the crowns are at {crown:g} cm, above the lid at {top:g} cm"
        say(("places", n, "crown_height"), message, FROM_FLOOR)
    at = place.get("at_cm")
    if at is not None and not (0 <= at[0] <= width and 0 <= at[1] <= depth):
        message = f"the place lies at {_sides(at)} cm, outside a floor of {width:g} × {depth:g} cm"
        say(("places", n, "at_cm"), message, "write the middle of the place, in cm from the left and from the front")
    size = place.get("size_cm")
    if size is not None and (max(size) > max(width, depth) + SLACK or min(size) > min(width, depth) + SLACK):
        message = f"a place of {_sides(size)} cm does not go on a floor of {width:g} × {depth:g} cm"
        say(("places", n, "size_cm"), message, "write its width and depth in cm")


def _lamp(n: int, lamp: Mapping[str, Any], places: list[Mapping[str, Any]], top: float | None, say: Say) -> None:
    """A lamp over the crowns of at least one place, and on the side of the lid where it is mounted."""
    if "height" not in lamp:
        return
    path, height = ("lamps", n, "height"), lamp["height"]
    crowns = [place["crown_height"] for place in places if "crown_height" in place]
    if len(crowns) == len(places) and height <= min(crowns):
        say(path, f"the lamp hangs at {height:g} cm, not above the crowns at {min(crowns):g} cm", FROM_FLOOR)
    elif top is not None and lamp.get("mounted") == "outside" and height < top - SLACK:
        message = f"a lamp mounted outside hangs at {height:g} cm, below the lid at {top:g} cm"
        say(path, message, f"{FROM_FLOOR}; or set mounted: inside")
    elif top is not None and lamp.get("mounted") == "inside" and height > top + SLACK:
        message = f"a lamp mounted inside hangs at {height:g} cm, above the lid at {top:g} cm"
        say(path, message, f"{FROM_FLOOR}; or set mounted: outside")


def _water(n: int, unit: Mapping[str, Any], sides: list[float] | None, say: Say) -> None:
    level, held = _least(unit.get("level")), _greatest(unit.get("litres"))
    if sides is not None and level is not None and level > sides[2]:
        message = f"the water stands at {level:g} cm, above the walls of {sides[2]:g} cm"
        say(("water_units", n, "level"), message, FROM_FLOOR)
    if held is None:
        return
    gone = _least(unit.get("reservoir"))
    if gone is not None and gone > held:
        message = f"{gone:g} L may go before you refill, but there are {held:g} L in all"
        say(("water_units", n, "reservoir"), message, "litres counts reservoir and medium together, in L")
    poured = unit.get("flush", {}).get("litres")
    if poured is not None and poured > MOST_VOLUMES * held:
        message = f"a flush of {poured:g} L is more than {MOST_VOLUMES} times the {held:g} L held"
        say(("water_units", n, "flush", "litres"), message, "write what you pour through at one time, in L")


def _sides(lengths: list[float]) -> str:
    return " × ".join(f"{one:g}" for one in lengths)


def _known(value: Any) -> list[Interval]:
    return [one for one in monthly(value) if one != UNKNOWN]


def _least(value: Any) -> float | None:
    """The least a figure says that it always reaches: the greatest of its monthly low ends."""
    return max((low for low, _ in _known(value)), default=None)


def _greatest(value: Any) -> float | None:
    return max((high for _, high in _known(value)), default=None)
