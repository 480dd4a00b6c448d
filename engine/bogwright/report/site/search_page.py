"""The search page, and the list of everything it finds, which scripts of the theme read (js/search)."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from typing import Any

from markupsafe import Markup

from bogwright.knowledge import Entry
from bogwright.knowledge.names import normal
from bogwright.report.site.atlas import Atlas, Page
from bogwright.report.site.markup import cat, el, joined, scientific
from bogwright.report.site.rule_pages import place_of
from bogwright.report.site.sheet import Sheet, row_anchor, shown_name

INDEX_FILE = "data/search.json"
# kinds of pages in the order of ties, with their shelf: what stands on an earlier shelf goes first
KINDS = {
    "genus": 0,
    "plant": 0,
    "form": 0,
    "cultivar": 0,
    "plant known by name": 0,
    "group": 1,
    "rule": 2,
    "source": 3,
}
RELATIONS = ("title", "alias", "synonym", "common name")
_INDEXES = (
    ("all names", "names/"),
    ("plants by genus", "plants/"),
    ("groups", "groups/"),
    ("rules", "rules/"),
    ("sources", "sources/"),
)


def page(atlas: Atlas) -> Page:
    """The search page: a form that works on the address, and where to look without it."""
    sheet = Sheet(atlas, "search/")
    indexes = joined(sheet.link(text, url) for text, url in _INDEXES)
    told = (
        "Plants by accepted, old and common names; genera, groups, rules and sources. Slips of spelling are forgiven."
    )
    field = el("input", type="search", id="query", name="q", autocomplete="off", spellcheck="false")
    form = el(
        "form",
        el("label", "A name, or words of a title", for_="query"),
        el("span", Markup(str(field).removesuffix("</input>")), el("button", "Search"), class_="entry"),
        role="search",
        aria_label="Search page",
        class_="search",
    )
    off = el("noscript", el("p", "Searching needs JavaScript, which is off here. The indexes below list everything."))
    body = cat(
        el("header", el("h1", "Search"), el("p", told), class_="title"),
        form,
        off,
        el("p", role="status", class_="count"),
        el("ol", class_="results"),
        el("p", "Indexes: ", indexes, ".", class_="dim"),
        el("script", type="module", src=sheet.target("js/search/page.js")),
    )
    return Page(sheet.here, "Search", body, "search/", "Find a plant, group, rule or source by name.")


def index(atlas: Atlas) -> str:
    """What can be found, as JSON.

    ``{kinds: [[word, shelf]], relations: [word], pages: [[kind, url, title, told, names]]}``. kind : place in `kinds`.
    told : genus, topic or author and year, may be empty. names : ``[relation, name]`` besides the title, relation a
    place in `relations`. Latin stands between low lines: ``_Drosera binata_ var. _dichotoma_``.
    """
    kinds = {kind: place for place, kind in enumerate(KINDS)}
    pages = [[kinds[kind], *rest] for kind, *rest in _pages(atlas)]
    made = {"kinds": list(KINDS.items()), "relations": RELATIONS, "pages": pages}
    return json.dumps(made, ensure_ascii=False, separators=(",", ":"))


def _pages(atlas: Atlas) -> Iterator[tuple[str, str, str, str, list[tuple[int, str]]]]:
    for genus in atlas.genera:
        if atlas.genus(genus) is None:
            yield "genus", f"plants/{genus}/", _marked(scientific(atlas.genus_name(genus))), "", []
    for entry in atlas.base.entries.values():
        url = atlas.url(entry) + (f"#{row_anchor(entry)}" if entry.listed else "")
        told = f"_{atlas.genus_name(entry.genus)}_" if entry.kind == "group" else ""
        yield _kind(entry), url, _marked(shown_name(entry)), told, [*_names(entry), *_of_genus(atlas, entry)]
    for rule, record in atlas.rules.values():
        yield "rule", f"rules/{rule.id}/", rule.title, ", ".join(place_of(record)), []
    for source in atlas.base.sources().values():
        yield "source", f"sources/{source['id']}/", source["title"], _origin(source), []


def _kind(entry: Entry) -> str:
    if entry.kind != "taxon":
        return entry.kind
    if entry.listed:
        return "plant known by name"
    return "cultivar" if entry.rank == "cultivar" else "form" if entry.form else "plant"


def _names(entry: Entry) -> Iterator[tuple[int, str]]:
    """Names besides the title, each once; those that only shorten or rewrite the title are aliases."""
    seen = {normal(entry.name)}
    if entry.kind == "group":
        short = normal(entry.id.rpartition("/_")[2])
        seen.add(short)
        yield RELATIONS.index("alias"), short
    for name in entry.names:
        if name.key in seen:
            continue
        seen.add(name.key)
        if name.kind == "accepted" or normal(name.shown) != name.key or name.shown in entry.name:
            yield RELATIONS.index("alias"), name.key
        elif name.kind == "synonym":
            yield RELATIONS.index("synonym"), _marked(scientific(name.shown))
        else:
            yield RELATIONS.index("common name"), name.shown


def _of_genus(atlas: Atlas, entry: Entry) -> Iterator[tuple[int, str]]:
    """The common names of a genus, for its only species: whoever asks for them mostly wants the plant."""
    genus = atlas.genus(entry.genus)
    species = [one for one in (*atlas.base.taxa(), *atlas.base.listed()) if one.genus == entry.genus and not one.form]
    if genus is None or species != [entry]:
        return
    own = {name.key for name in entry.names}
    for name in genus.names:
        if name.kind == "common" and name.key not in own:
            yield RELATIONS.index("common name"), name.shown


def _marked(shown: Markup) -> str:
    """Text with its italics between low lines."""
    return Markup(shown.replace("<i>", "_").replace("</i>", "_")).unescape()


def _origin(source: Mapping[str, Any]) -> str:
    """Authors, without first names, and year."""
    who = ", ".join(author.get("family") or author["literal"] for author in source.get("author", ()))
    year = str(source["issued"]["date-parts"][0][0]) if "issued" in source else ""
    return " ".join(part for part in (who, year) if part)
