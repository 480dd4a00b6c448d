"""Which rules speak of which plants, and the figures of any plants side by side."""

import json

import pytest

from bogwright.report.site import compare_page
from bogwright.report.site.atlas import Atlas
from bogwright.report.site.spoken import spoken

# an invented share check: rule 0 holds always, 1 in the second year alone, 2 of neighbours
SHARE = {
    "plants": [{"id": "a/b", "ask": 0, "traits": [0, 1, 2]}, {"id": "a/c/form", "ask": 1, "traits": [7, None, None]}],
    "asks": [{"known": 0, "shared": [2, 1]}, {"known": 2, "shared": 1}],
    "sets": [[0], [1], [], [2]],
    "findings": [{"rule": "always"}, {"rule": "later"}, {"rule": "beside"}],
    "pairs": {"cells": {"0,7,0,0": 3}},
}


def test_a_rule_speaks_always_in_some_years_or_of_neighbours():
    made = spoken(SHARE)
    assert made.rules["a/b"] == {"always": "always", "later": "some years", "beside": "neighbour"}
    assert made.rules["a/c/form"] == {"later": "always"}


def test_a_species_has_the_rules_of_its_forms():
    made = spoken(SHARE)
    assert made.rules["a/c"] == {"later": "always"}
    assert made.plants["later"] == ["a/b", "a/c", "a/c/form"]


@pytest.fixture(scope="module")
def compared():
    ((_, text),) = compare_page.data(Atlas.open())
    return json.loads(text)


def test_every_plant_can_be_compared(compared):
    base = Atlas.open().base
    assert {one["id"] for one in compared["plants"]} == {one.id for one in (*base.taxa(), *base.listed())}
    assert {len(one["cells"]) for one in compared["plants"]} == {len(compared["rows"])}


def test_no_figure_is_without_a_standing(compared):
    bare = [figure for figure, standings, _ in compared["cells"] if not standings and figure != "no demand"]
    assert bare == []


def test_plants_and_rules_name_each_other(shipped_site):
    plant = (shipped_site / "plants" / "drosera" / "capensis" / "index.html").read_text(encoding="utf-8")
    rule = (shipped_site / "rules" / "invasive-never-release" / "index.html").read_text(encoding="utf-8")
    assert "rules/invasive-never-release/" in plant.partition('id="rules"')[2]
    assert "plants/drosera/capensis/" in rule.partition('id="plants"')[2]
