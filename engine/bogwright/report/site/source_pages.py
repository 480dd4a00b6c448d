"""The page of a source: what it is, how much of it was read, and everything that was taken from it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from markupsafe import Markup

from bogwright.report.site.atlas import TABLE_PAGES, Atlas, Citation, Page
from bogwright.report.site.markup import Text, bullets, cat, el, joined
from bogwright.report.site.rule_pages import rule_link
from bogwright.report.site.sheet import Sheet, kind_word
from bogwright.report.site.wording import counted

KINDS = {
    "webpage": "web page",
    "article-journal": "journal article",
    "article-magazine": "magazine article",
    "article-newspaper": "newspaper article",
    "article": "article",
    "book": "book",
    "chapter": "chapter of a book",
    "report": "report",
    "post": "forum or list post",
    "post-weblog": "blog post",
    "dataset": "data set",
    "legislation": "law",
    "standard": "standard",
    "thesis": "thesis",
    "document": "document",
    "paper-conference": "conference paper",
    "entry-encyclopedia": "entry in a flora or encyclopaedia",
}
STANDINGS = {
    "reviewed": "reviewed: a journal, flora, monograph, standard or official list",
    "society": "society: a carnivorous plant society, botanic garden or institution",
    "expert": "expert: a named specialist grower or botanist, writing from own work",
    "trade": "trade: the page of a nursery",
    "casual": "casual: a forum, blog or list post by someone not known for the subject",
}
EXTENTS = {"whole": "the whole of it", "opening": "its opening", "excerpt": "an excerpt"}
LANGUAGES = {
    "de": "German",
    "fr": "French",
    "it": "Italian",
    "es": "Spanish",
    "pt": "Portuguese",
    "nl": "Dutch",
    "cs": "Czech",
    "pl": "Polish",
    "ja": "Japanese",
    "ru": "Russian",
    "en": "English",
}


def page(atlas: Atlas, source: Mapping[str, Any]) -> Page:
    """The page of one source."""
    sheet = Sheet(atlas, f"sources/{source['id']}/")
    cited = atlas.citations.get(source["id"], [])
    title = el("h1", source["title"], lang=source.get("language"))
    parts: list[Text] = [el("header", title, el("p", bibliography(source)), class_="title"), _facts(source)]
    taken = (
        el("p", "No claim, rule or formula cites it yet.", class_="dim") if not cited else cat(*_taken(sheet, cited))
    )
    parts.append(sheet.section(f"What is taken from it ({counted(len(cited), 'citation')})", "taken", taken))
    file = el("code", source["id"])
    mend = sheet.link("How to correct it", "correcting/")
    parts.append(el("p", "Cited in the files as ", file, ". ", mend, ".", class_="mend"))
    about = f"{source['title']}: how far it was read and what was taken from it."
    return Page(sheet.here, source["title"], cat(*parts), "sources/", about, (("Sources", "sources/", ""),))


def authors(source: Mapping[str, Any]) -> str:
    """Authors as a bibliography writes them."""
    names = []
    for author in source.get("author", ()):
        family = author.get("family")
        names.append(", ".join(part for part in (family, author.get("given")) if part) if family else author["literal"])
    return "; ".join(names)


def bibliography(source: Mapping[str, Any], *, short: bool = False) -> Markup:
    """The bibliographic line; the short one ends with the title and where it appeared."""
    parts: list[Text] = []
    who = authors(source)
    year = "-".join(f"{part:02d}" for part in source["issued"]["date-parts"][0]) if "issued" in source else ""
    if who:
        parts.append(f"{who} ({year})" if year else who)
    held = source.get("container-title")
    title = f"“{source['title']}”" if held else el("cite", source["title"])
    parts.append(title if who or not year else cat(title, f" ({year})"))
    number = str(source.get("volume", ""))
    number += f"({source['issue']})" if "issue" in source else ""
    number += f": {source['page']}" if "page" in source else ""
    if held:
        parts.append(joined([part for part in (el("cite", held), number) if part], " "))
    if not short:
        parts += [
            part for part in (source.get("publisher"), f"ISBN {source['ISBN']}" if "ISBN" in source else "") if part
        ]
    return cat(joined(parts, ". "), ".")


def _facts(source: Mapping[str, Any]) -> Markup:
    custom = source["custom"]
    rows: list[tuple[str, Text]] = [("Kind", KINDS.get(source["type"], source["type"]))]
    if "language" in source:
        rows.append(("Language", LANGUAGES.get(source["language"], source["language"])))
    rows.append(("Standing", STANDINGS[custom["standing"]]))
    seen = f"{EXTENTS[custom['extent']]}, on {custom['read']}"
    rows.append(("Read", seen + ("; what was not seen is not cited" if custom["extent"] != "whole" else "")))
    if "URL" in source:
        rows.append(("Address", out_link(source["URL"])))
    if "DOI" in source:
        rows.append(("DOI", out_link(f"https://doi.org/{source['DOI']}", source["DOI"])))
    if "copy" in custom:
        copy = custom["copy"]
        rows.append(("Copy that was read", out_link(copy) if copy.startswith("http") else copy))
    return el("dl", *(el("div", el("dt", title), el("dd", told)) for title, told in rows), class_="facts")


def out_link(url: str, text: str = "") -> Markup:
    """A link that leaves the site."""
    return el("a", text or url, href=url, rel="noopener noreferrer external", class_="out")


def _taken(sheet: Sheet, cited: Iterable[Citation]) -> Iterable[Markup]:
    """Citations by the page they stand on."""
    by_page: dict[tuple[str, str], list[Citation]] = {}
    for one in cited:
        place = ("entry", one.entry) if one.entry else ("rule", one.rule) if one.rule else ("file", one.file)
        by_page.setdefault((place[0], place[1] or ""), []).append(one)
    for (kind, key), citations in sorted(by_page.items()):
        if kind == "entry":
            entry = sheet.atlas.base.entries[key]
            head: Text = sheet.entry_link(entry)
            if entry.kind != "taxon":
                head = cat(head, f" ({kind_word(entry)})")
            items = [cat(sheet.link(one.what, sheet.atlas.url(entry), one.anchor), _passage(one)) for one in citations]
        elif kind == "rule":
            head = cat("Rule: ", rule_link(sheet, key))
            items = [cat("basis of the rule", _passage(one)) for one in citations]
        else:
            head = sheet.file(key.removeprefix("kb/"))
            url = TABLE_PAGES.get(key.removeprefix("kb/"), "")
            items = [
                cat(sheet.link(one.what, url, one.anchor) if url else one.what, _passage(one)) for one in citations
            ]
        yield cat(el("h3", head), bullets(items))


def _passage(one: Citation) -> Markup:
    return cat(f" — {one.locator}", cat(": ", el("q", one.as_stated)) if one.as_stated else "")
