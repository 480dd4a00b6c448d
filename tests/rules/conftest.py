"""Fixtures for the rule tests: a few row kinds of their own, so that new fields of the project break nothing here."""

from __future__ import annotations

import json
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from bogwright.rules import Fields, Rule, load_fields, parse

HERE = Path(__file__).parent


@pytest.fixture(scope="session")
def fields() -> Fields:
    return load_fields(json.loads((HERE / "fields.json").read_text("utf-8")))


@pytest.fixture
def cold_night() -> dict[str, Any]:
    """A rule on month.air that uses most of the language."""
    return {
        "id": "night-too-cold",
        "title": "Night colder than the plant tolerates",
        "when": [
            {"night_margin": {"below": 0}},
            {"any": [[{"phase": "growth"}], [{"outside_low": {"one-of": ["decline", "death"]}}]]},
        ],
        "finding": {
            "severity": {
                "by": "outside_low",
                "words": {"death": "blocker", "decline": "blocker", "slow": "condition", "cosmetic": "note"},
            },
            "axis": "temperature_night",
            "says": "{plant} stands {night_margin:K} of margin in {month}",
            "do": "Warm the case at night.",
        },
        "if-unknown": "withhold",
        "why": "Cold beyond the tolerated band stops growth or kills.",
        "basis": "common-practice",
        "examples": {
            "fires": [{"name": "hard frost", "night_margin": [-8, -6], "phase": "growth", "outside_low": "death"}],
            "near-miss": [{"name": "just warm enough", "night_margin": 0}],
        },
    }


@pytest.fixture
def make(fields: Fields) -> Callable[..., list[Rule]]:
    """make(kind, {...}, {...}): rules with the usual keys filled in; fails on any problem."""

    def make_rules(kind: str, *entries: dict[str, Any]) -> list[Rule]:
        filled = []
        for entry in entries:
            usual = {"title": "a rule", "why": "for a test", "basis": "from-memory"}
            usual["examples"] = {"fires": [{}], "near-miss": [{}]}
            if "conclude" not in entry:
                usual["finding"] = {"severity": "note", "says": "it fired"}
            filled.append(usual | entry)
        rules, problems = parse({"for": kind, "rules": filled}, fields)
        assert not problems, "\n".join(map(str, problems))
        return rules

    return make_rules
