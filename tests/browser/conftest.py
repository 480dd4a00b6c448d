"""A browser that reads the shipped site: served below a sub-path, under a strict policy, cut off from everything else.

Without Chromium (by $BOGWRIGHT_CHROMIUM or where Debian puts it) these tests are skipped, unless
BOGWRIGHT_BROWSER=required.
"""

from __future__ import annotations

import os
import threading
from collections.abc import Callable, Iterator
from contextlib import ExitStack, suppress
from dataclasses import dataclass, field
from functools import partial
from http.server import SimpleHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

import pytest

CHROMIUM = Path(os.environ.get("BOGWRIGHT_CHROMIUM", "/usr/bin/chromium"))
ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]
GRAVE = ("serious", "critical")
SCHEMES = {  # in the dark only colours differ
    "light": {"resultTypes": ["violations"]},
    "dark": {"resultTypes": ["violations"], "runOnly": ["color-contrast"]},
}
PREFIX = "/some/garden/"
POLICY = "default-src 'self'"


class Handler(SimpleHTTPRequestHandler):
    """Files of a folder below PREFIX; nothing above it, as where a site shares its host with others."""

    def translate_path(self, path: str) -> str:
        below = path.removeprefix(PREFIX)
        return super().translate_path(f"/{below}" if below != path else "/outside-of-the-site")

    def end_headers(self) -> None:
        self.send_header("Content-Security-Policy", POLICY)
        super().end_headers()

    def handle_one_request(self) -> None:
        with suppress(ConnectionError):  # a page was closed while something was on its way
            super().handle_one_request()

    def log_message(self, *_: Any) -> None:
        """Tests report what went wrong."""


@pytest.fixture(scope="session")
def address(shipped_site: Path) -> Iterator[str]:
    """Where the site is served, with a slash at the end."""
    with ThreadingHTTPServer(("127.0.0.1", 0), partial(Handler, directory=str(shipped_site))) as server:
        thread = threading.Thread(target=server.serve_forever)
        thread.start()
        yield f"http://127.0.0.1:{server.server_address[1]}{PREFIX}"
        server.shutdown()
        thread.join()


def missing(what: str) -> None:
    """Skip, or fail where the browser is required."""
    if os.environ.get("BOGWRIGHT_BROWSER") == "required":
        pytest.fail(what)
    pytest.skip(what)


@pytest.fixture(scope="session")
def chromium() -> Iterator[Any]:
    """A running browser."""
    try:
        from playwright.sync_api import sync_playwright
    except ImportError:
        missing("playwright is not installed")
    if not CHROMIUM.is_file():
        missing(f"no browser at {CHROMIUM}: install chromium or set BOGWRIGHT_CHROMIUM")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=ARGUMENTS)
        yield browser
        browser.close()


@pytest.fixture(scope="session")
def barriers() -> Callable[[Any, str], list[tuple[str, str, str]]]:
    """What keeps people from reading an open page in a colour scheme, as (check, its advice, first place)."""
    try:
        from axe_playwright_python.sync_playwright import Axe
    except ImportError:
        missing("axe-playwright-python is not installed")
    axe = Axe()

    def found(page: Any, scheme: str) -> list[tuple[str, str, str]]:
        violations = axe.run(page, options=SCHEMES[scheme]).response["violations"]
        return [(one["id"], one["help"], one["nodes"][0]["html"]) for one in violations if one["impact"] in GRAVE]

    return found


@dataclass
class Visit:
    """An open page. faults : what the browser complained of or could not load; outside : requests to other hosts."""

    page: Any
    faults: list[str] = field(default_factory=list)
    outside: list[str] = field(default_factory=list)


@pytest.fixture
def visit(chromium: Any, address: str) -> Iterator[Callable[..., Visit]]:
    """Opens a page of the site by its address below the root, with options of a browser context."""
    with ExitStack() as opened:

        def opening(url: str, **options: Any) -> Visit:
            context = chromium.new_context(**options)
            context.set_default_timeout(10_000)
            opened.callback(context.close)
            made = Visit(context.new_page())

            def guard(route: Any) -> None:
                if route.request.url.startswith(address):
                    route.continue_()
                else:
                    made.outside.append(route.request.url)
                    route.abort()

            context.route("**/*", guard)
            page = made.page
            page.on("console", lambda said: said.type in ("error", "warning") and made.faults.append(said.text))
            page.on("pageerror", lambda error: made.faults.append(str(error)))
            page.on("requestfailed", lambda request: made.faults.append(f"failed: {request.url}"))
            page.on("response", lambda got: got.status >= 400 and made.faults.append(f"{got.status}: {got.url}"))
            page.goto(address + url, wait_until="networkidle" if "?" in url else "load")
            return made

        yield opening
