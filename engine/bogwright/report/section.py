"""A plan drawn: a cross-section of its vessel with lamps, media, water and plants."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping
from itertools import pairwise
from typing import Any, NamedTuple

from markupsafe import Markup

from bogwright import data
from bogwright.enclosure.plan import UNKNOWN, Place, Plan
from bogwright.report.conditions import in_words, rows_of, year_span
from bogwright.report.section_words import crown_of, key, lamp_words, layers_of, stack_of, vessel_words
from bogwright.report.site.charts import svg
from bogwright.report.site.charts.svg import WIDTH, coordinate, group, shape, text
from bogwright.report.site.markup import Text, cat, el
from bogwright.report.strips import CLASS, LINE, Drawn, draw_strips, of_year

LEFT, RIGHT, TALLEST = 30.0, 338.0, 250.0
LID_WORDS, PLANT_WORDS = 22.0, 104.0  # room above the topmost pane or lamp, and above the topmost crown
LETTER = 6.9  # width of a letter, as far as a picture that no browser has measured can know
LINE_LETTERS = 54
GAP, EDGE = 12.0, 10.0  # between both pictures of a file, and around them
NARROW = 58.0  # a place narrower than this has its words only below the picture
SOIL = (
    "M0 3h2M5 6h2",
    "M0 8 8 0M-2 2 2-2M6 10l4-4",
    "M2 2l3 3M5 2 2 5",
    "M0 2h8M0 6h8",
    "M2 0v8M6 0v8",
    "M0 3q2-3 4 0t4 0",
    "M1 1h4v4h-4z",
)
# signs of growth forms, drawn upward from the crown; they are not to scale
FORMS = {
    "rosette": "M0 0-9-6M0 0-4-10M0 0V-11M0 0 4-10M0 0 9-6",
    "upright": "M0 0V-17M0-5-6-9M0-8 6-12M0-12-5-16M0-14 4-17",
    "clump": "M-5 0-7-13M-2 0-3-16M1 0 2-14M4 0 7-12",
    "climbing": "M0 0q-7-5 0-9t0-9M-3-6h-4v4M3-13h4v4",
    "creeping": "M-10 0H10M-8 0v-4M-3 0v-6M2 0v-4M7 0v-6",
    "tuberous": "M0 0V-14M0-6-5-9M0-9 5-12M-3 5a3 3 0 1 0 6 0a3 3 0 1 0-6 0",
    "floating": "M-11-2H11M-7-2v-4M-2-2v-4M3-2v-4M8-2v-4",
    "shrub": "M0 0V-8M0-8-6-15M0-8 6-15M0-8V-17",
    "tank": "M-3 0-8-16M3 0 8-16M0 0V-14M-3 0H3",
    "moss": "M-9 0v-4M-6 0v-6M-3 0v-4M0 0v-6M3 0v-4M6 0v-6M9 0v-4",
}
ANY_FORM = "M0 0V-10M-4-10a4 4 0 1 1 8 0a4 4 0 1 1-8 0"


class Scale(NamedTuple):
    """Centimetres of the case to units of the picture. floor : where height 0 lies."""

    unit: float
    floor: float

    def x(self, cm: float) -> float:
        return LEFT + cm * self.unit

    def y(self, cm: float) -> float:
        return self.floor - cm * self.unit


def section(plan: Plan, made: Mapping[str, Any]) -> Markup:
    """The vessel cut open from left to right. made : content of its conditions."""
    drawn = _section(plan, made)
    return svg.picture(
        "section", f"Cross-section of {plan.title}", drawn.told, drawn.height, *drawn.parts, class_=CLASS
    )


def standing_alone(plan: Plan, made: Mapping[str, Any]) -> str:
    """Both pictures as the text of one SVG file, which needs nothing else."""
    above, below = _section(plan, made), draw_strips(made)
    style = (data.site_folder() / "theme" / "css" / "section.css").read_text(encoding="utf-8")
    height = above.height + GAP + below.height
    box = [-EDGE, -EDGE, WIDTH + 2 * EDGE, height + 2 * EDGE]
    whole = el(
        "svg",
        el("title", f"{plan.title}: cross-section and year", id="enclosure-t"),
        el("desc", f"{above.told} {below.told}", id="enclosure-d"),
        el("style", Markup(style)),
        shape("rect", class_="leaf", x=box[0], y=box[1], width=box[2], height=box[3]),
        *above.parts,
        el("g", *below.parts, transform=f"translate(0 {coordinate(above.height + GAP)})"),
        xmlns="http://www.w3.org/2000/svg",
        viewBox=" ".join(map(coordinate, box)),
        role="img",
        aria_labelledby="enclosure-t",
        aria_describedby="enclosure-d",
        class_=CLASS,
    )
    return f"{whole}\n"


def _section(plan: Plan, made: Mapping[str, Any]) -> Drawn:
    width, height, sized = _vessel(plan)
    top = max([height, *(lamp["height"] + 3 for lamp in plan.lamps if "height" in lamp)])
    unit = min((RIGHT - LEFT) / width, TALLEST / top)
    crowns = [crown_of(place) for place in plan.places.values()]
    scale = Scale(unit, max(LID_WORDS + top * unit, PLANT_WORDS + max(crowns) * unit))
    across, as_stated = _across(plan, width)
    layers = layers_of(plan)
    numbers = {plant["id"]: n for n, plant in enumerate(made["plants"], 1)}
    parts: list[Text] = [_patterns(len(layers)), _ruler(scale, top)]
    for place in plan.places.values():
        parts.append(_bed(scale, place, across[place.id], layers))
    for unit_id in plan.water_units:
        parts += _water(scale, plan, unit_id, across)
    parts.append(_panes(scale, width, height, plan.case["vessel"]["openings"], sized))
    parts += [_lamp(scale, lamp, width, height) for lamp in plan.lamps]
    for part in made["parts"]:
        if part["part"] == "place":
            parts.append(_grown(scale, plan.places[part["id"]], part, made, numbers, across[part["id"]]))
    lines = [*key(plan, made, layers, numbers, sized, as_stated)]
    y = scale.floor + 34
    for style, words in lines:
        if style == "soil":
            parts += [_swatch(words, y, layers), text(22, y, words, "soft")]
            y += LINE + 3
            continue
        for n, line in enumerate(textwrap.wrap(words, LINE_LETTERS, break_on_hyphens=False)):
            parts.append(text(0 if n == 0 else 10, y, line, style))
            y += LINE
        y += 2
    told = " ".join(f"{words}." for _, words in lines)
    return Drawn(y, f"{vessel_words(plan, sized)} {lamp_words(plan)} {told}", tuple(parts))


def _vessel(plan: Plan) -> tuple[float, float, bool]:
    """Inner width and height [cm], and whether the plan states them."""
    vessel = plan.case["vessel"]
    if "inside_cm" in vessel:
        return vessel["inside_cm"][0], vessel["inside_cm"][2], True
    wide = sum(p.given.get("size_cm", (20, 20))[0] for p in plan.places.values())
    crowns = [p.given.get("crown_height", 10) for p in plan.places.values()]
    return max(30.0, wide), max(0.0, *crowns) + 30, False


def _across(plan: Plan, width: float) -> tuple[dict[str, tuple[float, float]], bool]:
    """Where each place begins and ends from the left [cm]: as stated where none hides another, else in turn."""
    places = list(plan.places.values())
    if all("at_cm" in p.given and "size_cm" in p.given for p in places):
        stated = {
            p.id: (max(0.0, at - wide / 2), min(width, at + wide / 2))
            for p in places
            for at, wide in [(p.given["at_cm"][0], p.given["size_cm"][0])]
        }
        ordered = sorted(stated.values())
        apart = all(a[1] <= b[0] for a, b in pairwise(ordered))
        if apart and all(low < high for low, high in ordered):
            return stated, True
    wides = [p.given.get("size_cm", (width / len(places),))[0] for p in places]
    factor, start, found = width / sum(wides), 0.0, {}
    for place, wide in zip(places, wides, strict=True):
        found[place.id] = (start, start + wide * factor)
        start += wide * factor
    return found, len(places) == 1


def _patterns(count: int) -> Markup:
    tiles = [
        el(
            "pattern",
            shape("path", class_="soil-mark", d=SOIL[n % len(SOIL)]),
            id=f"soil-{n}",
            width=8,
            height=8,
            patternUnits="userSpaceOnUse",
        )
        for n in range(min(count, len(SOIL)))
    ]
    return el("defs", *tiles)


def _fill(letter: str) -> str:
    return f"url(#soil-{(ord(letter) - ord('A')) % len(SOIL)})"


def _ruler(scale: Scale, top: float) -> Markup:
    """Height above the floor in cm at the left, and a length below."""
    step = 10 if top <= 80 else 20 if top <= 160 else 50
    x = LEFT - 6
    marks = [shape("path", class_="ruler", d=f"M{coordinate(x)} {coordinate(scale.y(0))}V{coordinate(scale.y(top))}")]
    for cm in range(0, int(top) + 1, step):
        y = scale.y(cm)
        marks.append(shape("path", class_="ruler", d=f"M{coordinate(x - 3)} {coordinate(y)}h3"))
        marks.append(text(x - 5, y + 4, f"{cm}", "end"))
    marks.append(text(0, 10, "cm", "soft"))
    end = scale.x(step)
    y = scale.floor + 10
    marks.append(
        shape("path", class_="ruler", d=f"M{coordinate(LEFT)} {coordinate(y - 3)}v6m0-3H{coordinate(end)}m0-3v6")
    )
    marks.append(text(end + 5, y + 4, f"{step} cm", "soft"))
    return cat(*marks)


def _panes(scale: Scale, width: float, height: float, openings: str, sized: bool) -> Markup:
    """Walls and floor; a lid where there is one, with a gap where it is vented."""
    left, right, top, floor = scale.x(0), scale.x(width), scale.y(height), scale.y(0)
    class_ = "pane" if sized else "pane guess"
    if openings == "outdoor":
        ground = f"M{coordinate(left)} {coordinate(floor)}H{coordinate(right)}"
        return shape("path", class_=class_, d=ground)
    walls = f"M{coordinate(left)} {coordinate(top)}V{coordinate(floor)}H{coordinate(right)}V{coordinate(top)}"
    gap = (right - left) * 0.12
    lid = {
        "closed": f"M{coordinate(left)} {coordinate(top)}H{coordinate(right)}",
        "vented": f"M{coordinate(left)} {coordinate(top)}H{coordinate(right - 1.6 * gap)}"
        f"M{coordinate(right - 0.6 * gap)} {coordinate(top)}H{coordinate(right)}",
    }.get(openings, "")
    return shape("path", class_=class_, d=walls + lid)


def _lamp(scale: Scale, lamp: Mapping[str, Any], width: float, height: float) -> Markup:
    """The lamp at its height with its width, and the edges of its light; dashed where the plan leaves out which."""
    stated = "height" in lamp and ("size_cm" in lamp or "across_cm" in lamp)
    wide = lamp["size_cm"][0] if "size_cm" in lamp else lamp.get("across_cm", width / 4)
    middle = lamp["over_cm"][0] if "over_cm" in lamp else width / 2
    bottom = scale.y(lamp.get("height", height))
    left, right = scale.x(middle - wide / 2), scale.x(middle + wide / 2)
    label = f"{lamp['id']}, {lamp['height']:g} cm" if "height" in lamp else f"{lamp['id']}, height not stated"
    half = len(label) * LETTER / 2
    return group(
        "",
        shape(
            "path",
            class_="ray",
            d=f"M{coordinate(left)} {coordinate(bottom)}l-8 14M{coordinate(right)} {coordinate(bottom)}l8 14",
        ),
        shape("rect", class_="lamp" if stated else "lamp guess", x=left, y=bottom - 5, width=right - left, height=5),
        text(min(max((left + right) / 2, half), WIDTH - half), bottom - 9, label, "middle over"),
    )


def _bed(scale: Scale, place: Place, across: tuple[float, float], layers: Mapping[str, str]) -> Markup:
    """The layers of a place; a dashed line at its crowns where they are not told."""
    left, right = scale.x(across[0]), scale.x(across[1])
    stack = stack_of(place)
    crown = crown_of(place)
    foot = crown - sum(cm for cm, _ in stack)
    if not stack:
        y = coordinate(scale.y(crown))
        return shape("path", class_="soil guess", d=f"M{coordinate(left)} {y}H{coordinate(right)}")
    drawn: list[Text] = []
    for cm, words in stack:
        top, bottom = scale.y(foot + cm), scale.y(foot)
        letter = layers[words]
        drawn.append(
            shape("rect", class_="soil", x=left, y=top, width=right - left, height=bottom - top, fill=_fill(letter))
        )
        if bottom - top >= 9:
            drawn.append(text(right - 9, (top + bottom) / 2 + 4, letter, "letter over"))
        foot += cm
    return cat(*drawn)


def _water(scale: Scale, plan: Plan, unit: str, across: Mapping[str, tuple[float, float]]) -> Iterator[Markup]:
    """The water table of a unit under each of its places, at its least and its greatest height."""
    level = [v for v in plan.water_units[unit].year("level") if v != UNKNOWN]
    if not level:
        return
    low, high = min(v[0] for v in level), max(v[1] for v in level)
    for place in plan.places.values():
        if place.water != unit:
            continue
        left, right = scale.x(across[place.id][0]), scale.x(across[place.id][1])
        if high > 0:
            yield shape("rect", class_="water", x=left, y=scale.y(high), width=right - left, height=high * scale.unit)
        for cm in sorted({low, high}):
            y = scale.y(cm)
            yield shape("path", class_="table", d=f"M{coordinate(left)} {coordinate(y)}H{coordinate(right)}")
        y = scale.y(high)
        yield shape("path", class_="sign", d=f"M{coordinate(left + 4)} {coordinate(y - 8)}h9l-4.5 8z")


def _grown(
    scale: Scale,
    place: Place,
    part: Mapping[str, Any],
    made: Mapping[str, Any],
    numbers: Mapping[str, int],
    across: tuple[float, float],
) -> Markup:
    """The plants of a place as numbered signs, and its name, moisture and light above them."""
    left, right = scale.x(across[0]), scale.x(across[1])
    crown = scale.y(crown_of(place))
    plants = [p for p in made["plants"] if p["id"] in part["plants"]]
    drawn: list[Text] = []
    for n, plant in enumerate(plants):
        x = left + (right - left) * (n + 0.5) / len(plants)
        form = FORMS.get(plant.get("growth_form", "?"), ANY_FORM)
        sign = el("path", el("title", plant["name"]), class_="plant", d=form)
        drawn.append(el("g", sign, transform=f"translate({coordinate(x)} {coordinate(crown)})"))
        drawn.append(text(x, crown - 21, str(numbers[plant["id"]]), "middle over"))
    lines = list(_at_place(part, right - left))
    y = crown - 36 - (len(lines) - 1) * LINE
    for line, class_ in lines:
        drawn.append(text((left + right) / 2, y, line, class_))
        y += LINE
    return cat(*drawn)


def _at_place(part: Mapping[str, Any], wide: float) -> Iterator[tuple[str, str]]:
    """What stands at a place, as (line, class): name, moisture and light; at a narrow one its name, if at all."""
    rows = rows_of(part)
    if wide >= NARROW or len(part["id"]) * LETTER <= wide:
        yield part["id"], "name over"
    if wide < NARROW:
        return
    for line in textwrap.wrap(of_year(rows["moisture"]), max(11, int(wide / LETTER)), break_on_hyphens=False):
        yield line, "middle over"
    light = in_words(year_span(rows["dli"]))
    if light == "unknown":
        yield "light ?", "middle over"
        return
    yield light, "middle over"
    yield "mol/m²/day", "tick over"


def _swatch(words: str, y: float, layers: Mapping[str, str]) -> Markup:
    fill = _fill(words[0])
    return shape("rect", class_="soil", x=0.5, y=y - 10, width=16, height=12, fill=fill)
