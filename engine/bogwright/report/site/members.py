"""Lists of plants: the forms of a species, the members of a group or genus, with what divides them."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from markupsafe import Markup

from bogwright.knowledge import Entry, Profile, ValueClaim
from bogwright.report.site import cells
from bogwright.report.site.claims import text
from bogwright.report.site.comparison import side_by_side
from bogwright.report.site.markup import Text, bullets, cat, el, grid, joined, scientific
from bogwright.report.site.sheet import Sheet, row_anchor, shown_name
from bogwright.report.site.wording import counted, figure, standing

MOST = 24  # rows of an overview that stand unfolded
FEW = 8  # plants that are shown side by side at once
_COLUMNS = (("by day", "temperature_day"), ("by night", "temperature_night"), ("humidity", "humidity"))


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
        shown = _beside if entry.kind == "group" else _overview
        parts.append(sheet.section("Plants", "members", shown(sheet, plants, f"Plants of {entry.name}")))
    return cat(*parts)


def _beside(sheet: Sheet, plants: Sequence[Entry], caption: str) -> Markup:
    """Plants of a group side by side; where they are many, their names come first and the table is folded away."""
    table = side_by_side(sheet, plants, caption)
    if len(plants) <= FEW:
        return table
    names = bullets(map(sheet.entry_link, plants), class_="columns")
    summary = el("summary", el("b", f"Figures of all {len(plants)} side by side"))
    return cat(names, el("details", summary, table, class_="fold"))


def by_name(sheet: Sheet, genus: str) -> Markup:
    """Plants of a genus that have no profile: who they are, and the group whose figures stand in."""
    base = sheet.atlas.base
    listed = [entry for entry in base.listed() if entry.genus == genus]
    if not listed:
        return Markup("")
    told = (
        "No profile yet: judged by the range of the profiled members of the group. A profile of any of them is welcome."
    )
    if len(listed) <= MOST:
        return sheet.section("Known by name", "by-name", el("p", told), _names(sheet, listed, "Known by name"))
    folds = []
    for group, kept in _by_group(sheet, listed):
        name: Text = shown_name(group) if group else "Judged by the whole genus"
        summary = el("summary", el("b", name), " ", el("span", counted(len(kept), "name"), class_="told"))
        caption = f"Known by name: {Markup(name).striptags()}"
        folds.append(el("details", summary, _names(sheet, kept, caption), class_="fold"))
    return sheet.section("Known by name", "by-name", el("p", told), *folds)


def _names(sheet: Sheet, listed: Sequence[Entry], caption: str) -> Markup:
    titles = ("name", "given by", "native range", "judged as", "height", "listed in")
    head = el("tr", *(el("th", title, scope="col") for title in titles))
    rows = []
    for entry in listed:
        synonyms = joined(scientific(name.shown) for name in entry.names if name.kind == "synonym")
        below = el("small", "synonyms: ", synonyms, class_="dim") if synonyms else ""
        name = el("th", shown_name(entry), " ", below, scope="row", id=row_anchor(entry))
        told = zip(titles[1:], _identity(sheet, entry), strict=True)
        rows.append(el("tr", name, *(el("td", el("div", cell), data_label=title) for title, cell in told)))
    return el("table", el("caption", caption), el("thead", head), el("tbody", *rows), class_="claims members")


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
    """Tolerated temperatures, humidity and rest; plants of which the same is known share a row."""
    axes = sheet.atlas.bench.axes
    rows: dict[tuple[cells.Cell, ...], list[Entry]] = {}
    for plant in plants:
        needs = sheet.atlas.sorted.plants[plant.id]
        known = (*(cells.tolerated(needs, axes[axis]) for _, axis in _COLUMNS), cells.rests(needs))
        rows.setdefault(known, []).append(plant)
    lines = (
        (joined(map(sheet.entry_link, kept)), *(el("div", one.markup()) for one in known))
        for known, kept in rows.items()
    )
    return grid(("plant", *(title for title, _ in _COLUMNS), "rest"), lines, caption)


def _overview(sheet: Sheet, plants: Sequence[Entry], caption: str) -> Markup:
    """Plants of a genus; those of a large one are folded away by group, under what the group tolerates."""
    told = el("p", cells.LEGEND, class_="dim")
    if len(plants) <= MOST:
        return cat(told, compared(sheet, plants, caption))
    return cat(told, *(_folded(sheet, group, kept) for group, kept in _by_group(sheet, plants)))


def _by_group(sheet: Sheet, plants: Sequence[Entry]) -> Iterator[tuple[Entry | None, list[Entry]]]:
    """Plants by group, in the order of the groups; those of none come last."""
    kept: dict[str | None, list[Entry]] = {}
    for plant in plants:
        kept.setdefault(plant.group, []).append(plant)
    entries = sheet.atlas.base.entries
    for group in sorted(kept, key=lambda group: (group is None, group or "")):
        yield entries.get(group) if group else None, kept[group]


def _folded(sheet: Sheet, group: Entry | None, plants: Sequence[Entry]) -> Markup:
    """The plants of a group behind one line that says what the group tolerates."""
    name = shown_name(group) if group else "Of no group"
    told: list[Text] = [counted(len(plants), "plant")]
    if group:
        needs, axes = sheet.atlas.sorted.of(group), sheet.atlas.bench.axes
        told += [cat(title, " ", cells.tolerated(needs, axes[axis]).markup()) for title, axis in _COLUMNS[:2]]
    more = el("p", sheet.link("More of this group, and its plants one by one", sheet.atlas.url(group))) if group else ""
    summary = el("summary", el("b", name), " ", el("span", joined(told, " · "), class_="told"))
    table = compared(sheet, plants, f"Plants: {name}" if not group else f"Plants of {group.name}")
    return el("details", summary, more, table, class_="fold")
