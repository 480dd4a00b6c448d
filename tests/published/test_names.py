"""Accepted names and authorities of the profiled taxa against published name lists.

Sources: the IUCN Red List 2022-1, the tip lists of Jin & Qian 2022 (after the Leipzig Catalogue of Vascular Plants and
World Plants), and pages named row by row in names.yaml. Rows marked from_memory were not all read in a source.
"""

from __future__ import annotations

from typing import Any

import pytest

from bogwright.knowledge.base import KnowledgeBase
from bogwright.knowledge.claims import ValueClaim
from bogwright.knowledge.lint_names import BOTANICAL, check_names, spellings
from bogwright.knowledge.names import Entry, Match

from .conftest import published

NAMES = published("names.yaml")
ROWS = {row["name"]: row for row in NAMES["names"]}


def label(row: dict[str, Any]) -> str:
    return f"{row['name']} (from memory)" if "from_memory" in row else str(row["name"])


def named(base: KnowledgeBase, name: str) -> Entry:
    found = [entry for entry in base.taxa() if entry.name == name]
    assert found, f"no profile is called {name}"
    return found[0]


@pytest.mark.parametrize(
    ("one", "other", "same"),
    [
        ("J. Ellis", "J.Ellis", True),
        ("Banks ex DC.", "DC.", True),
        ("Backh. ex Planch.", "Backh.ex Planch.", True),
        ("Lowrie et Carlquist", "Lowrie & Carlquist", True),
        ("(Raf.) Wherry", "Wherry", False),
        ("Hook.f.", "Hook.", False),
    ],
)
def test_spellings_of_authorities(one: str, other: str, same: bool) -> None:
    assert bool(spellings(one) & spellings(other)) is same


@pytest.mark.parametrize("row", NAMES["names"], ids=label)
def test_name_is_accepted(base: KnowledgeBase, row: dict[str, Any]) -> None:
    """The profile stands under the accepted name and is found by it."""
    assert row["status"] == "accepted"
    found = base.find(row["name"])
    assert isinstance(found, Match) and found.id == named(base, row["name"]).id


@pytest.mark.parametrize("row", NAMES["names"], ids=label)
def test_authority(base: KnowledgeBase, row: dict[str, Any]) -> None:
    """The authority is the list's; an autonym (``subsp. purpurea``) has that of its species."""
    entry = named(base, row["name"])
    stated = row["authority"] or ROWS[" ".join(row["name"].split()[:2])]["authority"]
    said = base.profile(entry.id).value("identity.authority")
    said = " & ".join(said) if isinstance(said, tuple) else said
    assert said is not None, f"{entry.id} gives no authority; the list says {stated}"
    assert spellings(said) & spellings(stated), f"{entry.id} says {said}, the list says {stated}"


@pytest.mark.parametrize("row", NAMES["not_listed"], ids=label)
def test_names_no_list_holds(base: KnowledgeBase, row: dict[str, Any]) -> None:
    """Not compared, and so not lent the authority of the species it belongs to."""
    entry = named(base, row["name"])
    claim = base.profile(entry.id).claim("identity.authority")
    if entry.form and isinstance(claim, ValueClaim) and claim.value is not None:
        assert not claim.origin.inherited, f"{entry.id} shows the authority of {claim.origin.profile}"
    pytest.skip(row["why"])


def test_taxa_without_a_row(base: KnowledgeBase) -> None:
    """New profiles whose name nobody has looked up yet."""
    seen = {*ROWS, *(row["name"] for row in NAMES["not_listed"])}
    missing = [entry.name for entry in base.taxa() if entry.name not in seen and entry.rank in BOTANICAL]
    if missing:
        pytest.skip(f"no row in names.yaml for: {', '.join(missing)}")


def test_profiles_agree_with_the_outline_tables(base: KnowledgeBase) -> None:
    """The check that `bogwright lint` runs: authorities of the profiles against the lists behind the tables."""
    assert [str(problem) for problem in check_names(base) if problem.severity == "error"] == []


def test_every_listed_name_and_synonym_is_found(base: KnowledgeBase) -> None:
    """Whatever accepted name or synonym of the tables a grower gives leads to one plant."""
    lost = []
    for name, record in base.records.items():
        for row in record.data["taxa"].values() if name.startswith("outline/") else ():
            for shown in (row["name"], *row["identity"].get("synonyms", {}).get("value", ())):
                found = base.find(shown)
                if not isinstance(found, Match):
                    lost.append(f"{shown}: {found}")
    assert lost == []
    assert len(base.listed()) + len(base.taxa()) >= 787


def test_every_row_names_its_sources() -> None:
    """A row without a source says which parts come from memory."""
    for row in NAMES["names"]:
        assert set(row["sources"]) <= set(NAMES["sources"]), row["name"]
        assert row["sources"] or row.get("from_memory"), row["name"]
