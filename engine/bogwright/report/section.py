"""A plan drawn: a cross-section of its vessel with lamps, media, water and plants; and its year in strips of months."""

from __future__ import annotations

import textwrap
from collections.abc import Iterator, Mapping, Sequence
from itertools import pairwise
from typing import Any, NamedTuple

from markupsafe import Markup

from bogwright import data
from bogwright.enclosure.bedding import parts_of
from bogwright.enclosure.moisture import MOISTURE
from bogwright.enclosure.plan import UNKNOWN, Place, Plan
from bogwright.report.conditions import class_words, in_words, rows_of, year_in_words
from bogwright.report.site.charts import svg
from bogwright.report.site.charts.svg import WIDTH, coordinate, group, shape, text
from bogwright.report.site.markup import Text, cat, el
from bogwright.rules.says import number
from bogwright.sharing.months import NAMES

LEFT, RIGHT, TALLEST = 30.0, 338.0, 250.0
LID_WORDS, PLANT_WORDS = 22.0, 104.0  # room above the topmost pane or lamp, and above the topmost crown
LETTER = 6.9  # width of a letter, as far as a picture that no browser has measured can know
LINE = 13.0
LINE_LETTERS = 54
SPACE = "\u00a0"  # between what stays on one line
CLASS = "section"
FLAT = 0.01  # cm that nobody measures
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


class Drawn(NamedTuple):
    """Part of a picture. told : all of it in words."""

    height: float
    told: str
    parts: tuple[Text, ...]


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


def strips(made: Mapping[str, Any]) -> Markup:
    """Light, temperature, humidity and moisture from January to December."""
    drawn = _strips(made)
    title = f"The year of {made['conditions']}"
    return svg.picture("strips", title, drawn.told, drawn.height, *drawn.parts, class_=CLASS)


def standing_alone(plan: Plan, made: Mapping[str, Any]) -> str:
    """Both pictures as the text of one SVG file, which needs nothing else."""
    above, below = _section(plan, made), _strips(made)
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
    crowns = [_crown(place) for place in plan.places.values()]
    scale = Scale(unit, max(LID_WORDS + top * unit, PLANT_WORDS + max(crowns) * unit))
    across, as_stated = _across(plan, width)
    layers = _layers(plan)
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
    key = [*_key(plan, made, layers, numbers, sized, as_stated)]
    y = scale.floor + 34
    for style, words in key:
        if style == "soil":
            parts += [_swatch(words, y, layers), text(22, y, words, "soft")]
            y += LINE + 3
            continue
        for n, line in enumerate(textwrap.wrap(words, LINE_LETTERS, break_on_hyphens=False)):
            parts.append(text(0 if n == 0 else 10, y, line, style))
            y += LINE
        y += 2
    told = " ".join(f"{words}." for _, words in key)
    return Drawn(y, f"{_vessel_words(plan, sized)} {_lamp_words(plan)} {told}", tuple(parts))


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


def _layers(plan: Plan) -> dict[str, str]:
    """Every kind of layer of the plan in words, with its letter."""
    found: dict[str, str] = {}
    for place in plan.places.values():
        for _, words in _stack(place):
            found.setdefault(words, chr(ord("A") + len(found) % 26))
    return found


def _stack(place: Place) -> list[tuple[float, str]]:
    """Layers of a place from the floor up: cm and material in words."""
    medium = place.given.get("medium", {})
    if "layers" in medium:
        return [(one["cm"], _mixed(one)) for one in medium["layers"]]
    if "depth" in medium:
        parts = ", ".join(_named(m) for m in medium.get("components", ()))
        return [(medium["depth"], f"{parts}, shares not stated" if "," in parts else parts or "medium not stated")]
    return []


def _crown(place: Place) -> float:
    """Height of the crowns above the floor; the top of the layers where it is not stated. [cm]"""
    return float(place.given.get("crown_height", sum(cm for cm, _ in _stack(place))))


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
    stack = _stack(place)
    crown = _crown(place)
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
    crown = scale.y(_crown(place))
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
    for line in textwrap.wrap(_moisture(rows["moisture"]), max(11, int(wide / LETTER)), break_on_hyphens=False):
        yield line, "middle over"
    light = in_words(_year_span(rows["dli"]))
    if light == "unknown":
        yield "light ?", "middle over"
        return
    yield light, "middle over"
    yield "mol/m²/day", "tick over"


def _moisture(row: Mapping[str, Any]) -> str:
    """Wettest to driest class of the year."""
    words = [w for pair in row.get("words", ()) for w in pair if w in MOISTURE]
    if not words:
        return "moisture unknown"
    return class_words((max(words, key=MOISTURE.index), min(words, key=MOISTURE.index)))


