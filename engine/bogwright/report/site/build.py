"""Build or serve the reference site with MkDocs."""

from __future__ import annotations

import contextlib
import logging
import os
import socket
import sys
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

from bogwright import data
from bogwright.knowledge import KnowledgeError
from bogwright.report.site.address import checked
from bogwright.report.site.hook import MARKER, mark_folder
from bogwright.report.site.progress import CLEAR

OK, INVALID = 0, 2
PORT = 8000
ADDRESS_VARIABLE = "BOGWRIGHT_ADDRESS"


def build(out: Path | None = None, strict: bool = False, address: str = "") -> int:
    """Build the site into `out`; returns an exit status: 0, 2 for wrong input or, if strict, any warning.

    out : by default build/site of the checkout, else build/site of the current folder. What stood in it is removed,
    so a folder that holds anything but an earlier site is refused. address : where the site will be read, else that of
    BOGWRIGHT_ADDRESS; without one it has no sitemap, no canonical links and no page for what is not found. Raises
    DataNotFound.
    """
    address = address or os.environ.get(ADDRESS_VARIABLE, "")
    try:
        checked(address, f"--address or {ADDRESS_VARIABLE}")
    except ValueError as error:
        print(error, file=sys.stderr)
        return INVALID
    folder = (out or default_folder()).expanduser().resolve()
    if not _may_empty(folder):
        print(f"{folder} is not empty and holds no earlier site — name another folder with --out", file=sys.stderr)
        return INVALID
    if _overlap(folder, data.site_folder()):
        print(
            f"{folder} lies inside the sources of the site, or around them — name another with --out", file=sys.stderr
        )
        return INVALID
    with _messages() as told, _quiet_mkdocs():
        from mkdocs.commands.build import build as mkdocs_build
        from mkdocs.config import load_config

        try:
            mark_folder(folder)
        except OSError as error:
            print(f"{folder} cannot be written: {error.strerror} — name another folder with --out", file=sys.stderr)
            return INVALID
        set_up: dict[str, Any] = {"site_dir": str(folder), "strict": strict, "site_url": address}
        if not _finished(lambda: mkdocs_build(load_config(str(_config_file()), **set_up))):
            return INVALID
    warned = f", {told.count} warning{'s' if told.count != 1 else ''}" if told.count else ""
    print(f"site built in {_shown(folder)}{warned}")
    if not address:
        print("no --address: no sitemap, no canonical links, no page for what is not found")
    return OK


def serve(port: int = PORT) -> int:
    """Serve the site on this computer until Ctrl-C, built again whenever its sources change; returns an exit status."""
    taken = _taken(port)
    if taken:
        print(f"port {port} cannot be used: {taken} — name another with --port", file=sys.stderr)
        return INVALID
    with _messages(), _quiet_mkdocs():
        from mkdocs.commands.serve import serve as mkdocs_serve

        print(f"serving the site on http://127.0.0.1:{port}/ — Ctrl-C ends it", flush=True)
        finished = _finished(lambda: mkdocs_serve(str(_config_file()), dev_addr=f"127.0.0.1:{port}", strict=False))
    return OK if finished else INVALID


def _finished(work: Callable[[], object]) -> bool:
    """Let MkDocs work; what is wrong with the knowledge or the site's set-up is told, not raised."""
    from mkdocs.exceptions import Abort, ConfigurationError

    try:
        work()
    except KnowledgeError as error:
        for problem in error.problems:
            print(problem, file=sys.stderr)
        return False
    except (Abort, ConfigurationError) as error:
        print(f"the site was not finished: {getattr(error, 'message', error)}", file=sys.stderr)
        return False
    return True


def _taken(port: int) -> str:
    """Why a port of this computer cannot be listened on, or ''."""
    with socket.socket() as trial:
        trial.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            trial.bind(("127.0.0.1", port))
        except OverflowError:
            return "ports run from 1 to 65535"
        except OSError as error:
            return error.strerror or str(error)
    return ""


def default_folder() -> Path:
    """Where the site goes: build/site of a writable checkout, else of the current folder; never among the packages."""
    checkout = data.PACKAGE.parent.parent
    inside = data.site_folder() == checkout / "site" and os.access(checkout, os.W_OK)
    return (checkout if inside else Path.cwd()) / "build" / "site"


def _config_file() -> Path:
    return data.site_folder() / "mkdocs.yml"


def _may_empty(folder: Path) -> bool:
    if not folder.exists():
        return True
    return folder.is_dir() and ((folder / MARKER).is_file() or not any(folder.iterdir()))


def _overlap(folder: Path, sources: Path) -> bool:
    sources = sources.resolve()
    return folder == sources or folder in sources.parents or sources in folder.parents


def _shown(folder: Path) -> str:
    with contextlib.suppress(ValueError):
        return str(folder.relative_to(Path.cwd()))
    return str(folder)


class _Messages(logging.Handler):
    """Prints what MkDocs warns of, and counts it."""

    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.count = 0

    def emit(self, record: logging.LogRecord) -> None:
        self.count += 1
        word = "error" if record.levelno >= logging.ERROR else "warning"
        clear = CLEAR if sys.stderr.isatty() else ""
        print(f"{clear}{word}: {record.getMessage()}", file=sys.stderr)


@contextlib.contextmanager
def _messages() -> Iterator[_Messages]:
    logger = logging.getLogger("mkdocs")
    handler = _Messages()
    before = logger.propagate
    logger.addHandler(handler)
    logger.propagate = False
    try:
        yield handler
    finally:
        logger.removeHandler(handler)
        logger.propagate = before


@contextlib.contextmanager
def _quiet_mkdocs() -> Iterator[None]:
    """MkDocs may write byte code for the hook beside it; a read-only or packaged folder is left alone."""
    before = sys.dont_write_bytecode
    sys.dont_write_bytecode = True
    try:
        yield
    finally:
        sys.dont_write_bytecode = before
