"""Seasons: runs of months over the turn of the year, and what lint holds them against."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from bogwright.knowledge import KnowledgeBase
from bogwright.knowledge.lint import lint
from bogwright.knowledge.seasons import months_named, strays

from .conftest import Write


def _flowering(value: str, said: str = "") -> str:
    basis = f'published, sources: [{{id: a-book, locator: "p. 4", as_stated: "{said}"}}]' if said else "from-memory"
    return f"habit:\n  flowering: {{value: {value}, basis: {basis}}}\n"


@pytest.mark.parametrize(
    ("value", "season"),
    [
        ("{from: 5, to: 8}", (5, 6, 7, 8)),
        ("{from: 10, to: 0}", (10, 11, 0)),
        ("{from: 1, to: 0}", (*range(1, 12), 0)),
        ("{from: 6, to: 6}", (6,)),
        ("any-time", "any-time"),
    ],
)
def test_a_season_may_run_over_the_turn_of_the_year(
    species: Write, opened: Callable[[], KnowledgeBase], value: str, season: object
) -> None:
    species(_flowering(value))
    claim = opened().profile("exempla/una").claim("habit.flowering")
    assert claim is not None and claim.value == season


@pytest.mark.parametrize(
    ("value", "told"),
    [
        ("{from: 5}", "missing key 'to'"),
        ("{from: 5, to: 12}", "'value.to' is 12, above the most allowed, 11"),
        ("often", "write {from: 5, to: 8}"),
        ("[5, 6]", "write {from: 5, to: 8}"),
    ],
)
def test_what_is_no_season_is_refused(species: Write, kb: Path, value: str, told: str) -> None:
    file = species(_flowering(value))
    assert any(told in str(problem) for problem in lint([file], kb) if problem.severity == "error")


@pytest.mark.parametrize(
    ("value", "said", "code"),
    [
        ("{from: 6, to: 8}", "Flowering Jun–Aug [north]", None),
        ("{from: 3, to: 8}", "Flowers mainly Sep.–Feb. [south]", None),
        ("{from: 3, to: 5}", "Spring [south]", None),
        ("{from: 6, to: 8}", "Flowering Jun–Aug", "no-half"),
        ("{from: 6, to: 9}", "Flowering Jun–Aug [north]", "season-differs"),
        ("{from: 0, to: 2}", "Flowering Jun–Aug [north]", "season-differs"),
    ],
)
def test_lint_holds_a_season_against_the_months_its_source_names(
    species: Write, kb: Path, value: str, said: str, code: str | None
) -> None:
    file = species(_flowering(value, said))
    found = {problem.code for problem in lint([file], kb)} & {"no-half", "season-differs"}
    assert found == ({code} if code else set())


def test_months_count_from_the_midwinter_of_each_source() -> None:
    assert months_named(["April to June [south]", "Sept., Dec. [north]"]) == {10, 0, 9}
    assert months_named(["marshes in a decade, octopus [north]"]) == set()
    assert strays({"from": 10, "to": 1}, ["April to June [south]"]) == ["to"]
