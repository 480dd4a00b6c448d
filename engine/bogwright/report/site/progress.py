"""A bar on the terminal while the site is built: pages done of all, and which part is at work."""

from __future__ import annotations

from typing import TextIO

WIDTH = 30
CLEAR = "\r\x1b[K"


class Progress:
    """Draws on a terminal; into a file or pipe it writes nothing.

    A step with no known end counts up; the line is drawn again only when its picture has changed.
    """

    def __init__(self, out: TextIO) -> None:
        self._out = out if out.isatty() else None
        self._shown = ""
        self._doing, self._all, self._done = "", 0, 0

    def begin(self, doing: str, all_pages: int = 0) -> None:
        """Start a step. all_pages : 0 where nobody knows yet."""
        self._doing, self._all, self._done = doing, all_pages, 0

    def page(self, part: str) -> None:
        """One more page of a part is done."""
        self._done += 1
        if self._out is None:
            return
        if self._all:
            full = WIDTH * self._done // self._all
            line = f"{self._doing} [{'#' * full}{'.' * (WIDTH - full)}] {_rounded(self._done, self._all)}/{self._all}"
        else:
            line = f"{self._doing} {_rounded(self._done, 0)}"
        line += f" {part}"
        if line != self._shown:
            self._shown = line
            self._out.write(CLEAR + line)
            self._out.flush()

    def end(self) -> None:
        """Wipe the line."""
        if self._out and self._shown:
            self._out.write(CLEAR)
            self._out.flush()
            self._shown = ""


def _rounded(done: int, last: int) -> int:
    """Counted in tens, so that drawing costs nothing beside building; the last page is exact."""
    return done if done == last else done - done % 10
