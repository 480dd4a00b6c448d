"""CITES appendices of the profiles against the Appendices themselves.

Source: CITES Appendices I, II and III valid from 25 September 2012, with older texts beside it; see kb/cites.yaml.
`bogwright lint` runs the same check.
"""

from __future__ import annotations

from typing import Any

import pytest

from bogwright.judge.bench import Bench
from bogwright.knowledge.base import KnowledgeBase
from bogwright.knowledge.lint_law import check_cites, listing


@pytest.fixture(scope="session")
def table(bench: Bench) -> Any:
    return bench.table("cites")


def test_every_listing_names_its_sources(base: KnowledgeBase, table: Any) -> None:
    for row in table["listings"]:
        assert set(row["sources"]) <= set(base.sources()), row["taxon"]


@pytest.mark.parametrize(
    ("name", "appendix"),
    [
        ("Sarracenia rubra subsp. jonesii", "I"),
        ("Sarracenia rubra", "II"),
        ("Nepenthes rajah", "I"),
        ("Nepenthes rafflesiana", "II"),
    ],
)
def test_the_most_exact_listing_holds(table: Any, name: str, appendix: str) -> None:
    """The rows of the Appendix I species and subspecies stand inside genera of Appendix II."""
    row = listing(name, table)
    assert row is not None and row["appendix"] == appendix


def test_appendix_of_every_plant(base: KnowledgeBase) -> None:
    """What a profile says or inherits is what the Appendices say; none of a listed genus is silent."""
    assert [str(problem) for problem in check_cites(base)] == []


def test_genera_the_sources_do_not_cover(base: KnowledgeBase, table: Any) -> None:
    """Nothing was read about them, so nothing is compared."""
    unread = sorted({entry.genus for entry in base.taxa() if listing(entry.name, table) is None})
    if unread:
        pytest.skip(f"no CITES source read for: {', '.join(unread)}")
