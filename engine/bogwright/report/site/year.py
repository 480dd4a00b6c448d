"""The ways through the year: a strip of months for each, and what each rest asks."""

from __future__ import annotations

from markupsafe import Markup

from bogwright.knowledge import Profile, Rest, Way
from bogwright.report.site.claims import Row, cue_rows, table
from bogwright.report.site.markup import Text, cat, el, slug
from bogwright.report.site.sheet import Sheet
from bogwright.report.site.wording import NORTH, REST_KINDS, SOUTH, WHERE, effort, standing, words
from bogwright.sharing.months import WEEKS_IN_MONTH, RestSpan, placements

_PARTS = (
    ("The rest", ""),
    ("Air in the rest", "air."),
    ("Light in the rest", "light."),
    ("Water in the rest", "water."),
)
LEGEND = (
    "Months are counted from the local midwinter: 0 is December in the north and June in the south. "
    "R: rests. r: the rest may lie here. A dot: it grows."
)


def ways(sheet: Sheet, profile: Profile) -> Markup:
    """All ways, least trouble first."""
    if not profile.ways:
        return el("p", "Nobody has written down a way through the year yet.", class_="dim")
    kept = sorted(profile.ways.values(), key=lambda way: (way.effort, way.id))
    return cat(el("p", LEGEND, class_="dim"), *(_way(sheet, profile, way) for way in kept))


def _way(sheet: Sheet, profile: Profile, way: Way) -> Markup:
    said: list[Text] = [f"Trouble for the grower: {effort(way.effort)}."]
    if way.renewed:
        said.append(" Kept by sowing or gemmae every year.")
    if way.basis:
        said += [" ", standing(way.basis), sheet.ref(way.basis, way.sources, way.note, way.origin)]
    else:
        said.append(sheet.ref(None, (), way.note, way.origin))
    parts: list[Text] = [el("h3", way.title[:1].upper() + way.title[1:]), el("p", *said), strip(way)]
    parts += [_rest(sheet, profile, rest) for rest in sorted(way.rests.values(), key=lambda rest: rest.id)]
    return el("section", *parts, sheet.evidence(), class_="way", id=slug(f"year.ways.{way.id}"))


def strip(way: Way) -> Markup:
    """Twelve months of a way as a table of letters."""
    rows = [
        _letters("month", [str(month) for month in range(12)]),
        _letters("north", NORTH),
        _letters("south", SOUTH),
    ]
    for rest in sorted(way.rests.values(), key=lambda rest: rest.id):
        rows.append(el("tr", el("th", words(rest.id), scope="row"), *(_month(*month) for month in _months(rest))))
    if not way.rests:
        rows.append(el("tr", el("th", "plant", scope="row"), *(_month("·", "grows") for _ in range(12))))
    return el("table", el("caption", f"The year of this way: {way.title}"), el("tbody", *rows), class_="months")


def _letters(head: str, letters: str | list[str]) -> Markup:
    return el("tr", el("th", head, scope="row"), *(el("td", letter) for letter in letters))


def _month(sign: str, meaning: str) -> Markup:
    seen = el("span", sign, aria_hidden="true")
    return el("td", seen, el("span", meaning, class_="aside"), class_={"R": "rests", "r": "may-rest"}.get(sign))


def _months(rest: Rest) -> list[tuple[str, str]]:
    """Sign and meaning of each month: sure rest, possible rest, growth."""
    least, most = rest.weeks
    runs = placements(RestSpan(rest.id, rest.may, (least or WEEKS_IN_MONTH, most or WEEKS_IN_MONTH * 12), False))
    months = []
    for month in range(12):
        if runs and all(month in run for run in runs):
            months.append(("R", "rests"))
        elif month in rest.may:
            months.append(("r", "may rest"))
        else:
            months.append(("·", "grows"))
    return months


def _rest(sheet: Sheet, profile: Profile, rest: Rest) -> Markup:
    """What a rest asks: only what is stated for the rest itself; all else holds as in growth."""
    groups: dict[str, list[Row]] = {title: [] for title, _ in _PARTS}
    start = f"{rest.path}."
    for path in sheet.atlas.in_order(profile, (path for path in profile.fields() if path.startswith(start))):
        claim = profile.claim(path)
        assert claim is not None
        own = path.removeprefix(start)
        part = next(title for title, prefix in reversed(_PARTS) if own.startswith(prefix))
        stage = own.removeprefix("winters_skipped.")
        title = claim.field.title if stage == own else f"Rests in a row that may be skipped, {stage}"
        groups[part].append(Row(path, title, claim))
    groups["Light in the rest"] += cue_rows(f"{start}light.cues", profile.cues(f"{start}light.cues"))
    head = f"{words(rest.id).capitalize()}: {REST_KINDS.get(rest.kind, rest.kind)}, {WHERE[rest.where]}"
    return cat(el("h4", head), table(sheet, f"What the {words(rest.id)} rest asks", groups.items()))
