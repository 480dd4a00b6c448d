"""Index pages: plants by genus, groups, all names, rules by topic, sources; and the figures of the home page."""

from __future__ import annotations

import unicodedata
from collections.abc import Iterator, Sequence
from typing import Any, NamedTuple

from markupsafe import Markup

from bogwright.knowledge import Entry
from bogwright.report.site.atlas import Atlas, Page
from bogwright.report.site.claims import flowers
from bogwright.report.site.markup import Text, bullets, cat, el, grid, joined, scientific
from bogwright.report.site.members import by_name
from bogwright.report.site.rule_pages import grave, place_of, stage_anchor
from bogwright.report.site.sheet import Sheet
from bogwright.report.site.source_pages import STANDINGS, bibliography
from bogwright.report.site.wording import SEVERITIES, capital, counted, mark, thousands

_MOST_OPEN = 24


class _Named(NamedTuple):
    key: str
    shown: Markup
    target: Markup


def plants(atlas: Atlas) -> Page:
    """All plants, by genus."""
    sheet = Sheet(atlas, "plants/")
    sections = []
    for genus in atlas.genera:
        entry = atlas.genus(genus)
        kept = [taxon for taxon in atlas.base.taxa() if taxon.genus == genus]
        common = joined(name.shown for name in entry.names if name.kind == "common") if entry else ""
        head = el("h2", sheet.link(scientific(atlas.genus_name(genus)), f"plants/{genus}/"), " ", el("small", common))
        sections.append(el("section", head, _tree(sheet, kept), id=genus))
        sheet.toc.append((atlas.genus_name(genus), genus))
    species = sum(taxon.form is None for taxon in atlas.base.taxa())
    lead = f"{counted(len(atlas.genera), 'genus', 'genera')}, {counted(species, 'plant')} and the forms kept apart."
    more = cat(
        lead,
        " Also as ",
        sheet.link("groups", "groups/"),
        " and by ",
        sheet.link("name", "names/"),
        ", or ",
        sheet.link("any of them side by side", "compare/"),
        ".",
    )
    body = cat(el("header", el("h1", "Plants by genus"), el("p", more), class_="title"), *sections)
    return Page(sheet.here, "Plants by genus", body, "plants/", "All plants, by genus.", (), tuple(sheet.toc))


def _tree(sheet: Sheet, taxa: Sequence[Entry]) -> Markup:
    """Species with their forms below them."""
    items = []
    for taxon in taxa:
        if taxon.form is None:
            forms = [form for form in taxa if form.record == taxon.record and form.form is not None]
            below = bullets(map(sheet.entry_link, forms)) if forms else ""
            note = el("span", " identity only", class_="dim") if taxon.outline else ""
            items.append(cat(sheet.entry_link(taxon), note, below))
    return bullets(items, class_="columns")


def genus_without_profile(atlas: Atlas, genus: str) -> Page:
    """The page of a genus of which plants are known but nothing is written for all of them."""
    sheet = Sheet(atlas, f"plants/{genus}/")
    kept = [taxon for taxon in atlas.base.taxa() if taxon.genus == genus]
    title = atlas.genus_name(genus)
    head = el(
        "header", el("h1", scientific(title)), el("p", "Nothing is written for the whole genus yet."), class_="title"
    )
    body = cat(head, _tree(sheet, kept) if kept else "", by_name(sheet, genus))
    return Page(sheet.here, title, body, "plants/", f"Plants of {title}.", (("Plants", "plants/", ""),))


def groups(atlas: Atlas) -> Page:
    """Horticultural groups, by genus."""
    sheet = Sheet(atlas, "groups/")
    rows: list[tuple[Text, ...]] = []
    for group in atlas.base.groups():
        kept = [taxon for taxon in atlas.base.members(group.id) if taxon.form is None]
        genus = sheet.link(scientific(atlas.genus_name(group.genus)), f"plants/{group.genus}/")
        names = joined(map(sheet.entry_link, kept))
        flowering = flowers(atlas.base.profile(group.id)) or "not known"
        rows.append((sheet.entry_link(group), genus, flowering, names))
    told = "Plants of a group are kept alike. A plant takes from its group what it does not state itself."
    table = grid(("group", "genus", "flowers", "plants"), rows, "Horticultural groups")
    body = cat(el("header", el("h1", "Groups"), el("p", told), class_="title"), table)
    return Page(sheet.here, "Groups", body, "groups/", "Horticultural groups and their plants.")


def names(atlas: Atlas) -> Page:
    """Every accepted name, synonym and common name, in one alphabet."""
    sheet = Sheet(atlas, "names/")
    listed: dict[tuple[str, str], _Named] = {}
    for entry in atlas.base.entries.values():
        link = sheet.entry_link(entry)
        for name in entry.names:
            own = name.shown == entry.name
            shown = link if own else cat(scientific(name.shown) if name.kind == "synonym" else name.shown, " → ", link)
            listed.setdefault((name.shown.casefold(), entry.id), _Named(_plain(name.shown), shown, link))
    by_letter: dict[str, list[_Named]] = {}
    for one in sorted(listed.values(), key=lambda one: (one.key, str(one.shown))):
        by_letter.setdefault(one.key[:1].upper() if one.key[:1].isalpha() else "#", []).append(one)
    jumps = (el("a", letter, href=f"#letter-{letter}") for letter in by_letter if letter != "#")
    letters = el("p", joined(jumps, " "), class_="letters")
    sections = [
        el("section", el("h2", letter), bullets((one.shown for one in kept), class_="columns"), id=f"letter-{letter}")
        for letter, kept in by_letter.items()
    ]
    told = f"{counted(len(listed), 'name')}: accepted, synonyms and common."
    head = el("header", el("h1", "All names"), el("p", told), class_="title")
    about = "Accepted names, synonyms and common names, A to Z."
    return Page(sheet.here, "All names", cat(head, letters, *sections), "names/", about)


