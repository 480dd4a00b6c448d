"""Settings that are solved on the model: what is told works when it is done, and no less meets the plants in full."""

from __future__ import annotations

import copy
from typing import Any

import pytest
import yaml

from bogwright.data import kb_folder
from bogwright.enclosure.plan import read_plan
from bogwright.enclosure.predict import foreseen
from bogwright.judge.ask import ask_plan
from bogwright.judge.bench import Bench
from bogwright.judge.enclosure import judge_plan
from bogwright.judge.improve import improve
from bogwright.rules import meaning


@pytest.fixture(scope="module")
def bench() -> Bench:
    return Bench.open()


@pytest.fixture
def hall() -> dict[str, Any]:
    """The demo that is told by labels alone."""
    return yaml.safe_load((kb_folder() / "plans" / "hall-case.yaml").read_text(encoding="utf-8"))


def shown(bench: Bench, data: dict[str, Any]):
    plan = foreseen(data, bench.tables)
    profiles = {p.id: bench.base.profile(bench.base.find(p.taxon).forms[0]) for p in plan.plants}
    return judge_plan(bench, plan, profiles, meaning.judge)


def improved(bench: Bench, data: dict[str, Any]):
    return improve(bench, shown(bench, data), data)


def rules_of(bench: Bench, data: dict[str, Any]) -> set[str]:
    return {f.rule for f in shown(bench, data).findings if f.severity in ("blocker", "condition") and not f.disputed}


def test_the_demo_from_labels_becomes_sound(bench, hall):
    """Nothing in it is measured; it is unsound as it stands, and sound once the told changes are made."""
    assert not any(key in hall["case"] for key in ("temperature_day", "humidity", "photoperiod"))
    before = ask_plan(bench, read_plan(hall), hall, lambda n, message: pytest.fail(message))
    assert before.verdict == "unsound" and before.improvement is not None
    assert before.improvement.verdict == "sound"
    changed = before.improvement.data
    after = ask_plan(bench, read_plan(changed), changed, lambda n, message: pytest.fail(message))
    assert after.verdict == "sound" and after.improvement is None
    assert len(before.improvement.steps) >= 3


def test_no_step_makes_the_verdict_worse(bench, hall):
    """The last verdict told is that of the whole; none told along the way is worse than the one before it."""
    found = improved(bench, hall)
    order = ("sound", "conditional", "unproven", "unsound")
    told = [order.index(verdict) for _, verdict in found.steps]
    assert told == sorted(told, reverse=True) and order[told[-1]] == found.verdict
    assert shown(bench, dict(found.data)).verdict == found.verdict


def test_hours_told_are_the_least_that_do(bench, hall):
    """With the hours told no plant's light is short at worst; with half an hour less some plant's may be."""

    def short_at_worst() -> float:
        return max(row["light_short"][1] for row in shown(bench, data).rows if "light_short" in row)

    found = improved(bench, hall)
    assert any(words.startswith("burn the lamp") for words, _ in found.steps)
    data = copy.deepcopy(dict(found.data))
    assert short_at_worst() <= 0
    data["lamps"][0]["hours"] -= 0.5
    assert short_at_worst() > 0


def test_flushes_told_keep_every_root_within_its_limit(bench, hall):
    """With the flush told no plant is over its limit, with one half as often some plant is."""
    found = improved(bench, hall)
    assert "roots-salted" not in rules_of(bench, dict(found.data))
    rare = copy.deepcopy(dict(found.data))
    rare["water_units"][0]["flush"]["every_weeks"] *= 2
    assert "roots-salted" in rules_of(bench, rare)


def test_a_measured_condition_is_not_turned(bench, hall):
    """Where the light was measured no lamp setting moves it, so none is told though the light stays short."""
    hall["places"][0]["light"] = {"dli": 1}
    found = improved(bench, hall)
    assert found.steps and not any("lamp" in words or "panel" in words for words, _ in found.steps)
    assert "light-far-too-low" in rules_of(bench, dict(found.data))


def test_height_over_the_water_is_solved(bench, hall):
    """A bed whose crowns lie under water is built up or its water let down until its plants stand as they like."""
    hall["water_units"][0]["level"] = [17.5] * 6 + [16.5] * 6
    found = improved(bench, hall)
    assert any(words.startswith("build bed up to") for words, _ in found.steps)
    assert not {"too-wet-in-growth", "too-wet-all-season", "water-too-near-the-crown"} & rules_of(
        bench, dict(found.data)
    )


def test_openings_are_solved_for_the_humidity(bench):
    """A plant of dry air in a shut case: more air is let through until it stands the air."""
    data = {
        "plan": "enclosure",
        "title": "shut",
        "horizon": {"for": "indefinitely"},
        "room": {
            "temperature_day": {"usual": 22, "peak": 25},
            "temperature_night": {"usual": 18, "lowest": 16},
            "humidity": 40,
        },
        "case": {
            "vessel": {"openings": "vented", "inside_cm": [60, 40, 40], "wall": "glass", "air_changes": 0.1},
            "year": {"kind": "none"},
            "surfaces": "wet",
            "air_movement": "gentle",
            "sun_on_glass": "none",
            "photoperiod": 13,
        },
        "water_units": [{"id": "tray", "moisture": "damp", "supply": {"solids": 5, "alkalinity": 2}}],
        "places": [{"id": "shelf", "water": "tray", "light": {"dli": 20}}],
        "plants": [{"id": "one", "taxon": "Drosophyllum lusitanicum", "place": "shelf", "potted": True}],
    }
    before = shown(bench, data)
    assert any(f.rule == "air-too-damp" for f in before.findings)
    found = improve(bench, before, data)
    assert any("air changes" in words for words, _ in found.steps)
    assert "air-too-damp" not in rules_of(bench, dict(found.data))


def test_what_the_answer_hangs_on(bench, hall):
    """Where only the lamp's truth is in doubt, the light at the leaf is what to measure."""
    hall["water_units"][0] |= {
        "supply": {"solids": 5, "alkalinity": 2},
        "level": 10,
        "flush": {"every_weeks": 2, "litres": 9},
    }
    hall["lamps"][0] |= {"hours": 12, "lumens": 4200}
    answer = ask_plan(bench, read_plan(hall), hall, lambda n, message: pytest.fail(message))
    assert answer.deciders
    assert any("light at the leaf" in decider.input.ask for decider in answer.deciders)
    for decider in answer.deciders:
        assert decider.low < decider.high and decider.swing != 0


def test_a_sound_plan_is_left_alone(bench, hall):
    found = improved(bench, hall)
    assert improved(bench, dict(found.data)) is None
