"""Links of a built site: every target inside it, and every anchor, must be there."""

from __future__ import annotations

import posixpath
import re
from collections.abc import Iterator, Mapping
from pathlib import Path
from urllib.parse import unquote, urlsplit

from markupsafe import Markup

NOT_FOUND = "404.html"
_ATTRIBUTE = re.compile(r'<(?!q\b)[a-z0-9]+\b[^<>]*?\s(?:href|src)="([^"]*)"')
_ANCHOR = re.compile(r'\s(?:id|name)="([^"]*)"')
_LOADS = r'<(?:link(?! rel="canonical")|script|img|iframe|source|object)\b'
_REMOTE = re.compile(_LOADS + r'[^<>]*\s(?:href|src|data)="(?:[a-z]+:)?//', re.IGNORECASE)


def read_site(folder: Path) -> dict[str, str]:
    """Pages of a built site by their path inside it."""
    return {
        file.relative_to(folder).as_posix(): file.read_text(encoding="utf-8") for file in sorted(folder.rglob("*.html"))
    }


def faults(pages: Mapping[str, str], files: frozenset[str], root: str = "") -> Iterator[str]:
    """What is wrong with the links of a site: dead ones, missing anchors, absolute paths, remote resources.

    pages : their text by path. files : every file of the site by path. root : path of the site's address, with which
    the links of NOT_FOUND start, since a server shows it at any depth.
    """
    anchors = {page: frozenset(map(_text, _ANCHOR.findall(text))) for page, text in pages.items()}
    for page, text in pages.items():
        if _REMOTE.search(text):
            yield f"{page}: loads something from another site"
        for written in sorted(set(map(_text, _ATTRIBUTE.findall(text)))):
            inside = page == NOT_FOUND and root and written.startswith(root)
            wrong = _fault(page, f"./{written.removeprefix(root)}" if inside else written, anchors, files)
            if wrong:
                yield f"{page}: {wrong}: {written}"


def _fault(page: str, written: str, anchors: Mapping[str, frozenset[str]], files: frozenset[str]) -> str:
    parts = urlsplit(written)
    if parts.scheme or parts.netloc:
        return ""
    if parts.path.startswith("/"):
        return "the link only works at the root of a server"
    target = page
    if parts.path:
        target = posixpath.normpath(posixpath.join(posixpath.dirname(page), unquote(parts.path)))
        target = target if target in files else posixpath.normpath(f"{target}/index.html")
    if target not in files:
        return "the link leads nowhere"
    if parts.fragment and target in anchors and unquote(parts.fragment) not in anchors[target]:
        return "the page has no such anchor"
    return ""


def _text(attribute: str) -> str:
    return Markup(attribute).unescape()