def _year_span(row: Mapping[str, Any]) -> tuple[float | None, float | None]:
    """Least and greatest value of a year; None where an end is not known in every month."""
    lows, highs = [v[0] for v in row["months"]], [v[1] for v in row["months"]]
    return (None if None in lows else min(lows), None if None in highs else max(highs))


def _vessel_words(plan: Plan, sized: bool) -> str:
    vessel = plan.case["vessel"]
    size = " by ".join(f"{cm:g}" for cm in vessel["inside_cm"]) + " cm inside" if sized else "of a size not stated"
    return f"{vessel.get('kind', 'vessel').replace('-', ' ').capitalize()} {size}, {vessel['openings']}."


def _lamp_words(plan: Plan) -> str:
    said = [
        f"Lamp {lamp['id']} "
        + (f"{lamp['height']:g} cm above the floor." if "height" in lamp else "at a height not stated.")
        for lamp in plan.lamps
    ]
    return " ".join(said) or "No lamp is stated."


def _key(
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
            ", ".join(f"{cm:g}{SPACE}cm{SPACE}{layers[words]}" for cm, words in _stack(place)) or "layers not stated"
        )
        light = in_words(_year_span(rows["dli"]), "mol/m²/day").replace(" ", SPACE)
        yield "soft", f"{part['id']}: {_moisture(rows['moisture'])}; light a day {light}; from below {stack}"
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
        deep = sum(cm for cm, _ in _stack(place))
        if "crown_height" in place.given and deep > place.given["crown_height"] + FLAT:
            yield "soft", f"The layers of {place.id} reach below the floor: its crown height or its depth is not right"
    if not sized:
        yield "soft", "The size of the vessel is not stated: its panes are a guess"
    if not as_stated:
        yield "soft", "Places are drawn side by side: where they lie is not stated, or one lies behind another"


def _swatch(words: str, y: float, layers: Mapping[str, str]) -> Markup:
    fill = _fill(words[0])
    return shape("rect", class_="soil", x=0.5, y=y - 10, width=16, height=12, fill=fill)


# the strips

GUTTER, CELL, TALL = 34.0, 25.5, 42.0


def _strips(made: Mapping[str, Any]) -> Drawn:
    case = rows_of(made["parts"][0])
    places = [(part["id"], rows_of(part)) for part in made["parts"] if part["part"] == "place"]
    parts: list[Text] = [
        el("defs", _night_pattern()),
        *(text(GUTTER + (m + 0.5) * CELL, 11, name, "tick") for m, name in enumerate(NAMES)),
    ]
    told, y = [], 20.0
    light = [0.0, *(end for _, p in places for pair in p["dli"]["months"] for end in pair if end is not None)]
    rows = [(f"Light at {where}, mol/m²/day", [row], light) for where, row in _alike(places, "dli")]
    for title, keys in (
        ("Temperature, °C", ("temperature_day", "temperature_night")),
        ("Humidity, %", ("humidity", "night_humidity")),
    ):
        shown = [case[key] for key in keys]
        rows.append((title, shown, [end for row in shown for pair in row["months"] for end in pair if end is not None]))
    for title, shown, known in rows:
        parts.append(text(GUTTER, y + 11, title, "head"))
        parts.append(text(GUTTER + 12 * CELL, y + 11, _spans(shown), "end"))
        parts += _bars(shown, _bounds(known), y + 16)
        told.append(f"{title}: {_said(shown)}.")
        y += 16 + TALL + 8
    for where, row in _alike(places, "moisture"):
        title = f"Moisture at {where}"
        parts.append(text(GUTTER, y + 11, title, "head"))
        parts.append(text(GUTTER + 12 * CELL, y + 11, _moisture(row), "end"))
        parts += _levels(row, y + 16)
        told.append(f"{title}: {year_in_words(row)} ({row['how']}).")
        y += 16 + TALL + 8
    for line in (
        "Filled: day. Hatched: night. A bar reaches from the",
        "least to the most it may be. Dashed outline: predicted.",
        "Solid outline: measured. ?: not known.",
    ):
        parts.append(text(0, y + 10, line, "soft"))
        y += LINE
    return Drawn(y + 4, " ".join(told), tuple(parts))


def _night_pattern() -> Markup:
    line = shape("path", class_="night-mark", d="M-1 6 6-1M3 9 9 3M-3 3 3-3")
    return el("pattern", line, id="night-hatch", width=6, height=6, patternUnits="userSpaceOnUse")


