"""Lists of plants: the forms of a species, the members of a group or genus, with what divides them."""

from __future__ import annotations

from collections.abc import Sequence

from markupsafe import Markup

from bogwright.knowledge import BandClaim, Entry, Profile, ValueClaim
from bogwright.report.site.claims import text
from bogwright.report.site.comparison import side_by_side
from bogwright.report.site.markup import Text, cat, el, joined, scientific
from bogwright.report.site.sheet import Sheet, row_anchor, shown_name
from bogwright.report.site.wording import REST_KINDS, figure, standing

_COLUMNS = (
    ("tolerated by day", "air.temperature_day"),
    ("tolerated by night", "air.temperature_night"),
    ("humidity", "air.humidity"),
)


def listing(sheet: Sheet, entry: Entry) -> Markup:
    """What belongs to a page: groups and plants of a genus, plants of a group, forms of a species."""
    base = sheet.atlas.base
    if entry.kind == "taxon":
        return _forms(sheet, entry)
    plants = base.members(entry.id)
    parts: list[Text] = []
    if entry.kind == "genus":
        groups = [group for group in base.groups() if group.genus == entry.genus]
        if groups:
            links = joined((sheet.entry_link(group) for group in groups), " · ")
            parts.append(sheet.section("Groups", "groups", el("p", links)))
    if plants:
        beside = side_by_side if entry.kind == "group" else compared
        parts.append(sheet.section("Plants", "members", beside(sheet, plants, f"Plants of {entry.name}")))
    return cat(*parts)


def by_name(sheet: Sheet, genus: str) -> Markup:
    """Plants of a genus that have no profile: who they are, and the group whose figures stand in."""
    base = sheet.atlas.base
    listed = [entry for entry in base.listed() if entry.genus == genus]
    if not listed:
        return Markup("")
    titles = ("name", "given by", "native range", "judged as", "height", "listed in")
    head = el("tr", *(el("th", title, scope="col") for title in titles))
    rows = []
    for entry in listed:
        synonyms = joined(scientific(name.shown) for name in entry.names if name.kind == "synonym")
        below = el("small", "synonyms: ", synonyms, class_="dim") if synonyms else ""
        name = el("th", shown_name(entry), " ", below, scope="row", id=row_anchor(entry))
        cells = zip(titles[1:], _identity(sheet, entry), strict=True)
        rows.append(el("tr", name, *(el("td", el("div", cell), data_label=title) for title, cell in cells)))
    told = (
        "No profile yet: judged by the range of the profiled members of the group. A profile of any of them is welcome."
    )
    table = el("table", el("caption", "Known by name"), el("thead", head), el("tbody", *rows), class_="claims members")
    return sheet.section("Known by name", "by-name", el("p", told), table)


def _identity(sheet: Sheet, entry: Entry) -> tuple[Text, ...]:
    """What an outline table says of a name: authority, range, group, height, the lists and the line that have it."""
    base = sheet.atlas.base
    profile, record = base.profile(entry.id), base.records[entry.record]
    stands_in = base.entries.get(entry.group or f"{entry.genus}/_genus")
    judged: Text = "nothing: no group or genus profile"
    if stands_in is not None:
        word = short_group(stands_in) if stands_in.kind == "group" else "the genus"
        judged = sheet.link(word, sheet.atlas.url(stands_in))
    height = profile.range("identity.elevation")
    ends = [end.value if end and not end.inherited else None for end in (height.low, height.high)] if height else []
    row = record.data["taxa"][entry.root[1]]
    lists = [*map(sheet.source_link, row["sources"]), sheet.file(record.name, record.positions.value(entry.root)[0])]
    return (
        _stated(profile, "identity.authority"),
        _stated(profile, "identity.range"),
        judged,
        figure(ends[0], ends[1], "m") if any(end is not None for end in ends) else "",
        joined(lists),
    )


def _stated(profile: Profile, path: str) -> Text:
    """A stated value with its standing."""
    claim = profile.claim(path)
    if not isinstance(claim, ValueClaim) or claim.value is None or claim.basis is None:
        return el("span", "not written yet", class_="dim")
    return cat(text(path, claim.field.kind, claim.value), " ", standing(claim.basis))


def _forms(sheet: Sheet, entry: Entry) -> Markup:
    if entry.form is not None:
        return Markup("")
    forms = sheet.atlas.forms(entry)
    if not forms:
        return Markup("")
    differing = sheet.atlas.base.differing_forms(entry.id)
    told: list[Text] = []
    if differing:
        names = joined((sheet.entry_link(sheet.atlas.base.entries[form]) for form in differing), "; ")
        lead = "The bare name is not enough for a verdict: its forms differ in rest or temperature. Judged one by one: "
        told.append(el("p", lead, names, ".", class_="callout"))
    return sheet.section("Forms", "forms", *told, compared(sheet, forms, f"Forms of {entry.name}"))


def short_group(group: Entry) -> str:
    """A group's name without that of its genus."""
    return group.name.replace(group.genus.capitalize(), "").strip(" ,")


def compared(sheet: Sheet, plants: Sequence[Entry], caption: str) -> Markup:
    """Plants side by side: tolerated temperatures, humidity and how they rest."""
    head = el("tr", *(el("th", title, scope="col") for title in ("plant", *(title for title, _ in _COLUMNS), "rest")))
    rows = []
    for plant in plants:
        profile = sheet.atlas.base.profile(plant.id)
        cells = [el("td", _span(profile.band(path)), data_label=title) for title, path in _COLUMNS]
        name = el("th", sheet.entry_link(plant), scope="row", class_="form" if plant.form else None)
        rows.append(el("tr", name, *cells, el("td", _rests(profile), data_label="rest")))
    return el("table", el("caption", caption), el("thead", head), el("tbody", *rows), class_="claims members")


def _span(claim: BandClaim | None) -> Text:
    if claim is None or claim.unknown:
        return standing("unknown")
    low, high = claim.hull("tolerates", "low"), claim.hull("tolerates", "high")
    if low is None and high is None:
        return standing("unknown")
    return figure(low[0] if low else None, high[1] if high else None, claim.field.unit)


def _rests(profile: Profile) -> str:
    """Kinds of rest over its ways, the least troublesome first."""
    seen: dict[str, None] = {}
    for way in sorted(profile.ways.values(), key=lambda way: (way.effort, way.id)):
        for rest in way.rests.values():
            seen.setdefault(
                REST_KINDS.get(rest.kind, rest.kind) + (", lifted out" if rest.where == "lifted-out" else "")
            )
        if not way.rests:
            seen.setdefault("grows all year")
    return "; ".join(seen) or "not stated"