def _plain(text: str) -> str:
    bare = unicodedata.normalize("NFKD", text.casefold())
    return "".join(char for char in bare if not unicodedata.combining(char)).lstrip("'‘’“\"(× ")


def rules(atlas: Atlas) -> Page:
    """Rules by stage and topic."""
    sheet = Sheet(atlas, "rules/")
    topics: dict[tuple[str, str], list[Markup]] = {}
    for rule, record in atlas.rules.values():
        line = cat(sheet.link(rule.title, f"rules/{rule.id}/"), " ", grave(rule))
        topics.setdefault(place_of(record), []).append(line)
    sections: list[Text] = []
    for stage in dict.fromkeys(stage for stage, _ in topics):
        here = {topic: lines for (at, topic), lines in topics.items() if at == stage}
        inner = [el("div", el("h3", topic.capitalize()), bullets(lines)) for topic, lines in here.items()]
        sections.append(sheet.section(stage.capitalize(), stage_anchor(stage), *inner))
    if not topics:
        sections.append(el("p", "No rule has been written yet.", class_="dim"))
    told = (
        f"{counted(len(atlas.rules), 'rule')} to read, question and correct: a test, what it says, why, and examples."
    )
    body = cat(
        el("header", el("h1", "Rules"), el("p", told), class_="title"), legend(SEVERITIES, "severity"), *sections
    )
    return Page(sheet.here, "Rules", body, "rules/", "The rules of judgement, by topic.", (), tuple(sheet.toc))


def legend(table: dict[str, tuple[str, str, str]], group: str) -> Markup:
    """What each sign of a table means."""
    rows = (el("div", el("dt", mark(table, key, group)), el("dd", told)) for key, (_, _, told) in table.items())
    return el("dl", *rows, class_="facts")


def sources(atlas: Atlas) -> Page:
    """The bibliography, by standing."""
    sheet = Sheet(atlas, "sources/")
    known = sorted(atlas.base.sources().values(), key=lambda one: _plain(bibliography(one, short=True).striptags()))
    sections = []
    for key, meaning in STANDINGS.items():
        kept = [source for source in known if source["custom"]["standing"] == key]
        if kept:
            word, _, told = meaning.partition(": ")
            lead = el("p", f"{capital(told)}. {counted(len(kept), 'source')}.", class_="dim")
            sections.append(sheet.section(word.capitalize(), word, lead, *_by_letter(sheet, kept)))
    told = f"{counted(len(known), 'source')}, each with how far it was read and when, and every claim that cites it."
    body = cat(el("header", el("h1", "Sources"), el("p", told), class_="title"), *sections)
    return Page(sheet.here, "Sources", body, "sources/", "The bibliography, by standing.", (), tuple(sheet.toc))


def _by_letter(sheet: Sheet, sources: Sequence[dict[str, Any]]) -> Iterator[Markup]:
    """Sources folded away by the letter they begin with; a short list stands open."""
    by_letter: dict[str, list[Markup]] = {}
    for source in sources:
        first = _plain(bibliography(source, short=True).striptags())[:1].upper()
        by_letter.setdefault(first if first.isalpha() else "#", []).append(_source(sheet, source))
    if len(sources) <= _MOST_OPEN:
        yield bullets((item for items in by_letter.values() for item in items), class_="bibliography")
        return
    for letter, items in by_letter.items():
        summary = el("summary", el("b", letter), f" {counted(len(items), 'source')}")
        yield el("details", summary, bullets(items, class_="bibliography"), class_="fold")


def _source(sheet: Sheet, source: dict[str, Any]) -> Markup:
    number = len(sheet.atlas.citations.get(source["id"], ()))
    cited = el("span", f" cited {number}×" if number else " not cited", class_="dim")
    return cat(sheet.link(bibliography(source, short=True), f"sources/{source['id']}/"), cited)


def figures(atlas: Atlas) -> Markup:
    """What the home page counts."""
    taxa = atlas.base.taxa()
    counts = atlas.counts
    care = sum(counts.care.values())
    share = f"{100 * counts.care['published'] / care:.0f} %" if care else "none"
    shown = (
        (thousands(sum(taxon.form is None for taxon in taxa)), "plants"),
        (thousands(sum(taxon.form is not None for taxon in taxa)), "forms kept apart"),
        (thousands(len(atlas.genera)), "genera"),
        (thousands(counts.claims), "claims, each with its standing"),
        (share, f"of {thousands(care)} care bands published"),
        (thousands(len(atlas.rules)), "rules"),
        (thousands(len(atlas.base.sources())), "sources read"),
    )
    boxes = (el("div", el("dt", told), el("dd", number)) for number, told in shown)
    return el("dl", *boxes, class_="counts")
