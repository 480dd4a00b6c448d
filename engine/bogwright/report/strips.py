"""The year of a plan in strips of months: light, temperature, humidity and moisture."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any, NamedTuple

from markupsafe import Markup

from bogwright.enclosure.moisture import MOISTURE
from bogwright.report.conditions import class_words, in_words, rows_of, year_in_words, year_span
from bogwright.report.site.charts import svg
from bogwright.report.site.charts.svg import coordinate, shape, text
from bogwright.report.site.markup import Text, el
from bogwright.rules.says import number
from bogwright.sharing.months import NAMES

CLASS = "section"
LINE = 13.0
GUTTER, CELL, TALL = 34.0, 25.5, 42.0


class Drawn(NamedTuple):
    """Part of a picture. told : all of it in words."""

    height: float
    told: str
    parts: tuple[Text, ...]


def strips(made: Mapping[str, Any]) -> Markup:
    """Light, temperature, humidity and moisture from January to December."""
    drawn = draw_strips(made)
    title = f"The year of {made['conditions']}"
    return svg.picture("strips", title, drawn.told, drawn.height, *drawn.parts, class_=CLASS)


def draw_strips(made: Mapping[str, Any]) -> Drawn:
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
        parts.append(text(GUTTER + 12 * CELL, y + 11, of_year(row), "end"))
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
    spans = [in_words(year_span(row)) for row in shown]
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


def of_year(row: Mapping[str, Any]) -> str:
    """Wettest to driest class of the year."""
    words = [w for pair in row.get("words", ()) for w in pair if w in MOISTURE]
    if not words:
        return "moisture unknown"
    return class_words((max(words, key=MOISTURE.index), min(words, key=MOISTURE.index)))