def _alike(
    places: Sequence[tuple[str, Mapping[str, Mapping[str, Any]]]], key: str
) -> list[tuple[str, Mapping[str, Any]]]:
    """A condition of the places, those with the same year under one name."""
    found: list[tuple[list[str], Mapping[str, Any]]] = []
    for id, rows in places:
        for ids, row in found:
            if _same(row, rows[key]):
                ids.append(id)
                break
        else:
            found.append(([id], rows[key]))
    if len(found) == 1 and len(places) > 1:
        return [("all places", found[0][1])]
    return [(", ".join(ids) if len(ids) < 3 else f"{ids[0]} and {len(ids) - 1} more", row) for ids, row in found]


def _same(one: Mapping[str, Any], other: Mapping[str, Any]) -> bool:
    return all(one.get(key) == other.get(key) for key in ("how", "months", "words"))


def _spans(shown: Sequence[Mapping[str, Any]]) -> str:
    """Least and greatest of the year, of day and night where there are two."""
    spans = [in_words(_year_span(row)) for row in shown]
    return spans[0] if len(spans) == 1 else f"day {spans[0]}, night {spans[1]}"


def _said(shown: Sequence[Mapping[str, Any]]) -> str:
    return "; ".join(f"{row['title']} {year_in_words(row)} ({row['how']})" for row in shown)


def _bars(shown: Sequence[Mapping[str, Any]], bounds: tuple[float, float], top: float) -> Iterator[Markup]:
    """Bars of one condition, or of day and night side by side. bounds : of the scale."""
    low, high = bounds
    yield from _frame(top, (number(low), number(high)))
    wide = (CELL - 4) / len(shown)

    def y(value: float | None, unknown: float) -> float:
        return top + TALL * (1 - ((unknown if value is None else value) - low) / (high - low))

    for n, row in enumerate(shown):
        for month, pair in enumerate(row["months"]):
            x = GUTTER + month * CELL + 2 + n * wide
            if row["how"] == "unknown" or pair == [None, None]:
                yield text(x + wide / 2, top + TALL / 2 + 4, "?", "tick")
                continue
            above, below = y(pair[1], high), y(pair[0], low)
            class_ = f"{'day' if n == 0 else 'night'}{' predicted' if row['how'] == 'predicted' else ''}"
            least = max(below - above, 1.6)
            fill = None if n == 0 else "url(#night-hatch)"
            yield shape("rect", class_=class_, x=x, y=below - least, width=wide - 1.5, height=least, fill=fill)


def _bounds(known: Sequence[float]) -> tuple[float, float]:
    """Round ends of a scale around all values."""
    if not known:
        return 0.0, 1.0
    low, high = min(known), max(known)
    if low == high == 0:
        return 0.0, 1.0
    spread = max(high - low, abs(high) * 0.1, 1e-3)
    step = next(s for s in (0.1, 0.2, 0.5, 1, 2, 5, 10, 20, 50, 100, 1000, 1e4, 1e9) if s * 5 >= spread)
    return step * (low // step), step * (-(-high // step) + (high % step == 0))


def _frame(top: float, ends: tuple[str, str]) -> Iterator[Markup]:
    edges = "".join(f"M{coordinate(GUTTER + m * CELL)} {coordinate(top)}v{coordinate(TALL)}" for m in range(13))
    right = coordinate(12 * CELL)
    sides = f"M{coordinate(GUTTER)} {coordinate(top)}h{right}M{coordinate(GUTTER)} {coordinate(top + TALL)}h{right}"
    yield shape("path", class_="grid", d=edges + sides)
    yield text(GUTTER - 4, top + TALL, ends[0], "end")
    yield text(GUTTER - 4, top + 9, ends[1], "end")


def _levels(row: Mapping[str, Any], top: float) -> Iterator[Markup]:
    """Moisture as steps from dry to flooded."""
    yield from _frame(top, ("dry", "flood"))
    step = TALL / len(MOISTURE)
    for month in range(12):
        x = GUTTER + month * CELL
        pair = row["words"][month] if "words" in row else ("?", "?")
        if pair[0] not in MOISTURE or pair[1] not in MOISTURE:
            yield text(x + CELL / 2, top + TALL / 2 + 4, "?", "tick")
            continue
        wet, dry = MOISTURE.index(pair[0]), MOISTURE.index(pair[1])
        predicted = " predicted" if row["how"] == "predicted" else ""
        yield shape(
            "rect",
            class_=f"day{predicted}",
            x=x + 2,
            y=top + TALL - (wet + 1) * step,
            width=CELL - 4,
            height=(wet - dry + 1) * step,
        )
