"""Strips of months, counted from the local midwinter: the rests of a way, and the seasons of flowers and of work."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import NamedTuple

from markupsafe import Markup

from bogwright.knowledge import Profile, RangeClaim, Rest, ValueClaim, Way
from bogwright.report.site.charts import svg
from bogwright.report.site.markup import Text, cat, slug
from bogwright.report.site.wording import REST_KINDS, STANDINGS, figure, words
from bogwright.sharing.months import (
    NAMES,
    WEEKS_IN_MONTH,
    RestSpan,
    both_halves,
    calendar_month,
    placements,
    season_words,
    spans,
)

GUTTER, CELL = 34.0, 25.8
HEADS, LABEL, STRIP, GAP = 32.0, 15.0, 15.0, 5.0
# what stands in each month of a row: a dot for a flower, a wedge for a seed
SIGNS = {"flowers": "m-3.4 0a3.4 3.4 0 1 0 6.8 0a3.4 3.4 0 1 0-6.8 0", "sowing": "m-3.6-3h7.2l-3.6 6.4z"}
EVENTS = {
    "flowering": "Flowers set off by the length of the day",
    "waking": "It wakes",
    "succulent-phase": "Succulent leaves form",
}


class Row(NamedTuple):
    """A strip. runs : (class, months) of each kind, what is left out is drawn as a line. told : the row in words.

    sign : of SIGNS, put in every month of the runs.
    """

    label: str
    runs: tuple[tuple[str, tuple[int, ...]], ...]
    told: str
    sign: str = ""


def year(way: Way) -> Markup:
    """The year of one way: a strip for each of its rests, or a line if it grows throughout."""
    rows = [_rest_row(rest) for rest in sorted(way.rests.values(), key=lambda rest: rest.id)]
    return _strips(
        f"way-{slug(way.id)}",
        f"The year of this way: {way.title}",
        rows or [Row("Grows all year", (), "in every month")],
    )


def seasons(profile: Profile) -> Markup:
    """Flowers, sowing, gemmae, cuttings, moving and what else has its months; empty if nothing has."""
    rows = list(_season_rows(profile))
    return _strips("seasons", "Seasons of flowers, growth and work", rows) if rows else Markup("")


def rest_months(rest: Rest) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """Months in which it surely rests, and others in which it may."""
    least, most = rest.weeks
    runs = placements(RestSpan(rest.id, rest.may, (least or WEEKS_IN_MONTH, most or WEEKS_IN_MONTH * 12), False))
    sure = tuple(month for month in range(12) if runs and all(month in run for run in runs))
    return sure, tuple(sorted(set(rest.may) - set(sure)))


def _rest_row(rest: Rest) -> Row:
    sure, maybe = rest_months(rest)
    name = words(rest.id).capitalize()
    kind = REST_KINDS.get(rest.kind, rest.kind)
    parts = [f"rests {both_halves(sure)}"] if sure else []
    parts += [f"the rest may lie in {both_halves(maybe)}"] if maybe else []
    told = "; ".join(parts) or "months of the rest are not stated"
    away = ", lifted out" if rest.where == "lifted-out" else ""
    return Row(f"{name}: {kind}{away}", (("rests", sure), ("may-rest", maybe)), told)


def _season_rows(profile: Profile) -> Iterator[Row]:
    yield from _claimed(profile, "habit.flowering", "Flowers", "flowers")
    for cue in profile.cues().values():
        if cue.event in EVENTS and cue.months:
            yield _season(EVENTS[cue.event], cue.months, cue.basis, "")
    yield from _claimed(profile, "propagation.gemmae_months", "Gemmae form")
    for method in profile.keys("propagation.methods"):
        label = "Sow seed" if method == "seed" else f"{words(method).capitalize()}"
        if method == "seed":
            chill = profile.claim(f"propagation.methods.{method}.stratification")
            ends = (chill.low, chill.high) if isinstance(chill, RangeClaim) else (None, None)
            low, high = (end.value if end else None for end in ends)
            if low or high:
                label += f", after {figure(low, high, 'weeks')} cold and damp"
        yield from _claimed(
            profile, f"propagation.methods.{method}.months", label, "sowing" if method == "seed" else ""
        )
    yield from _claimed(profile, "roots.best_months", "Move or repot")


def _claimed(profile: Profile, path: str, label: str, sign: str = "") -> Iterator[Row]:
    claim = profile.claim(path)
    if not isinstance(claim, ValueClaim):
        return
    for title, one in [(f" ({words(side.title)})", side.claim) for side in claim.readings] or [("", claim)]:
        if one.value and one.basis:
            yield _season(f"{label}{title}", one.value, one.basis, sign)


def _season(label: str, season: Sequence[int] | str, basis: str, sign: str) -> Row:
    """any-time, for a plant that keeps to no season, is hatched over the year."""
    kind, months = ("any-time", range(12)) if isinstance(season, str) else ("season", season)
    kind += " memory" if basis == "from-memory" else ""
    return Row(label, ((kind, tuple(months)),), f"{season_words(season)} ({STANDINGS[basis][1]})", sign)


def _strips(name: str, title: str, rows: Sequence[Row]) -> Markup:
    told = ". ".join(f"{row.label}: {row.told}" for row in rows) + "."
    parts: list[Text] = [_calendar()]
    top = HEADS
    for row in rows:
        parts.append(svg.text(GUTTER, top + 11, row.label, "head"))
        parts.append(_strip(row, top + LABEL))
        top += LABEL + STRIP + GAP
    return svg.picture(name, title, told, top, *parts, class_="months")


def _calendar() -> Markup:
    """Names of the months, northern above southern."""
    heads = []
    for y, half, midwinter in ((11.0, "north", 12), (25.0, "south", 6)):
        heads.append(svg.text(0, y, half))
        for month in range(12):
            name = NAMES[calendar_month(month, midwinter) - 1]
            heads.append(svg.text(GUTTER + (month + 0.5) * CELL, y, name, "tick"))
    return cat(*heads)


def _strip(row: Row, top: float) -> Markup:
    middle = top + STRIP / 2
    end = svg.coordinate(GUTTER + 12 * CELL)
    marks = "".join(
        f"M{svg.coordinate(GUTTER + month * CELL)} {svg.coordinate(top)}v{svg.coordinate(STRIP)}" for month in range(13)
    )
    drawn = [
        svg.shape("path", class_="grid", d=marks),
        svg.shape("path", class_="grows", d=f"M{svg.coordinate(GUTTER)} {svg.coordinate(middle)}H{end}"),
    ]
    for kind, months in row.runs:
        for x, width in _stretches(months):
            fill = f"url(#{svg.HATCH})" if kind.startswith(("may-rest", "any-time")) else None
            drawn.append(svg.shape("rect", class_=kind, x=x, y=top, width=width, height=STRIP, fill=fill))
        if row.sign:
            places = (f"M{svg.coordinate(GUTTER + (month + 0.5) * CELL)} {svg.coordinate(middle)}" for month in months)
            drawn.append(svg.shape("path", class_=f"sign-{row.sign}", d="".join(p + SIGNS[row.sign] for p in places)))
    return cat(*drawn)


def _stretches(months: Sequence[int]) -> Iterator[tuple[float, float]]:
    """Left and width of each run of months, cut where the year turns."""
    for first, last in spans(months):
        if first <= last:
            yield GUTTER + first * CELL, (last - first + 1) * CELL
        else:
            yield GUTTER, (last + 1) * CELL
            yield GUTTER + first * CELL, (12 - first) * CELL
