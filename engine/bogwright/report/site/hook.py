"""The site as MkDocs builds it: its hook file (site/hooks/knowledge.py) calls these functions."""

from __future__ import annotations

import json
import logging
import re
import sys
from pathlib import Path
from typing import TYPE_CHECKING, Any
from urllib.parse import quote, urlsplit
from xml.sax.saxutils import escape

from bogwright import data
from bogwright.knowledge.edition import Edition
from bogwright.report.downloads.files import downloads
from bogwright.report.site import compare_page, data_page, indexes, links, search_page, share_page, verdict_slots
from bogwright.report.site.address import checked
from bogwright.report.site.atlas import Atlas, Page
from bogwright.report.site.pages import generate
from bogwright.report.site.progress import Progress
from bogwright.report.site.sheet import Sheet
from bogwright.report.site.wording import SEVERITIES, STANDINGS

if TYPE_CHECKING:
    from mkdocs.structure.files import Files

log = logging.getLogger("mkdocs.bogwright")

MARKER = ".bogwright-site"
MARKER_TEXT = "This folder is written by `bogwright site build`, which empties it first.\n"
MOST_FAULTS = 20
_SLOT = re.compile(rf"<!-- (counts|standings|severities|{'|'.join(verdict_slots.SLOTS)}) -->")


class Site:
    """The pages of one build, kept between the events of MkDocs.

    repository : see `Atlas`. Raises mkdocs.exceptions.ConfigurationError where it is no address.
    """

    def __init__(self, repository: str = "") -> None:
        self.atlas = Atlas.open(checked_address(repository))
        self.edition = Edition.read()
        self.progress = Progress(sys.stderr)
        self.pages: dict[str, Page] = {}
        self.progress.begin("making pages")
        for page in generate(self.atlas):
            self._add(page)
        self.downloads = downloads(self.atlas.bench, self.edition)
        self._add(data_page.page(self.atlas, self.downloads, self.edition))
        self.progress.end()
        for fault in self.atlas.faults:
            log.warning("%s", fault)

    def _add(self, page: Page) -> None:
        self.pages[page.file] = page
        self.progress.page(part_of(page.file))

    def add_files(self, files: Files, config: Any) -> Files:
        """Put every generated page among the files of the site; their bodies follow in `content`."""
        from mkdocs.structure.files import File, InclusionLevel

        for page in self.pages.values():
            told = json.dumps({"title": page.title, "description": page.description}, ensure_ascii=False)
            files.append(
                File.generated(config, page.file, content=f"---\n{told}\n---\n", inclusion=InclusionLevel.NOT_IN_NAV)
            )
        files.append(File.generated(config, search_page.INDEX_FILE, content=search_page.index(self.atlas)))
        for made in self.downloads:
            files.append(File.generated(config, data_page.FOLDER + made.name, content=made.content))
        for name, text in (*share_page.data(self.atlas), *compare_page.data(self.atlas)):
            files.append(File.generated(config, name, content=text))
        self.progress.begin("writing pages", len(files.documentation_pages()))
        return files

    def content(self, html: str, file: str) -> str:
        """The body of a page: generated, or written by hand with its figures filled in."""
        page = self.pages.get(file)
        return page.body if page else _SLOT.sub(lambda slot: self._fill(slot[1], file), html)

    def _fill(self, slot: str, file: str) -> str:
        if slot in verdict_slots.SLOTS:
            return verdict_slots.SLOTS[slot](Sheet(self.atlas, f"{file.removesuffix('.md')}/"))
        if slot == "counts":
            return indexes.figures(self.atlas)
        table, group = (STANDINGS, "standing") if slot == "standings" else (SEVERITIES, "severity")
        return indexes.legend(table, group)

    def context(self, context: dict[str, Any], file: str) -> dict[str, Any]:
        """What the theme shows around a page."""
        self.progress.page(part_of(file))
        page = self.pages.get(file)
        context["edition"] = self.edition
        context["built"] = page
        sheet = Sheet(self.atlas, page.url if page else "")
        context["crumbs"] = [sheet.link(text, url, anchor) for text, url, anchor in page.crumbs] if page else []
        return context


def part_of(file: str) -> str:
    """The part of the site a page belongs to, as the bar of progress names it."""
    return file.partition("/")[0] if "/" in file else "texts"


def checked_address(repository: str) -> str:
    """The configured address of the sources on the web, without a slash at its end."""
    from mkdocs.exceptions import ConfigurationError

    try:
        return checked(repository, "BOGWRIGHT_REPOSITORY").rstrip("/")
    except ValueError as error:
        raise ConfigurationError(str(error)) from None


def mark_folder(folder: Path) -> None:
    """Leave a hidden file that tells `bogwright site build` it may empty this folder."""
    folder.mkdir(parents=True, exist_ok=True)
    (folder / MARKER).write_text(MARKER_TEXT, encoding="utf-8")


def check_links(folder: Path, address: str = "") -> None:
    """Warn of every fault of a built site's links; strict builds fail then."""
    files = frozenset(file.relative_to(folder).as_posix() for file in folder.rglob("*") if file.is_file())
    found = list(links.faults(links.read_site(folder), files, urlsplit(address).path))
    for fault in found[:MOST_FAULTS]:
        log.warning("%s", fault)
    if len(found) > MOST_FAULTS:
        log.warning("and %d more faults of links", len(found) - MOST_FAULTS)


def write_sitemap(folder: Path, address: str) -> None:
    """Every page of a built site by its full address, which ends in a slash.

    Without dates: nobody knows when a page last changed.
    """
    pages = (file.relative_to(folder).as_posix().removesuffix("index.html") for file in folder.rglob("index.html"))
    urls = sorted(f"{address}{quote(page)}" for page in pages)
    lines = (f"<url><loc>{escape(url)}</loc></url>" for url in urls)
    start = '<?xml version="1.0" encoding="UTF-8"?>\n<urlset xmlns="http://www.sitemaps.org/schemas/sitemap/0.9">'
    (folder / "sitemap.xml").write_text("\n".join([start, *lines, "</urlset>", ""]), encoding="utf-8", newline="\n")


def watched() -> list[str]:
    """Folders whose changes rebuild a served site."""
    return [str(data.kb_folder()), str(data.schemas_folder())]
