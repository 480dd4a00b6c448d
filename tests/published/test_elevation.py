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
GROUPS = ("lowland", "intermediate", "highland", "ultra-highland", "hybrid")


def limit() -> float:
    """The height between lowland and highland on which the sources agree."""
    limits = {row["lowland"][1] for row in WORDS} | {row["highland"][0] for row in WORDS}
    assert len(limits) == 1
    return float(limits.pop())


def members(base: KnowledgeBase, word: str) -> list[Entry]:
    found = base.members(f"nepenthes/_{word}")
    assert found, f"no {word} Nepenthes"
    return found


def heights(base: KnowledgeBase, entry: Entry) -> tuple[float, float] | None:
    """The plant's own heights, if it states both ends; its group's limit is a word's meaning."""
    claim = base.profile(entry.id).range("identity.elevation")
    ends = (claim.low, claim.high) if claim is not None else (None, None)
    if any(end is None or end.origin.profile.endswith(("/_genus", *(f"/_{word}" for word in GROUPS))) for end in ends):
        return None
    assert ends[0] is not None and ends[1] is not None
    return ends[0].value, ends[1].value


def measured(base: KnowledgeBase, word: str) -> list[tuple[str, float, float]]:
    """Species of a group that state their heights: id, lowest, highest. Races of one species share its group."""
    species = [entry for entry in members(base, word) if entry.form is None]
    found = [(entry.id, span) for entry in species if (span := heights(base, entry)) is not None]
    assert found, f"no {word} Nepenthes states its heights"
    return [(taxon, *span) for taxon, span in found]


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
    """Most of a lowland species' range lies below the limit, of a highland species' above.

    An intermediate meets the 500 to 1300 m that some growers say.
    """
    assert [taxon for taxon, low, high in measured(base, "lowland") if (low + high) / 2 >= limit()] == []
    for word in ("highland", "ultra-highland"):
        assert [taxon for taxon, low, high in measured(base, word) if (low + high) / 2 <= limit()] == []
    band = next(row["intermediate_m"] for row in WORDS if "intermediate_m" in row)
    apart = [taxon for taxon, low, high in measured(base, "intermediate") if high < band[0] or low > band[1]]
    assert apart == []


@pytest.mark.parametrize("row", HEIGHTS["species"], ids=lambda row: f"{row['taxon']} by {row['source']}")
def test_heights_of_species(base: KnowledgeBase, row: dict[str, Any]) -> None:
    """The heights a source gives lie within those of the profile."""
    span = heights(base, named(base, row["taxon"]))
    assert span is not None
    low, high = span
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
