"""The site as MkDocs builds it: its hook file (site/hooks/knowledge.py) calls these functions."""

from __future__ import annotations

import json
import logging
import re
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bogwright import data
from bogwright.report.site import indexes, links, share_page
from bogwright.report.site.atlas import Atlas, Page
from bogwright.report.site.pages import generate
from bogwright.report.site.sheet import Sheet
from bogwright.report.site.wording import SEVERITIES, STANDINGS

if TYPE_CHECKING:
    from mkdocs.structure.files import Files

log = logging.getLogger("mkdocs.bogwright")

MARKER = ".bogwright-site"
MARKER_TEXT = "This folder is written by `bogwright site build`, which empties it first.\n"
MOST_FAULTS = 20
_SLOT = re.compile(r"<!-- (counts|standings|severities) -->")


class Site:
    """The pages of one build, kept between the events of MkDocs."""

    def __init__(self) -> None:
        self.atlas = Atlas.open()
        self.pages: dict[str, Page] = {page.file: page for page in generate(self.atlas)}
        for fault in self.atlas.faults:
            log.warning("%s", fault)

    def add_files(self, files: Files, config: Any) -> Files:
        """Put every generated page among the files of the site; their bodies follow in `content`."""
        from mkdocs.structure.files import File, InclusionLevel

        for page in self.pages.values():
            told = json.dumps({"title": page.title, "description": page.description}, ensure_ascii=False)
            files.append(
                File.generated(config, page.file, content=f"---\n{told}\n---\n", inclusion=InclusionLevel.NOT_IN_NAV)
            )
        for name, text in share_page.data(self.atlas):
            files.append(File.generated(config, name, content=text))
        return files

    def content(self, html: str, file: str) -> str:
        """The body of a page: generated, or written by hand with its figures filled in."""
        page = self.pages.get(file)
        return page.body if page else _SLOT.sub(lambda slot: self._fill(slot[1]), html)

    def _fill(self, slot: str) -> str:
        if slot == "counts":
            return indexes.figures(self.atlas)
        table, group = (STANDINGS, "standing") if slot == "standings" else (SEVERITIES, "severity")
        return indexes.legend(table, group)

    def context(self, context: dict[str, Any], file: str) -> dict[str, Any]:
        """What the theme shows around a page."""
        page = self.pages.get(file)
        context["built"] = page
        sheet = Sheet(self.atlas, page.url if page else "")
        context["crumbs"] = [sheet.link(text, url, anchor) for text, url, anchor in page.crumbs] if page else []
        return context


def mark_folder(folder: Path) -> None:
    """Leave a hidden file that tells `bogwright site build` it may empty this folder."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / MARKER).write_text(MARKER_TEXT, encoding="utf-8")


def check_links(folder: Path) -> None:
    """Warn of every fault of a built site's links; strict builds fail then."""
    files = frozenset(file.relative_to(folder).as_posix() for file in folder.rglob("*") if file.is_file())
    found = list(links.faults(links.read_site(folder), files))
    for fault in found[:MOST_FAULTS]:
        log.warning("%s", fault)
    if len(found) > MOST_FAULTS:
        log.warning("and %d more faults of links", len(found) - MOST_FAULTS)


def watched() -> list[str]:
    """Folders whose changes rebuild a served site."""
    return [str(data.kb_folder()), str(data.schemas_folder())]
