"""How much water a material holds against suction: a picture, and the same in words.

Suction rightward on a logarithmic scale; below the curve is water. Several fitted sets span a shaded band; class
values are bars at their suctions.
"""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from typing import Any

from markupsafe import Markup

from bogwright.physics.substrate import BUFFERING, CONTAINER_CAPACITY, EASILY_AVAILABLE, Retention
from bogwright.report.site.charts import svg
from bogwright.report.site.markup import Text
from bogwright.report.site.wording import figure

SUCTIONS = (CONTAINER_CAPACITY, EASILY_AVAILABLE, BUFFERING)
LEFT, RIGHT, TOP, BOTTOM = 34.0, 332.0, 24.0, 164.0
WETTEST, DRIEST = 1.0, 100.0  # ends of the scale [cm]
STEPS = 24
BAR = 12.0

Span = tuple[float, float]


def curves(retention: Any) -> tuple[Retention, ...]:
    """The fitted sets of a material; empty where it has none."""
    if isinstance(retention, Mapping):
        return ()
    return tuple(
        Retention(s["theta_r"], s["theta_s"], s["alpha"], s["n"], s.get("ks"), s.get("l", 0.5), s.get("porosity"))
        for s in retention
    )


def water(retention: Any, suction: float) -> Span | None:
    """Least and greatest water content at one of `SUCTIONS`; None where nothing is predicted. [m³/m³]"""
    sets = curves(retention)
    if sets:
        held = [float(one.content(suction)) for one in sets]
        return min(held), max(held)
    known = retention.get("holds_at", {}).get(f"{suction:g}")
    return (known[0], known[1]) if known else None


def air(retention: Any, suction: float) -> Span | None:
    """Least and greatest air content at one of `SUCTIONS`, never below none. [m³/m³]"""
    sets = curves(retention)
    if sets:
        free = [one.pore_space - float(one.content(suction)) for one in sets]
        return min(free), max(free)
    held = water(retention, suction)
    if held is None:
        return None
    least, greatest = retention["porosity"]
    return max(0.0, least - held[1]), greatest - held[0]


def told(retention: Any) -> str:
    """The picture in words."""
    parts = []
    for suction in SUCTIONS:
        held, free = water(retention, suction), air(retention, suction)
        if held is not None and free is not None:
            parts.append(f"at {suction:g} cm {percent(held)} water and {percent(free)} air")
    return "; ".join(parts) + "."


def percent(span: Span) -> str:
    """A share of the volume as whole per cent."""
    return figure(round(100 * span[0]), round(100 * span[1]), "%")


def picture(title: str, retention: Any) -> Markup:
    """The curve of a material that has one."""
    drawn: list[Text] = [svg.text(0, 12, "Water, % of the volume, by suction, cm", "head"), *_frame()]
    sets = curves(retention)
    drawn += _band(sets) if sets else _bars(retention)
    name = f"Water that {title} holds against suction"
    return svg.picture("retention", name, told(retention), BOTTOM + 20, *drawn, class_="retention")


def x(suction: float) -> float:
    share = math.log(suction / WETTEST) / math.log(DRIEST / WETTEST)
    return LEFT + share * (RIGHT - LEFT)


def y(content: float) -> float:
    return BOTTOM - content * (BOTTOM - TOP)


def _frame() -> list[Text]:
    parts: list[Text] = []
    for content in (0.0, 0.25, 0.5, 0.75, 1.0):
        parts.append(svg.shape("path", class_="ruler", d=_line([(LEFT, y(content)), (RIGHT, y(content))])))
        parts.append(svg.text(LEFT - 16, y(content) + 4, f"{100 * content:.0f}", "tick"))
    for suction in (WETTEST, *SUCTIONS):
        parts.append(svg.text(x(suction), BOTTOM + 15, f"{suction:g}", "tick"))
    return parts


def _band(sets: Sequence[Retention]) -> list[Text]:
    """The hull of the sets, and each of them as a line."""
    suctions = [WETTEST * (DRIEST / WETTEST) ** (k / STEPS) for k in range(STEPS + 1)]
    held = [[float(one.content(h)) for h in suctions] for one in sets]
    places = list(map(x, suctions))
    upper = [(left, y(max(at))) for left, at in zip(places, zip(*held, strict=True), strict=True)]
    lower = [(left, y(min(at))) for left, at in zip(places, zip(*held, strict=True), strict=True)]
    hull = svg.shape("path", class_="hull", d=_line([*upper, *reversed(lower)]) + "Z")
    lines = [svg.shape("path", class_="curve", d=_line([*zip(places, map(y, one), strict=True)])) for one in held]
    return [hull, *lines]


def _bars(retention: Mapping[str, Any]) -> list[Text]:
    """Class values: a bar at each suction from the least to the greatest."""
    parts: list[Text] = []
    for suction in SUCTIONS:
        held = water(retention, suction)
        if held is not None:
            left = min(x(suction) - BAR / 2, RIGHT - BAR)
            height = max(y(held[0]) - y(held[1]), 1.5)
            parts.append(svg.shape("rect", class_="hull edge", x=left, y=y(held[1]), width=BAR, height=height))
    return parts


def _line(points: Sequence[tuple[float, float]]) -> str:
    start, *rest = [f"{svg.coordinate(a)} {svg.coordinate(b)}" for a, b in points]
    return f"M{start}" + "".join(f"L{point}" for point in rest)
