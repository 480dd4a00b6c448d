"""The words of a plan's picture: layers with their letters, the vessel, and the key below the drawing."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from bogwright.enclosure.bedding import parts_of
from bogwright.enclosure.plan import UNKNOWN, Place, Plan
from bogwright.report.conditions import in_words, rows_of, year_span
from bogwright.report.strips import of_year

SPACE = "\u00a0"  # between what stays on one line
FLAT = 0.01  # cm that nobody measures


def layers_of(plan: Plan) -> dict[str, str]:
    """Every kind of layer of the plan in words, with its letter."""
    found: dict[str, str] = {}
    for place in plan.places.values():
        for _, words in stack_of(place):
            found.setdefault(words, chr(ord("A") + len(found) % 26))
    return found


def stack_of(place: Place) -> list[tuple[float, str]]:
    """Layers of a place from the floor up: cm and material in words."""
    medium = place.given.get("medium", {})
    if "layers" in medium:
        return [(one["cm"], _mixed(one)) for one in medium["layers"]]
    if "depth" in medium:
        parts = ", ".join(_named(m) for m in medium.get("components", ()))
        return [(medium["depth"], f"{parts}, shares not stated" if "," in parts else parts or "medium not stated")]
    return []


def crown_of(place: Place) -> float:
    """Height of the crowns above the floor; the top of the layers where it is not stated. [cm]"""
    return float(place.given.get("crown_height", sum(cm for cm, _ in stack_of(place))))


def _mixed(layer: Mapping[str, Any]) -> str:
    if "mix" not in layer:
        return _named(layer["material"])
    least = min(layer["mix"].values())
    whole = all(abs(v / least - round(v / least)) < 1e-9 for v in layer["mix"].values())
    if whole:
        return ", ".join(f"{v / least:g} {_named(m)}" for m, v in layer["mix"].items())
    return ", ".join(f"{100 * share:.0f} % {_named(m)}" for m, share in parts_of(layer))


def _named(material: str) -> str:
    return material.replace("-", " ")


def vessel_words(plan: Plan, sized: bool) -> str:
    """Kind, size and openings of the vessel. sized : whether the plan states its size."""
    vessel = plan.case["vessel"]
    size = " by ".join(f"{cm:g}" for cm in vessel["inside_cm"]) + " cm inside" if sized else "of a size not stated"
    return f"{vessel.get('kind', 'vessel').replace('-', ' ').capitalize()} {size}, {vessel['openings']}."


def lamp_words(plan: Plan) -> str:
    """Where each lamp hangs."""
    said = [
        f"Lamp {lamp['id']} "
        + (f"{lamp['height']:g} cm above the floor." if "height" in lamp else "at a height not stated.")
        for lamp in plan.lamps
    ]
    return " ".join(said) or "No lamp is stated."


def key(
    plan: Plan,
    made: Mapping[str, Any],
    layers: Mapping[str, str],
    numbers: Mapping[str, int],
    sized: bool,
    as_stated: bool,
) -> Iterator[tuple[str, str]]:
    """Lines under the picture, as (class, words): plants, places, media, water, and what is drawn as a guess."""
    names = [f"{numbers[p['id']]}{SPACE}{p['name']}" for p in made["plants"]]
    yield "soft", f"Plants (signs, not to scale): {', '.join(names)}"
    for part in made["parts"]:
        if part["part"] != "place":
            continue
        rows, place = rows_of(part), plan.places[part["id"]]
        stack = (
            ", ".join(f"{cm:g}{SPACE}cm{SPACE}{layers[words]}" for cm, words in stack_of(place)) or "layers not stated"
        )
        light = in_words(year_span(rows["dli"]), "mol/m²/day").replace(" ", SPACE)
        yield "soft", f"{part['id']}: {of_year(rows['moisture'])}; light a day {light}; from below {stack}"
    for words, letter in layers.items():
        yield "soil", f"{letter} {words}"
    for unit in plan.water_units.values():
        level = [v for v in unit.year("level") if v != UNKNOWN]
        if not level:
            yield "soft", f"Water of {unit.id}: its level is unknown"
            continue
        height = (min(v[0] for v in level), max(v[1] for v in level))
        yield "soft", f"Water of {unit.id} (dashed line, ▽): {in_words(height, 'cm')} above the floor"
    for place in plan.places.values():
        deep = sum(cm for cm, _ in stack_of(place))
        if "crown_height" in place.given and deep > place.given["crown_height"] + FLAT:
            yield "soft", f"The layers of {place.id} reach below the floor: its crown height or its depth is not right"
    if not sized:
        yield "soft", "The size of the vessel is not stated: its panes are a guess"
    if not as_stated:
        yield "soft", "Places are drawn side by side: where they lie is not stated, or one lies behind another"
