"""One page while it is written: links from where it stands, and the numbered notes that say where figures come from."""

from __future__ import annotations

import re
from collections.abc import Sequence
from typing import Any, NamedTuple
from urllib.parse import quote

from markupsafe import Markup

from bogwright.knowledge import Entry, Origin, SourceRef
from bogwright.report.site.atlas import Atlas
from bogwright.report.site.markup import Text, cat, el, joined, scientific
from bogwright.report.site.wording import counted, standing

_SOURCE_ID = re.compile(r"\b[a-z0-9]+(?:-[a-z0-9]+)+\b")


class _Note(NamedTuple):
    number: int
    body: Markup


class Sheet:
    """A page at `here`. Notes are numbered through the page; `evidence` lists those taken since it was last called."""

    def __init__(self, atlas: Atlas, here: str, owner: Entry | None = None) -> None:
        self.atlas = atlas
        self.here = here
        self.owner = owner
        self.toc: list[tuple[str, str]] = []
        self._root = "../" * here.count("/")
        self._notes: dict[Any, int] = {}
        self._waiting: list[_Note] = []

    def link(self, text: Text, url: str, anchor: str = "", **attributes: str | None) -> Markup:
        """A link to a page of the site, relative to this one."""
        return el("a", text, href=self.target(url) + (f"#{anchor}" if anchor else ""), **attributes)

    def target(self, url: str) -> str:
        """Where a page of the site is, seen from this one."""
        return f"{self._root}{url}" or "./"

    def entry_link(self, entry: Entry, anchor: str = "") -> Markup:
        """A link to the page of a taxon, group or genus, its Latin in italics; a mere name stands on its genus's."""
        return self.link(shown_name(entry), self.atlas.url(entry), row_anchor(entry) if entry.listed else anchor)

    def section(self, title: str, anchor: str, *parts: Text) -> Markup:
        """A part of the page that its list of contents names."""
        self.toc.append((title, anchor))
        return el("section", el("h2", title), *parts, id=anchor)

    def prose(self, text: str) -> Markup:
        """Text in which ids of sources have become links."""
        out: list[Text] = []
        last = 0
        for found in _SOURCE_ID.finditer(text):
            if found[0] in self.atlas.base.sources():
                out += [text[last : found.start()], self.source_link(found[0])]
                last = found.end()
        return cat(*out, text[last:])

    def source_link(self, source: str) -> Markup:
        """A link to a source, by author and year. An id nobody knows is shown as it stands."""
        known = self.atlas.base.sources().get(source)
        return self.link(short_citation(known), f"sources/{source}/") if known else el("code", source)

    def ref(self, basis: str | None, sources: Sequence[SourceRef], note: str | None, origin: Origin | None) -> Markup:
        """The number of a note that says where a figure comes from; the same evidence has the same number."""
        key = (basis, tuple(sources), note, origin and (origin.record.name, origin.path))
        number = self._notes.get(key)
        if number is None:
            number = self._notes[key] = len(self._notes) + 1
            self._waiting.append(_Note(number, self._body(basis, sources, note, origin)))
        return el("sup", el("a", str(number), href=f"#n{number}", aria_label=f"note {number}"), class_="ref")

    def _body(self, basis: str | None, sources: Sequence[SourceRef], note: str | None, origin: Origin | None) -> Markup:
        parts: list[Text] = [standing(basis)] if basis else []
        cited = [self.cited(ref.id, ref.locator, ref.as_stated) for ref in sources]
        if cited:
            parts.append(joined(cited, "; "))
        if note:
            parts.append(self.prose(note))
        if origin:
            parts.append(el("span", self.place(origin), class_="place"))
        return joined(parts, " · ")

    def cited(self, source: str, locator: str, as_stated: str) -> Markup:
        """A source with the passage and the figure as it stands there."""
        known = self.atlas.base.sources().get(source, {})
        return cat(self.source_link(source), f", {locator}: ", el("q", as_stated, lang=known.get("language")))

    def place(self, origin: Origin) -> Markup:
        """Where a claim is stated: here or further up, with file and line."""
        file = self.file(origin.record.name, origin.line)
        stated = self.atlas.base.entries.get(origin.profile)
        if stated is None or (self.owner is not None and stated.id == self.owner.id):
            return cat("stated for this ", kind_word(self.owner), ", ", file)
        return cat("inherited from ", self.entry_link(stated), ", ", file)

    def file(self, name: str, line: int | None = None) -> Markup:
        """A file of kb/ with a line, linked to where the repository shows it if its address is configured."""
        told = el("code", f"kb/{name}" + (f":{line}" if line else ""))
        if not self.atlas.repository:
            return told
        address = f"{self.atlas.repository}/kb/{quote(name)}" + (f"#L{line}" if line else "")
        return el("a", told, href=address, rel="noopener noreferrer external", class_="file")

    def evidence(self) -> Markup:
        """The notes taken since the last call, as a list that can be folded away."""
        notes, self._waiting = self._waiting, []
        if not notes:
            return Markup("")
        items = [el("li", note.body, id=f"n{note.number}", value=note.number) for note in notes]
        summary = el("summary", f"Where these figures come from ({counted(len(notes), 'note')})")
        return Markup('<details class="evidence" open>{}{}</details>').format(summary, el("ol", *items))


def row_anchor(entry: Entry) -> str:
    """Where a plant known by name only stands on the page of its genus."""
    return f"name-{entry.id.partition('/')[2]}"


def shown_name(entry: Entry) -> Markup:
    """A name for readers: Latin in italics; horticultural groups are plain English but for genus names."""
    if entry.kind != "group":
        return scientific(entry.name)
    genus = entry.genus.capitalize()
    return joined([el("i", genus) if part == genus else part for part in re.split(rf"\b({genus})\b", entry.name)], "")


def kind_word(entry: Entry | None) -> str:
    if entry is None:
        return "page"
    return entry.kind if entry.kind != "taxon" else "form" if entry.form else "species"


def short_citation(source: dict[str, Any]) -> str:
    """Author and year; where one of them is missing, the title and where it appeared as well."""
    names = [author.get("family") or author["literal"] for author in source.get("author", ())]
    who = f"{names[0]} and others" if len(names) > 2 else " & ".join(names)
    year = str(source["issued"]["date-parts"][0][0]) if "issued" in source else ""
    if who and year:
        return f"{who} {year}"
    held = "" if who else _cut(source.get("container-title", ""), 40)
    return ", ".join(part for part in (who, f"“{_cut(source['title'], 60)}”", held, year) if part)


def _cut(text: str, most: int) -> str:
    return text if len(text) <= most else text[: most - 2].rsplit(" ", 1)[0] + " …"
