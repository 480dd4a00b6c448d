"""How far a setting may be turned: never to a build that cannot stand. On the demo told by labels alone."""

import copy

import pytest
import yaml

from bogwright.data import kb_folder
from bogwright.enclosure.fitting import check_fit
from bogwright.enclosure.plan import read_plan
from bogwright.enclosure.predict import predict
from bogwright.judge.bench import Bench
from bogwright.judge.knobs import knobs

HALL = yaml.safe_load((kb_folder() / "plans" / "hall-case.yaml").read_text(encoding="utf-8"))
CONDITIONS = [
    ("dli", "bed"),
    ("photoperiod", ""),
    ("humidity", ""),
    ("suction", "bed"),
    ("air_filled_porosity", "bed"),
    ("", "bed"),
    ("root_solids", "tray"),
    ("solids_supply", "tray"),
]


@pytest.fixture(scope="module")
def bench():
    return Bench.open()


@pytest.mark.parametrize("mounted", ["inside", "outside"])
@pytest.mark.parametrize(("key", "id"), CONDITIONS)
def test_no_knob_turns_to_what_does_not_fit(bench, key, id, mounted):
    """Either end of every knob is a case whose parts fit; the lid is at 45 cm."""
    hall = copy.deepcopy(HALL)
    hall["lamps"][0] |= {"mounted": mounted, "height": 46 if mounted == "outside" else 40}
    plan = read_plan(hall)
    found = list(knobs(key, id, plan, predict(plan, bench.tables)))
    assert found
    for knob in found:
        for end in knob.ends:
            turned, said = copy.deepcopy(hall), []
            knob.set(turned, end)
            check_fit(turned, lambda path, message, hint, said=said: said.append(message))
            assert said == [], knob.words(end)


def test_an_open_case_lets_the_lamp_rise(bench):
    hall = copy.deepcopy(HALL)
    hall["case"]["vessel"] = {"kind": "tank", "inside_cm": [80, 40, 45], "openings": "open"}
    plan = read_plan(hall)
    hung = next(k for k in knobs("dli", "bed", plan, predict(plan, bench.tables)) if "hang" in k.words(50))
    assert hung.ends == (33, 106)


def test_a_bed_goes_down_no_further_than_its_lowest_layer(bench):
    """3 cm of sand under a bed of 18 cm: 15.5 cm at the least, and above its water in any case."""
    hall = copy.deepcopy(HALL)
    hall["water_units"][0]["level"] = 5
    plan = read_plan(hall)
    built = next(k for k in knobs("suction", "bed", plan, predict(plan, bench.tables)) if "build" in k.words(20))
    assert built.ends == (31, 15.5)
