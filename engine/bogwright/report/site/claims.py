"""Rows of claims: what a plant asks, level by level, each figure with its standing and a note on its evidence."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from typing import Any, NamedTuple

from markupsafe import Markup

from bogwright.knowledge import BandClaim, Claim, Cue, End, Level, Outcome, Profile, RangeClaim, ValueClaim
from bogwright.knowledge.problems import kb_path
from bogwright.report.site.charts.bands import wish
from bogwright.report.site.markup import Text, bullets, cat, el, joined, scientific, slug
from bogwright.report.site.regions import named
from bogwright.report.site.sheet import Sheet
from bogwright.report.site.wording import CITES, OUTCOMES, figure, standing, words
from bogwright.rules.says import BEYOND
from bogwright.sharing.demands import Demand
from bogwright.sharing.months import both_halves, season_words

COLUMNS = ("prefers", "tolerates", "survives", "outside")
EVENTS = {
    "gemmae": "gemmae form",
    "succulent-phase": "succulent leaves form",
    "winter-bud": "the winter bud forms",
    "winter-rest": "the winter rest starts",
    "flowering": "it flowers",
    "waking": "it wakes",
    "growth": "it grows",
}
_LISTS = frozenset({"health.troubles", "people.cautions"})


class Row(NamedTuple):
    """A claim to be shown. path : of its field, which gives the anchor. demand : what the engine makes of it, or None.

    cue : a day-length cue to show instead of a claim.
    """

    path: str
    title: str
    claim: Claim | None
    demand: Demand | None = None
    cue: Cue | None = None


def table(sheet: Sheet, caption: str, groups: Iterable[tuple[str, Sequence[Row]]]) -> Markup:
    """Groups of claims under one head; without any band the four columns of levels are left out."""
    kept = [(title, rows) for title, rows in groups if rows]
    banded = any(isinstance(row.claim, BandClaim) for _, rows in kept for row in rows)
    width = len(COLUMNS) if banded else 1
    head = ["", *COLUMNS] if banded else ["", "what is known"]
    body: list[Text] = [
        el("thead", el("tr", *(el("th", text, scope="col") if text else el("td", text) for text in head)))
    ]
    for title, rows in kept:
        lead = [el("tr", el("th", title, colspan=width + 1, scope="rowgroup"), class_="group")] if title else []
        body.append(el("tbody", *lead, *(line for row in rows for line in _lines(sheet, row, width))))
    return el("table", el("caption", caption), *body, class_="claims" if banded else "claims facts")


def _lines(sheet: Sheet, row: Row, width: int) -> list[Markup]:
    """The row of a claim, the rows of its readings, and its remark."""
    anchor = slug(row.path)
    title = el("th", row.title, scope="row")
    claim = row.claim
    if row.cue is not None:
        return [el("tr", title, el("td", _cue(sheet, row.cue), colspan=width), id=anchor)]
    if claim is None or claim.unknown:
        field = sheet.atlas.base.fields.get(row.path)
        parts = [part for kept in _computed(sheet, None, row, field.unit if field else None).values() for part in kept]
        return [el("tr", title, el("td", _missing(sheet, claim), *parts, colspan=width), id=anchor)]
    if not isinstance(claim, BandClaim):
        return [el("tr", title, el("td", value(sheet, claim), colspan=width), id=anchor)]
    cells = _cells(sheet, claim, row)
    sides = [_cells(sheet, reading.claim) for reading in claim.readings]
    for place, column in enumerate(COLUMNS):
        if cells[place] is None and any(side[place] is not None for side in sides):
            cells[place] = _cell(column, standing("disputed"))
    lines = [el("tr", title, *_filled(cells), id=anchor)]
    for reading, side in zip(claim.readings, sides, strict=True):
        label = el("th", cat(el("span", "reading: ", class_="dim"), words(reading.title)), scope="row")
        lines.append(el("tr", label, *_filled(side), class_="reading"))
    if claim.note:
        lines.append(el("tr", el("td", sheet.prose(claim.note), colspan=width + 1), class_="remark"))
    return lines


def _filled(cells: Sequence[Markup | None]) -> list[Markup]:
    return [cell or _cell(column, "") for cell, column in zip(cells, COLUMNS, strict=True)]


def _missing(sheet: Sheet, claim: Claim | None) -> Markup:
    if claim is None:
        return el("span", "nobody has written a figure yet", class_="dim")
    return cat(standing("unknown"), ": looked for, not found", sheet.ref(None, (), claim.note, claim.origin))


def _cell(column: str, content: Text) -> Markup:
    return el("td", content, data_label=column, class_=None if content else "empty")


def _cells(sheet: Sheet, claim: BandClaim, row: Row | None = None) -> list[Markup | None]:
    """One cell a column, None where nothing is stated. row : where ends that the engine computes are shown as well."""
    cells: list[Markup | None] = []
    unit = claim.field.unit
    computed = _computed(sheet, claim, row, unit) if row and not claim.disputed else {}
    for column in COLUMNS[:3]:
        parts = _level(sheet, claim.levels.get(column), unit) + computed.get(column, [])
        cells.append(_cell(column, joined(parts, "")) if parts else None)
    outside = _outside(sheet, claim.outside_low, claim.outside_high)
    return [*cells, _cell("outside", joined(outside, "")) if outside else None]


def _level(sheet: Sheet, level: Level | None, unit: str | None) -> list[Text]:
    if level is None:
        return []
    low, high = level.low, level.high
    if low and high and _same(low, high):
        return [_figure(sheet, figure(low.value, high.value, unit), low)]
    parts: list[Text] = [_figure(sheet, figure(low.value, None, unit), low)] if low else []
    return parts + ([_figure(sheet, figure(None, high.value, unit), high)] if high else [])


def _same(low: End, high: End) -> bool:
    return (low.origin.record.name, low.origin.path) == (high.origin.record.name, high.origin.path)


def _figure(sheet: Sheet, text: str, end: End) -> Markup:
    more = []
    if end.for_days:
        more.append(f"for {figure(end.for_days, end.for_days, 'days')}")
    if end.hours:
        more.append(f"over {figure(*end.hours, 'h')}")
    if end.lamp:
        more.append(f"under {sheet.atlas.bench.lamps.get(end.lamp, {}).get('title', words(end.lamp))}")
    return _shown(" ".join([text, *more]), standing(end.basis), sheet.ref(end.basis, end.sources, end.note, end.origin))


def _shown(text: Text, how: Markup, ref: Text = "") -> Markup:
    return el("span", el("span", text, class_="figure"), " ", how, ref, class_="stated")


def _computed(sheet: Sheet, claim: BandClaim | None, row: Row, unit: str | None) -> dict[str, list[Text]]:
    """What nobody states and the engine computes: the light preferred, and ends of what is tolerated."""
    parts: dict[str, list[Text]] = {"prefers": [], "tolerates": []}
    demand = row.demand
    if demand is None:
        return parts
    stated = claim is not None and "prefers" in claim.levels
    least, most = wish(demand)
    if row.path == "light.dli" and not stated and (least, most) != (None, None):
        parts["prefers"].append(_derived(figure(least, most, unit), "PPFD or lux, hours and lamp"))
    for side, span, origin in (("lower", demand.low, demand.low_origin), ("upper", demand.high, demand.high_origin)):
        known = claim is not None and claim.value("tolerates", {"lower": "low", "upper": "high"}[side]) is not None
        if span is not None and origin is not None and origin.basis == "derived" and not known:
            low, high = (None if abs(end) >= BEYOND else round(end, 1) for end in span)
            file = sheet.file(kb_path(origin.file).removeprefix("kb/"), origin.line) if origin.file else ""
            parts["tolerates"].append(_derived(f"{side} limit {figure(low, high, unit)}", origin.method, file))
    return parts


def _derived(text: str, method: str, place: Text = "") -> Markup:
    return _shown(text, cat(standing("derived"), el("span", f" from {method} ", place, class_="method")))


def _outside(sheet: Sheet, low: Outcome | None, high: Outcome | None) -> list[Text]:
    parts: list[Text] = []
    for side, outcome in (("below", low), ("above", high)):
        if outcome:
            ref = sheet.ref(outcome.basis, outcome.sources, outcome.note, outcome.origin)
            parts.append(_shown(f"{side}: {OUTCOMES[outcome.value]}", standing(outcome.basis), ref))
    return parts


def value(sheet: Sheet, claim: RangeClaim | ValueClaim) -> Markup:
    """A claim that is not a band, with its standing; a dispute as the list of its readings."""
    if claim.unknown:
        return _missing(sheet, claim)
    if isinstance(claim, RangeClaim):
        parts = joined(_level(sheet, Level(claim.low, claim.high), claim.field.unit), "; ")
        return (
            cat(parts, el("p", sheet.prose(claim.note), class_="remark")) if claim.note and not _told(claim) else parts
        )
    if claim.readings:
        sides = [cat(el("b", words(side.title)), ": ", value(sheet, side.claim)) for side in claim.readings]
        note = el("p", sheet.prose(claim.note), class_="remark") if claim.note else ""
        return cat(standing("disputed"), bullets(sides, class_="readings"), note)
    assert claim.basis is not None
    how = cat(standing(claim.basis), sheet.ref(claim.basis, claim.sources, claim.note, claim.origin))
    shown = _materials(sheet, claim) or text(claim.field.path, claim.field.kind, claim.value)
    if claim.field.path in _LISTS and isinstance(claim.value, tuple):
        return cat(shown, how)
    return el("span", el("span", shown, class_="figure"), " ", how, class_="stated")


def _materials(sheet: Sheet, claim: ValueClaim) -> Markup | None:
    """Components of the medium as links to the pages of the materials; None for any other claim."""
    if claim.field.path != "medium.components" or not isinstance(claim.value, tuple):
        return None
    return joined(sheet.link(words(key), f"materials/{key}/") for key in claim.value)


def _told(claim: RangeClaim) -> bool:
    """Whether the ends carry the claim's note already."""
    return any(end is not None and end.note == claim.note for end in (claim.low, claim.high))


