"""CITES appendices of the profiles against the Appendices themselves.

Source: CITES Appendices I, II and III valid from 25 September 2012, with older texts beside it; see cites.yaml.
"""

from __future__ import annotations

from typing import Any

import pytest

from bogwright.knowledge.base import KnowledgeBase
from bogwright.knowledge.names import Entry

from .conftest import published

CITES = published("cites.yaml")
LISTED = {row["taxon"]: row for row in CITES["listings"]}


def listing(name: str) -> dict[str, Any] | None:
    """The most exact listing for a taxon, or None where the sources say nothing of it."""
    fitting = [taxon for taxon in LISTED if name == taxon or name.startswith(f"{taxon} ")]
    return LISTED[max(fitting, key=len)] if fitting else None


def listed(base: KnowledgeBase) -> list[tuple[Entry, dict[str, Any]]]:
    return [(entry, row) for entry in base.taxa() if (row := listing(entry.name)) is not None]


def test_every_listing_names_its_sources() -> None:
    for row in LISTED.values():
        assert row["sources"], row["taxon"]
        assert set(row["sources"]) <= set(CITES["sources"]), row["taxon"]


@pytest.mark.parametrize(
    ("name", "appendix"),
    [
        ("Sarracenia rubra subsp. jonesii", "I"),
        ("Sarracenia rubra", "II"),
        ("Nepenthes rajah", "I"),
        ("Nepenthes rafflesiana", "II"),
    ],
)
def test_the_most_exact_listing_holds(name: str, appendix: str) -> None:
    """The rows of the Appendix I species and subspecies stand inside genera of Appendix II."""
    row = listing(name)
    assert row is not None and row["appendix"] == appendix


def test_appendix_of_every_profile(base: KnowledgeBase) -> None:
    """What a profile says is what the Appendices say."""
    wrong = {
        entry.id: f"says {said}, {row['sources'][0]} says {row['appendix']}"
        for entry, row in listed(base)
        if (said := base.profile(entry.id).value("law.cites")) is not None and said != row["appendix"]
    }
    assert wrong == {}


def test_no_profile_leaves_its_appendix_out(base: KnowledgeBase) -> None:
    """A plant on an Appendix whose profile is silent would be posted abroad without papers."""
    silent = [entry.id for entry, _ in listed(base) if base.profile(entry.id).value("law.cites") is None]
    assert silent == []


def test_genera_the_sources_do_not_cover(base: KnowledgeBase) -> None:
    """Nothing was read about them, so nothing is compared."""
    unread = sorted({entry.genus for entry in base.taxa() if listing(entry.name) is None})
    if unread:
        pytest.skip(f"no CITES source read for: {', '.join(unread)}")
