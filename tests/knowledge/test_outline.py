"""Outline tables: rows become identity-only profiles, faults are told with their place, profiles go before rows."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from bogwright.knowledge import KnowledgeBase
from bogwright.knowledge.lint import lint
from bogwright.knowledge.names import Match
from bogwright.knowledge.outline import COLUMNS, read_outline

from .conftest import Write

HEAD = ",".join(COLUMNS) + "\n"
GROUP = "profile: group\nname: Exempla, lowland group\nair: {humidity: {tolerates: {low: 60, basis: from-memory}}}\n"
Open = Callable[[], KnowledgeBase]


def row(name: str, **cells: str) -> str:
    """One line of a table; a cell that holds a comma is quoted."""
    given = {"name": name, "rank": "species", "source": "a-book", **cells}
    return ",".join(f'"{c}"' if "," in (c := given.get(column, "")) else c for column in COLUMNS) + "\n"


def found(base: KnowledgeBase, name: str) -> str:
    match = base.find(name)
    assert isinstance(match, Match), str(match)
    return match.id


def test_names_and_synonyms_of_a_row_are_found(write: Write, opened: Open) -> None:
    write("profiles/exempla/_lowland.yaml", GROUP)
    table = row("Exempla altera", authority="L., Hook. & Arn.", range="BOR SUM", group="lowland")
    write("outline/exempla.csv", HEAD + table + row("Exempla vetus", accepted="Exempla altera"))
    base = opened()
    assert found(base, "exempla altera") == found(base, "E. vetus") == "exempla/altera"
    profile = base.profile("exempla/altera")
    assert profile.outline and profile.entry.listed and profile.entry.group == "exempla/_lowland"
    assert profile.value("identity.authority") == "L., Hook. & Arn."
    assert profile.value("identity.range") == ("BOR", "SUM")
    assert base.listed() == [profile.entry] and base.taxa() == []
    claim = profile.claim("identity.authority")
    assert claim is not None and claim.origin is not None
    assert (claim.origin.line, claim.origin.column) == (2, 16)  # the cell
    humidity = profile.band("air.humidity")
    assert humidity is not None and humidity.value("tolerates", "low") == 60


def test_a_profile_goes_before_its_row_and_takes_its_synonyms(write: Write, species: Write, opened: Open) -> None:
    species("habit: {height: {low: 8, basis: from-memory}}\n")
    write("outline/exempla.csv", HEAD + row("Exempla una") + row("Exempla prior", accepted="Exempla una"))
    base = opened()
    assert found(base, "Exempla prior") == "exempla/una"
    assert base.listed() == [] and not base.profile("exempla/una").outline


def test_heights_keep_their_source(write: Write, opened: Open) -> None:
    cells = {"elevation_low": "900", "elevation_high": "1500", "elevation_source": "a-book"}
    write("outline/exempla.csv", HEAD + row("Exempla alta", **cells, elevation_as_stated="900-1500 m"))
    claim = opened().profile("exempla/alta").range("identity.elevation")
    assert claim is not None and claim.low is not None and claim.high is not None
    assert (claim.low.value, claim.high.value, claim.low.basis) == (900, 1500, "published")
    assert [(s.id, s.as_stated) for s in claim.low.sources] == [("a-book", "900-1500 m")]


FAULTS = [
    (row("Exempla"), "2:1: 'Exempla' is not the name of a plant — write genus and epithet (name)"),
    (row("Exempla una", rank="kind"), "2:14: 'kind' is no rank — write one of species, subspecies"),
    (row("Exempla una", elevation_low="high"), "2:25: 'high' is not a height in metres — write a number or nothing"),
    (row("Exempla una", elevation_low="90"), "2:36: a height is given without its source — name the source's id"),
    (row("Exempla una", source=""), "2:27: the name has no source — name one, or write name into from_memory"),
    (row("Exempla una", from_memory="nane"), "2:36: 'nane' is no column — name columns, a space between (column)"),
    ("Exempla una,L.\n", "2:1: the row has 2 cells, not 13 — quote cells that hold a comma (cells)"),
    (row("Exempla una") * 2, "3:1: 'Exempla una' stands here twice — keep one of the rows (name-clash)"),
    (row("Aliena una"), "2:1: 'Aliena una' stands in the table of exempla — move it to the table of its genus"),
    (row("Exempla una", note="x" * 140_000), "2:1: the row cannot be read: field larger than field limit"),
    (row("Exempla una", accepted="Exempla alia"), "2:22: the accepted name 'Exempla alia' has no row of its own"),
]


@pytest.mark.parametrize(("rows", "said"), FAULTS)
def test_faults_of_rows(write: Write, rows: str, said: str) -> None:
    path = write("outline/exempla.csv", HEAD + rows)
    problems = [str(problem).partition("exempla.csv:")[2] for problem in read_outline(str(path)).problems]
    assert any(problem.startswith(said) for problem in problems), problems


@pytest.mark.parametrize("text", ["", "name,authority\n", "\xff"])
def test_a_table_without_its_columns_is_refused(kb: Path, text: str) -> None:
    path = kb / "outline.csv"
    path.write_bytes(text.encode("latin-1"))
    document = read_outline(str(path))
    assert not document.readable and len(document.problems) == 1


def test_a_row_of_an_unknown_group_or_source_or_figure(kb: Path, write: Write, monkeypatch: pytest.MonkeyPatch) -> None:
    cells = {"elevation_low": "900", "elevation_source": "a-book", "elevation_as_stated": "from 800 m"}
    write("outline/exempla.csv", HEAD + row("Exempla alta", group="lowlnd", source="a-bok", **cells))
    monkeypatch.chdir(kb)
    said = {problem.code: str(problem) for problem in lint([Path("outline")], kb)}
    assert said["unknown-group"].startswith("outline/exempla.csv:2:25: the group 'lowlnd' has no profile")
    assert "did you mean 'a-book'?" in said["unknown-source"]
    assert "low is 900 m, which is in none of: 'from 800 m'" in said["figure-differs"]
