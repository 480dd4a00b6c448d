"""The page of downloads: what each file is, how large, under which licence, and what stands in it."""

from __future__ import annotations

from collections.abc import Sequence

from markupsafe import Markup

from bogwright.knowledge.edition import Edition
from bogwright.report.downloads.files import Download
from bogwright.report.site.atlas import Atlas, Page
from bogwright.report.site.markup import Text, cat, el, grid
from bogwright.report.site.sheet import Sheet
from bogwright.report.site.source_pages import out_link

FOLDER = "data/"
LICENCE = "https://creativecommons.org/licenses/by/4.0/"


def page(atlas: Atlas, files: Sequence[Download], edition: Edition) -> Page:
    """All downloads; they lie beside the page."""
    sheet = Sheet(atlas, FOLDER)
    state: list[Text] = ["Knowledge ", el("code", edition.hash)]
    state += [f", last changed on {edition.date}"] if edition.date else []
    told = cat(
        "The whole knowledge base as files for other programs, made together with this site. ",
        *state,
        ". The same files give the same hash; the tables and ",
        el("code", "bogwright.json"),
        " bear it too.",
    )
    licence = el(
        "p",
        "All but the schema, which is part of the program (Apache 2.0): ",
        out_link(LICENCE, "Creative Commons Attribution 4.0"),
        " (CC BY 4.0). Name Bogwright and the hash, and keep the standing of each figure with it: many are common "
        "practice or remembered, and no source was read for them.",
    )
    parts: list[Text] = [
        el("header", el("h1", "Data"), el("p", told), class_="title"),
        sheet.section("Files", "files", licence, _listed(files)),
    ]
    for file in files:
        if file.shape:
            rows = (el("div", el("dt", el("code", name)), el("dd", _told(what))) for name, what in file.shape)
            anchor = file.name.replace(".", "-")
            parts.append(sheet.section(f"In {file.name}", anchor, el("dl", *rows, class_="facts")))
    about = "The knowledge base as JSON, Darwin Core and CSL-JSON files."
    return Page(FOLDER, "Data", Markup("").join(parts), FOLDER, about, (), tuple(sheet.toc))


def _told(what: str) -> Text:
    """Words, or the term a column stands for."""
    return out_link(what) if what.startswith("http") else what


def _listed(files: Sequence[Download]) -> Markup:
    rows = [
        (el("a", file.name, href=file.name, download=file.name), file.about, size(len(file.content))) for file in files
    ]
    return grid(("file", "what it is", "size"), rows)


def size(count: int) -> str:
    """Bytes in the unit that reads best: 950 bytes, 12 kB, 3.4 MB."""
    if count < 1000:
        return f"{count}\u00a0bytes"
    return f"{count / 1000:.0f}\u00a0kB" if count < 999_500 else f"{count / 1e6:.1f}\u00a0MB"
