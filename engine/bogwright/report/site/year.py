"""The ways through the year: a picture of the months of each, and what each rest asks."""

from __future__ import annotations

from markupsafe import Markup

from bogwright.knowledge import Profile, Rest, Way
from bogwright.report.site.charts import months
from bogwright.report.site.claims import Row, cue_rows, table
from bogwright.report.site.markup import Text, cat, el, slug
from bogwright.report.site.sheet import Sheet
from bogwright.report.site.wording import REST_KINDS, WHERE, capital, effort, standing, words

_PARTS = (
    ("The rest", ""),
    ("Air in the rest", "air."),
    ("Light in the rest", "light."),
    ("Water in the rest", "water."),
)
LEGEND = (
    "Months are counted from the local midwinter: the upper names hold in the north, the lower in the south. "
    "Filled: it rests, flowers or is worked on. Hatched: it may. Line: it grows. A dot in a month: flowers; a wedge: "
    "seed is sown. Dashed outline: from memory."
)


def ways(sheet: Sheet, profile: Profile) -> Markup:
    """All ways, least trouble first, and the seasons of flowers and work."""
    seasons = months.seasons(profile)
    if not profile.ways:
        return cat(el("p", "Nobody has written down a way through the year yet.", class_="dim"), seasons)
    kept = sorted(profile.ways.values(), key=lambda way: (way.effort, way.id))
    return cat(el("p", LEGEND, class_="dim"), seasons, *(_way(sheet, profile, way) for way in kept))


def _way(sheet: Sheet, profile: Profile, way: Way) -> Markup:
    said: list[Text] = [f"Trouble for the grower: {effort(way.effort)}."]
    if way.renewed:
        said.append(" Kept by sowing or gemmae every year.")
    if way.basis:
        said += [" ", standing(way.basis), sheet.ref(way.basis, way.sources, way.note, way.origin)]
    else:
        said.append(sheet.ref(None, (), way.note, way.origin))
    parts: list[Text] = [el("h3", capital(way.title)), el("p", *said), months.year(way)]
    parts += [_rest(sheet, profile, rest) for rest in sorted(way.rests.values(), key=lambda rest: rest.id)]
    return el("section", *parts, sheet.evidence(), class_="way", id=slug(f"year.ways.{way.id}"))


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