def text(path: str, kind: str, content: Any) -> Markup:
    """The bare value of a claim as a reader sees it."""
    if kind == "months":
        return cat(both_halves(content))
    if kind == "season":
        return cat(season_words(content))
    if kind == "steps":
        steps = (
            f"nights up to {figure(night, night, 'degC')}: days up to {figure(day, day, 'degC')}"
            for night, day in content
        )
        return joined(steps, "; ")
    if kind == "word":
        return cat(CITES[content] if path == "law.cites" else words(content))
    if kind == "words":
        return joined(words(one) for one in content)
    items = content if isinstance(content, tuple) else (content,)
    if path == "identity.synonyms":
        return joined(map(scientific, items))
    if path == "identity.range":
        return joined((el("abbr", named(code), title=code) if named(code) != code else code for code in items), ", ")
    if path in _LISTS and len(items) > 1:
        return bullets(items)
    return joined(map(str, items), "; " if path in _LISTS else ", ")


def flowers(profile: Profile) -> str:
    """When it flowers, in words; empty where that is unknown or disputed."""
    claim = profile.claim("habit.flowering")
    return season_words(claim.value) if isinstance(claim, ValueClaim) and claim.value else ""


def cue_rows(path: str, cues: Mapping[str, Cue]) -> list[Row]:
    """Day-length cues kept at a path."""
    return [Row(f"{path}.{key}", f"Day length: {words(key)}", None, cue=cue) for key, cue in cues.items()]


def _cue(sheet: Sheet, cue: Cue) -> Markup:
    limits = [f"below {figure(cue.below, cue.below, 'h')}"] if cue.below is not None else []
    limits += [f"above {figure(cue.above, cue.above, 'h')}"] if cue.above is not None else []
    limits += ["growing longer"] * cue.rising + ["growing shorter"] * cue.falling
    when = f" ({both_halves(cue.months)})" if cue.months else ""
    told = f"days {' and '.join(limits)}: {EVENTS.get(cue.event, words(cue.event))}{when}"
    return _shown(told, standing(cue.basis), sheet.ref(cue.basis, cue.sources, cue.note, cue.origin))
