"""Plants by need: by light, moisture, rest and temperature, in the classes of kb/needs.yaml."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from markupsafe import Markup

from bogwright.judge.classes import Class, Need
from bogwright.knowledge import Entry
from bogwright.report.site import cells
from bogwright.report.site.atlas import Atlas, Page
from bogwright.report.site.markup import Text, bullets, cat, el, joined, scientific
from bogwright.report.site.sheet import Sheet
from bogwright.report.site.wording import REST_KINDS, counted, figure, or_list, standing
from bogwright.sharing.needs import Needs

SECTION = "needs/"
FOLDED = "Forms that stand in the same classes with the same figures as their species are not named beside it."


def pages(atlas: Atlas) -> Iterator[Page]:
    """The index and a page for each need."""
    yield index(atlas)
    for need in atlas.sorted.needs:
        yield page(atlas, need)


def url(need: Need) -> str:
    """Address of the page of a need."""
    return f"needs/{need.id}/"


def index(atlas: Atlas) -> Page:
    """Every class of every need, with how many plants stand in it."""
    sheet = Sheet(atlas, SECTION)
    sections = []
    for need in atlas.sorted.needs:
        items = [
            cat(sheet.link(one.title.capitalize(), url(need), one.id), f": {one.means}. ", _count(atlas, need, one))
            for one in need.classes
        ]
        lead = el("p", "By ", need.asks, ". ", sheet.link("All plants", url(need)))
        sections.append(sheet.section(need.title, need.id, lead, bullets(items)))
    link = sheet.link("By how much leeway they leave their grower", "difficulty/")
    sections.append(sheet.section("Difficulty", "difficulty", el("p", link, ".")))
    told = "Sorted by what the figures say they tolerate, not by labels. A plant stands in every class it tolerates."
    body = cat(el("header", el("h1", "Plants by need"), el("p", told), class_="title"), *sections)
    about = "Plants by light, moisture, rest, temperature and difficulty."
    return Page(sheet.here, "Plants by need", body, SECTION, about, (), tuple(sheet.toc))


def _count(atlas: Atlas, need: Need, one: Class) -> Markup:
    number = sum(placed[one.id] in ("yes", "perhaps") for placed in atlas.sorted.placed[need.id].values())
    return el("span", counted(number, "plant or form", "plants and forms"), class_="dim")


def page(atlas: Atlas, need: Need) -> Page:
    """One need: its classes with their members and figures, and the plants of which it is not known."""
    sheet = Sheet(atlas, url(need))
    placed = atlas.sorted.placed[need.id]
    listed = [taxon for taxon in atlas.base.taxa() if not _folded(atlas, need, taxon)]
    sections = []
    for one in need.classes:
        here = [taxon for taxon in listed if placed[taxon.id][one.id] in ("yes", "perhaps")]
        lead = el("p", one.means[:1].upper(), one.means[1:], ". Stands here: ", definition(atlas, one), ".")
        table = _members(sheet, need, one, here) if here else el("p", "No profiled plant.", class_="dim")
        sections.append(sheet.section(one.title.capitalize(), one.id, lead, table))
    unknown = [taxon for taxon in listed if "unknown" in placed[taxon.id].values()]
    told = el("p", standing("unknown"), ": a figure that decides about some class is not known.")
    names = bullets(map(sheet.entry_link, unknown), class_="columns") if unknown else el("p", "None.", class_="dim")
    sections.append(sheet.section("Not known", "unknown", told, names))
    none = [taxon for taxon in listed if set(placed[taxon.id].values()) == {"no"}]
    if none:
        between = el("p", "What they tolerate lies between the classes.")
        sections.append(
            sheet.section(
                "In no class", "none-of-them", between, bullets(map(sheet.entry_link, none), class_="columns")
            )
        )
    title = f"Plants by {need.title.lower()}"
    about = (
        f"Sorted by {need.asks}. A plant stands in every class it tolerates; “perhaps” where its figures leave it open."
    )
    how = standing(atlas.bench.table("needs")["basis"])
    limits = sheet.file("needs.yaml")
    basis = cat("The limits of the classes: ", how, ", no source; they stand in ", limits, ". ", FOLDED)
    body = cat(
        el("header", el("h1", title), el("p", about), el("p", basis, class_="dim"), class_="title"),
        *sections,
    )
    trail = (("Plants by need", SECTION, ""),)
    return Page(sheet.here, title, body, SECTION, f"Plants sorted by {need.asks}.", trail, tuple(sheet.toc))


def definition(atlas: Atlas, one: Class) -> Markup:
    """What a class asks, in words."""
    parts: list[Text] = []
    if one.growth:
        parts.append(cat("what tolerates ", _limits(atlas, one.growth.items()), " in growth"))
    if one.moisture:
        parts.append(f"what grows in a medium that is {one.moisture.replace('-', ' ')}")
    if one.rests is not None:
        kinds = or_list([REST_KINDS[kind] for kind in one.rests])
        parts.append(cat("what has a way with a ", kinds) if one.rests else "what has a way without any rest")
    if one.winter:
        where = " in that rest" if one.rests else " in growth or in a rest of its ways"
        parts.append(
            cat("and with it " if not one.rests else "and tolerates ", _limits(atlas, one.winter.items()), where)
        )
    return joined(parts, " ")


def _limits(atlas: Atlas, limits: Iterable[tuple[str, float]]) -> Markup:
    axes = atlas.bench.axes
    return joined((f"{axes[axis].title} of {figure(value, value, axes[axis].unit)}" for axis, value in limits), " and ")


def _figures(atlas: Atlas, need: Need, one: Class | None, needs: Needs) -> tuple[tuple[str, cells.Cell], ...]:
    """What decides about a need, as titled cells."""
    axes = atlas.bench.axes
    if need.id == "light":
        liked = cells.preferred(needs, axes["dli"])
        shown = (("", cells.tolerated(needs, axes["dli"])),)
        return (*shown, ("prefers", cells.Cell(liked, ()))) if liked else shown
    if need.id == "moisture":
        return (("", cells.moisture(needs)), ("water table", cells.tolerated(needs, axes["table_below_crown"])))
    if need.id == "rest":
        return (("", cells.rests(needs, one.rests if one else None)),)
    return (("night", cells.tolerated(needs, axes["temperature_night"])),
            ("day", cells.tolerated(needs, axes["temperature_day"])))  # fmt: skip


def _folded(atlas: Atlas, need: Need, taxon: Entry) -> bool:
    """A form with the classes and figures of its species."""
    if taxon.form is None:
        return False
    plants, placed = atlas.sorted.plants, atlas.sorted.placed[need.id]
    species = atlas.species_of(taxon)
    if placed[taxon.id] != placed[species.id]:
        return False
    return _told(_figures(atlas, need, None, plants[taxon.id])) == _told(
        _figures(atlas, need, None, plants[species.id])
    )


def _told(figures: Iterable[tuple[str, cells.Cell]]) -> tuple[tuple[str, str, tuple[str, ...]], ...]:
    """Figures without whose they are."""
    return tuple((title, cell.shown, cell.standings) for title, cell in figures)


def _members(sheet: Sheet, need: Need, one: Class, plants: Sequence[Entry]) -> Markup:
    """The plants of a class by genus; those with the same figures and standings share a row."""
    atlas = sheet.atlas
    rows: dict[tuple[str, tuple[tuple[str, str, tuple[str, ...]], ...]], list[Entry]] = {}
    for plant in plants:
        figures = _told(_figures(atlas, need, one, atlas.sorted.plants[plant.id]))
        rows.setdefault((plant.genus, figures), []).append(plant)
    bodies, jumps = [], []
    for genus in dict.fromkeys(genus for genus, _ in rows):
        name = sheet.link(scientific(atlas.genus_name(genus)), f"plants/{genus}/")
        lines = [
            el("tr", el("td", _shown(figures)), el("td", _links(sheet, need, one, kept)))
            for (of, figures), kept in rows.items()
            if of == genus
        ]
        at = f"{one.id}-{genus}"
        bodies.append(el("tbody", el("tr", el("th", name, colspan=2, scope="rowgroup")), *lines, id=at))
        jumps.append(el("a", scientific(atlas.genus_name(genus)), href=f"#{at}"))
    head = el(
        "thead",
        el("tr", el("th", "tolerated" if need.id != "rest" else "rest", scope="col"), el("th", "plants", scope="col")),
    )
    table = el("table", el("caption", f"{need.title}: {one.title}"), head, *bodies, class_="placed")
    return cat(el("p", joined(jumps, " "), class_="letters"), table) if len(jumps) > 1 else table


def _shown(figures: Iterable[tuple[str, str, tuple[str, ...]]]) -> Markup:
    lines = []
    for title, shown, standings in figures:
        label: list[Text] = [el("span", f"{title} ", class_="dim")] if title else []
        lines.append(el("div", *label, cells.Cell(shown, standings).markup()))
    return cat(*lines)


def _links(sheet: Sheet, need: Need, one: Class, plants: Iterable[Entry]) -> Markup:
    placed = sheet.atlas.sorted.placed[need.id]
    return joined(
        cat(sheet.entry_link(plant), " (perhaps)" if placed[plant.id][one.id] == "perhaps" else "") for plant in plants
    )


def stands_in(sheet: Sheet, plant: Entry) -> Markup:
    """The classes of a plant, with links: what its page says of them."""
    atlas = sheet.atlas
    rows: list[Markup] = []
    for need in atlas.sorted.needs:
        links = [
            cat(sheet.link(title, url(need), id_), " (perhaps)" if stands == "perhaps" else "")
            for id_, title, stands in atlas.sorted.classes(plant.id, need)
        ]
        if "unknown" in atlas.sorted.placed[need.id][plant.id].values():
            links.append(cat(sheet.link("not known", url(need), "unknown")))
        if not links:
            links.append(sheet.link("between the classes", url(need), "none-of-them"))
        rows.append(el("div", el("dt", sheet.link(need.title, url(need))), el("dd", joined(links))))
    if plant.id in atlas.sorted.measured:
        rank = atlas.sorted.ranks.get(plant.id)
        measure = atlas.sorted.leeway[plant.id].measure
        told = f"{rank}: {100 * measure:.0f} %" if rank and measure is not None else "cannot be said"
        link = sheet.link(told, "difficulty/", rank or "unknown")
        rows.append(el("div", el("dt", sheet.link("Leeway", "difficulty/")), el("dd", link)))
    return el("dl", *rows, class_="facts")
