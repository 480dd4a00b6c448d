"""The page of how the numbers are made, and what the pages of sources tell of it."""

from __future__ import annotations

import re

import pytest
from markupsafe import escape

from bogwright.report.site import how_numbers_page, source_pages
from bogwright.report.site.atlas import Atlas
from bogwright.report.site.how_numbers_page import CONDITIONS, PARTS, raised
from bogwright.report.site.wording import STANDINGS


@pytest.fixture(scope="module")
def atlas() -> Atlas:
    return Atlas.open()


@pytest.fixture(scope="module")
def text(atlas: Atlas) -> str:
    return str(how_numbers_page.page(atlas).body)


def test_every_formula_is_told(atlas: Atlas, text: str) -> None:
    """With range, standing, weaknesses, its sources as links, and what checks it."""
    for key, one in atlas.bench.table("formulas")["formulas"].items():
        found = text[text.index(f'id="formulas-{key}"') :]
        found = found[: found.index("</details>")]
        assert str(raised(one["formula"])) in found, key
        assert STANDINGS[one["basis"]][1] in found
        assert all(f"sources/{ref['id']}/" in found for ref in one.get("sources", ())), key
        assert all(check in found for check in one["checked_by"])


def test_every_formula_has_a_part_and_every_condition_a_formula(atlas: Atlas, text: str) -> None:
    """Nothing is left out of the page, and no line of it is empty."""
    modules = {module for part in PARTS.values() for module in part}
    formulas = atlas.bench.table("formulas")["formulas"].values()
    assert {one["function"].partition(".")[0] for one in formulas} == modules
    assert {word for one in formulas for word in one.get("serves", ())} == set(CONDITIONS)
    assert "<dd></dd>" not in text


def test_every_assumption_is_told(atlas: Atlas, text: str) -> None:
    """With its range by the words of a plan, and how to do better."""
    for key, one in atlas.bench.table("assumptions")["assumptions"].items():
        found = text[text.index(f'id="assumptions-{key.replace("_", "-")}"') :]
        found = found[: found.index("</tr>")]
        assert str(escape(one["title"])) in found and f"state {one['ask']}" in found
        assert all(word in found for word in one.get("by", ()))


@pytest.mark.parametrize(
    ("source", "anchor"),
    [("fao-56", "formulas-dew-point"), ("showcase-leakage", "assumptions-air-changes")],
)
def test_a_source_lists_what_rests_on_it(atlas: Atlas, text: str, source: str, anchor: str) -> None:
    """By a link to the very row."""
    page = source_pages.page(atlas, atlas.base.sources()[source])
    assert f'href="../../numbers/#{anchor}"' in page.body and f'id="{anchor}"' in text


def test_anchors_are_unique(text: str) -> None:
    """One row, one anchor."""
    anchors = re.findall(r' id="([^"]+)"', text)
    assert len(anchors) == len(set(anchors))


def test_signs_are_lowered_and_raised() -> None:
    """Only behind _ and ^; a word is left alone."""
    assert str(raised("e_s = z^5.26 (a < b)")) == "e<sub>s</sub> = z<sup>5.26</sup> (a &lt; b)"
