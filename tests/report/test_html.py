"""The HTML of the site keeps to the standard."""

import pytest

SAMPLE = 40


def test_pages_parse_without_error(shipped_site):
    html5lib = pytest.importorskip("html5lib")
    pages = sorted(shipped_site.rglob("*.html"))
    one_in = len(pages) // SAMPLE
    for page in [shipped_site / "index.html", shipped_site / "search" / "index.html", *pages[::one_in]]:
        parser = html5lib.HTMLParser()
        parser.parse(page.read_text(encoding="utf-8"))
        assert parser.errors == [], page
