"""Groups of Nepenthes against published heights of the wild plants and the limits growers' words stand for.

Sources: growers' pages and a field paper, named with their addresses in elevation.yaml. All four pages that set a limit
between lowland and highland set it at 1000 m.
"""

from __future__ import annotations

from typing import Any

import pytest

from bogwright.knowledge.base import KnowledgeBase
from bogwright.knowledge.names import Entry
from bogwright.knowledge.units import fahrenheit_to_celsius

from .conftest import published

HEIGHTS = published("elevation.yaml")
WORDS = HEIGHTS["words"]
GROUPS = ("lowland", "intermediate", "highland")


def limit() -> float:
    """The height between lowland and highland on which the sources agree."""
    limits = {row["lowland"][1] for row in WORDS} | {row["highland"][0] for row in WORDS}
    assert len(limits) == 1
    return float(limits.pop())


def members(base: KnowledgeBase, word: str) -> list[Entry]:
    found = base.members(f"nepenthes/_{word}")
    assert found, f"no {word} Nepenthes"
    return found


def heights(base: KnowledgeBase, entry: Entry) -> tuple[float, float]:
    """The plant's own heights; its group's limit is a word's meaning and says nothing of the plant."""
    claim = base.profile(entry.id).range("identity.elevation")
    assert claim is not None and claim.low is not None and claim.high is not None, f"{entry.id} states no heights"
    assert claim.low.origin.profile.startswith(entry.id), f"{entry.id} has only the limit of its group"
    return claim.low.value, claim.high.value


def named(base: KnowledgeBase, name: str) -> Entry:
    return next(entry for entry in base.taxa() if entry.name == name)


def test_groups_end_where_the_sources_end_them(base: KnowledgeBase) -> None:
    """The lowland group ends and the highland group begins at 1000 m."""
    lowland = base.profile("nepenthes/_lowland").range("identity.elevation")
    highland = base.profile("nepenthes/_highland").range("identity.elevation")
    assert lowland is not None and lowland.high is not None and lowland.high.value == limit()
    assert highland is not None and highland.low is not None and highland.low.value == limit()


def test_every_species_has_a_group(base: KnowledgeBase) -> None:
    grouped = {entry.id for word in GROUPS for entry in members(base, word)}
    assert grouped == {entry.id for entry in base.taxa() if entry.genus == "nepenthes"}


def test_members_grow_on_their_side(base: KnowledgeBase) -> None:
    """Most of a lowland species' range lies below the limit, of a highland species' above; an intermediate meets it."""
    for entry in members(base, "lowland"):
        low, high = heights(base, entry)
        assert (low + high) / 2 < limit(), entry.id
    for entry in members(base, "highland"):
        low, high = heights(base, entry)
        assert (low + high) / 2 > limit(), entry.id
    for entry in members(base, "intermediate"):
        low, high = heights(base, entry)
        assert low <= limit() <= high, entry.id


@pytest.mark.parametrize("row", HEIGHTS["species"], ids=lambda row: f"{row['taxon']} by {row['source']}")
def test_heights_of_species(base: KnowledgeBase, row: dict[str, Any]) -> None:
    """The heights a source gives lie within those of the profile."""
    low, high = heights(base, named(base, row["taxon"]))
    assert low <= row["m"][0] and row["m"][1] <= high


@pytest.mark.parametrize("row", HEIGHTS["called"], ids=lambda row: f"{row['taxon']} by {row['source']}")
def test_group_is_the_word_the_source_uses(base: KnowledgeBase, row: dict[str, Any]) -> None:
    assert named(base, row["taxon"]).group == f"nepenthes/_{row['word']}"


def test_nights_of_the_groups(base: KnowledgeBase) -> None:
    """Highland plants live with the cool nights the source gives the group, lowland ones prefer warmer."""
    nights = HEIGHTS["nights_f"]
    coolest, warmest = (fahrenheit_to_celsius(value) for value in nights["highland"])
    for entry in members(base, "highland"):
        night = base.profile(entry.id).band("air.temperature_night")
        assert night is not None
        low, high = night.value("tolerates", "low"), night.value("tolerates", "high")
        assert low is not None and low <= coolest + 0.5, entry.id
        assert high is not None and high >= (coolest + warmest) / 2, entry.id
    for entry in members(base, "lowland"):
        night = base.profile(entry.id).band("air.temperature_night")
        assert night is not None
        low = night.value("prefers", "low")
        assert low is not None and low >= fahrenheit_to_celsius(nights["lowland_above"]) - 0.5, entry.id


def test_every_row_names_its_source() -> None:
    rows = [*WORDS, *HEIGHTS["species"], *HEIGHTS["called"], HEIGHTS["nights_f"]]
    assert all(row["source"] in HEIGHTS["sources"] for row in rows)
    assert all(source["url"] for source in HEIGHTS["sources"].values())
