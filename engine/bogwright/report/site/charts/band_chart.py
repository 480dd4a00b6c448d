"""Band charts: a small picture an axis, on the scale of all plants.

The level is told by its shape: a line with end marks is survived, a hollow box tolerated, a solid bar preferred. An end
that nobody knows has no mark but a dotted tail with a question mark; one that lies between two figures a hatched box.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import NamedTuple

from markupsafe import Markup

from bogwright.knowledge import BandClaim, Profile
from bogwright.report.site.charts import svg
from bogwright.report.site.charts.bands import Bar, Edge, Lane, lanes
from bogwright.report.site.charts.scales import BINS, LEFT, RIGHT, Scale, Scales
from bogwright.report.site.markup import Text, cat, el, slug
from bogwright.report.site.wording import figure
from bogwright.rules.says import BEYOND, READABLE
from bogwright.sharing.demands import Demand

LANE, CAPTION, HEAD, FOOT = 28.0, 15.0, 17.0, 17.0
# half of the height of each level's shape, and how far the tail of an unknown end goes
HALF = {"survives": 5.0, "tolerates": 10.0, "prefers": 4.5}
TAIL = 13.0


class _Extent(NamedTuple):
    """Where a bar is sure to be, and how far each end may go beyond (None: nobody knows, or no farther)."""

    left: float
    right: float
    maybe_left: float | None
    maybe_right: float | None


def charts(scales: Scales, profile: Profile, demands: Mapping[str, Demand], always: Sequence[str] = ()) -> Markup:
    """A picture for every ranged need of which a figure is known, in the order of the schema.

    demands : of growth, by path of the claim. always : paths that are shown even if nothing is known.
    """
    made = []
    for path, scale in scales.by_path.items():
        claim, demand = profile.band(path), demands.get(path)
        found = lanes(claim, scales.free.get(path, frozenset()), demand)
        if found or path in always:
            made.append(chart(scale, found, claim))
    return el("div", *made, class_="bands") if made else Markup("")


def chart(scale: Scale, found: Sequence[Lane], claim: BandClaim | None = None) -> Markup:
    """One need: `found` as lanes one above the other; without any, an empty scale marked unknown."""
    unit = scale.field.unit
    parts: list[Text] = [svg.text(0, 12, _title(scale), "head")]
    top = HEAD
    drawn: list[Text] = []
    for lane in found:
        for line in [f"{lane.title}:"] * bool(lane.title) + [" · ".join(_figures(lane))]:
            drawn.append(svg.text(0, top + 11, line))
            top += CAPTION
        drawn += [backdrop(scale, top, top + LANE), _lane(scale, lane, top + LANE / 2)]
        top += LANE
    if not found:
        drawn.append(svg.text(0, top + 11, "unknown: " + ("looked for, not found" if claim else "no figure yet")))
        top += CAPTION
        drawn += [backdrop(scale, top, top + LANE), _unknown(top + LANE / 2)]
        top += LANE
    parts += [*drawn, ruler(scale, top)]
    told = "; ".join(_lane_told(lane, unit) for lane in found) or "unknown"
    if len(found) > 1:
        told = f"disputed: {told}"
    told += f". Figures of all plants: {figure(*scale.hull, unit)}."
    return svg.picture(f"band-{slug(scale.field.path)}", scale.field.title, told, top + FOOT, *parts, class_="band")


def _title(scale: Scale) -> str:
    unit = {"K": "°C", "pH": None}.get(scale.field.unit or "", READABLE.get(scale.field.unit or "", scale.field.unit))
    return f"{scale.field.title}, {unit}" if unit else scale.field.title


def _figures(lane: Lane) -> list[str]:
    return [f"{bar.level} {bar.figures()}" for bar in reversed(lane.bars)]


def _lane_told(lane: Lane, unit: str | None) -> str:
    told = "; ".join(bar.told(unit) for bar in reversed(lane.bars))
    return f"reading {lane.title}: {told}" if lane.title else told


def _lane(scale: Scale, lane: Lane, middle: float) -> Markup:
    extents = _extents(scale, lane.bars)
    drawn: list[Text] = []
    for bar, extent in zip(lane.bars, extents, strict=True):
        drawn.append(_bar(bar, extent, middle))
    return cat(*drawn)


def _extents(scale: Scale, bars: Sequence[Bar]) -> list[_Extent]:
    """A level holds all narrower ones, so an unknown end goes at least as far as theirs."""
    found: list[_Extent] = []
    for bar in reversed(bars):
        left, maybe_left = _end(scale, bar.low, 1, LEFT)
        right, maybe_right = _end(scale, bar.high, 0, RIGHT)
        inner = found[-1] if found else None
        known = [x for x in (left, right) if x is not None]
        if left is None:
            left = min([*known, *([inner.left] if inner else [])])
        if right is None:
            right = max([*known, *([inner.right] if inner else [])])
        found.append(_Extent(left, max(left, right), maybe_left, maybe_right))
    return found[::-1]


def _end(scale: Scale, edge: Edge, inner: int, border: float) -> tuple[float | None, float | None]:
    """Where a bar is sure to reach on one side, and where it may reach."""
    if edge.span is None:
        return (border, None) if edge.free else (None, None)
    sure, far = edge.span[inner], edge.span[1 - inner]
    if abs(sure) >= BEYOND:  # bounded on its far side only: how much of it is sure nobody knows
        return None, scale.x(far)
    return scale.x(sure), scale.x(far) if abs(far) < BEYOND and far != sure else None


def _bar(bar: Bar, extent: _Extent, middle: float) -> Markup:
    left, right, maybe_left, maybe_right = extent
    half = HALF[bar.level]
    top, bottom = middle - half, middle + half
    drawn: list[Text] = []
    for end, far in ((left, maybe_left), (right, maybe_right)):
        if far is not None:
            x, width = min(end, far), abs(far - end)
            drawn.append(
                svg.shape("rect", class_="maybe", x=x, y=top, width=width, height=2 * half, fill=f"url(#{svg.HATCH})")
            )
    if bar.level == "survives":
        drawn.append(svg.shape("rect", class_="survives", x=left, y=middle - 0.75, width=right - left, height=1.5))
    else:
        drawn.append(svg.shape("rect", class_=bar.level, x=left, y=top, width=right - left, height=2 * half))
    drawn.append(svg.shape("path", class_="edge", d=_outline(bar, extent, top, bottom)))
    for edge, x, away in ((bar.low, left, -1), (bar.high, right, 1)):
        drawn += _tail(edge, x, away, middle)
    standing = " memory" if "from-memory" in bar.bases else " derived" if "derived" in bar.bases else ""
    return svg.group(f"level-{bar.level}{standing}", *drawn)


def _outline(bar: Bar, extent: _Extent, top: float, bottom: float) -> str:
    """Edges along a box, with an upright at each end that is known; a line has the uprights alone."""
    x1, x2, y1, y2 = map(svg.coordinate, (extent.left, extent.right, top, bottom))
    along = "" if bar.level == "survives" else f"M{x1} {y1}H{x2}M{x1} {y2}H{x2}"
    uprights = [f"M{x} {y1}V{y2}" for edge, x in ((bar.low, x1), (bar.high, x2)) if edge.stated]
    return "".join([along, *uprights]) or f"M{x1} {y1}"


def _tail(edge: Edge, x: float, away: int, middle: float) -> list[Text]:
    """The open end that nobody knows: dots that lead away, and a question mark."""
    known = edge.span is not None and max(map(abs, edge.span)) < BEYOND
    if known or edge.free:
        return []
    tip = min(max(x + away * TAIL, LEFT), RIGHT)
    line = svg.shape("path", class_="tail", d=f"M{svg.coordinate(x)} {svg.coordinate(middle)}H{svg.coordinate(tip)}")
    place = min(max(tip + away * 5, 4.0), svg.WIDTH - 4.0)
    return [line, svg.text(place, middle + 4, "?", "asked")]


def _unknown(middle: float) -> Markup:
    line = f"M{svg.coordinate(LEFT)} {svg.coordinate(middle)}H{svg.coordinate(RIGHT)}"
    return cat(svg.shape("path", class_="tail", d=line), svg.text(svg.WIDTH / 2, middle + 4, "?", "asked"))


def backdrop(scale: Scale, top: float, bottom: float) -> Markup:
    """How many plants live at each value, as steps; the tallest fills the height."""
    most = max(scale.plants, default=0)
    if not most:
        return Markup("")
    step = (RIGHT - LEFT) / BINS
    path, last = f"M{svg.coordinate(LEFT)} {svg.coordinate(bottom)}", bottom
    for place, number_of in enumerate(scale.plants):
        y = bottom - (bottom - top) * number_of / most
        if svg.coordinate(y) != svg.coordinate(last):
            path += f"H{svg.coordinate(LEFT + place * step)}V{svg.coordinate(y)}"
            last = y
    return svg.shape("path", class_="plants", d=f"{path}H{svg.coordinate(RIGHT)}V{svg.coordinate(bottom)}Z")


def ruler(scale: Scale, y: float) -> Markup:
    marks = "".join(f"M{svg.coordinate(scale.x(tick))} {svg.coordinate(y)}v4" for tick in scale.ticks)
    line = f"M{svg.coordinate(LEFT)} {svg.coordinate(y)}H{svg.coordinate(RIGHT)}{marks}"
    labels = [svg.text(scale.x(tick), y + 14, figure(tick, tick, None), "tick") for tick in scale.ticks]
    return cat(svg.shape("path", class_="ruler", d=line), *labels)


def legend() -> Markup:
    """What the shapes mean."""

    def bar(level: str, standing: str = "") -> Markup:
        half, middle = HALF[level], 10.0
        tall = 0.75 if level == "survives" else half
        body = svg.shape("rect", class_=level, x=3, y=middle - tall, width=28, height=2 * tall)
        along = "" if level == "survives" else f"M3 {middle - half}H31M3 {middle + half}H31"
        ends = f"{along}M3 {middle - half}V{middle + half}M31 {middle - half}V{middle + half}"
        return svg.group(f"level-{level} {standing}".rstrip(), body, svg.shape("path", class_="edge", d=ends))

    crowd = svg.shape("path", class_="plants", d="M2 19V14H9V7H17V3H25V12H32V19Z")
    tail = cat(svg.shape("path", class_="tail", d="M3 10H20"), svg.text(26, 14, "?", "asked"))
    bare = svg.shape("rect", class_="tolerates", x=3, y=1, width=31, height=18)
    endless = svg.group("level-tolerates", bare, svg.shape("path", class_="edge", d="M34 1H3V19H34"))
    doubt = svg.shape("rect", class_="maybe", x=3, y=2, width=28, height=16, fill=f"url(#{svg.HATCH})")
    rows = (
        (bar("prefers"), "preferred: it thrives"),
        (bar("tolerates"), "tolerated for good"),
        (bar("survives"), "survived for a short time"),
        (endless, "no end drawn: nothing is asked on that side"),
        (tail, "an end that nobody knows"),
        (doubt, "the end lies somewhere in here"),
        (bar("tolerates", "memory"), "dashed outline: from memory, to be checked"),
        (bar("tolerates", "derived"), "dotted outline: derived from other figures"),
        (crowd, "how many plants live at each value; the scale is that of all plants"),
    )
    items = (el("li", svg.swatch(sample), " ", words) for sample, words in rows)
    return el("ul", *items, class_="legend")
