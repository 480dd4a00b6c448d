"""Facts of the trade. Each is common practice, no source, unless a source is named beside it."""

import copy

import pytest

from bogwright.enclosure.plan import read_plan
from bogwright.judge.ask import ask_names, ask_plan
from bogwright.judge.bench import Bench

WORKS = ("sound", "conditional")


def room(*taxa: str, **case) -> dict:
    """A shelf in an ordinary heated room under 14 h of white light, one tray, as plan data."""
    return {
        "plan": "enclosure",
        "title": "room",
        "horizon": {"for": "indefinitely"},
        "latitude": 50,
        "case": {
            "vessel": {"openings": "open"},
            "year": {"kind": "none"},
            "air_movement": "gentle",
            "surfaces": "damp",
            "sun_on_glass": "none",
            "lamp_in_lid": False,
            "photoperiod": 14,
            "humidity": [45, 60],
            "night_humidity": [50, 65],
            "temperature_day": {"usual": [20, 24], "peak": 28},
            "temperature_night": {"usual": [16, 19], "lowest": 14},
            **case,
        },
        "water_units": [
            {"id": "tray", "moisture": "wet", "exchanged": True, "supply": {"solids": 10, "alkalinity": 5}}
        ],
        "places": [{"id": "tray", "water": "tray", "light": {"illuminance": [14000, 17000], "lamp": "white-led"}}],
        "plants": [
            {
                "id": f"p{n}",
                "taxon": t,
                "place": "tray",
                "potted": True,
                "removable": True,
                "gap": 8,
                "deadheaded": True,
                "trimmed_every": 8,
            }
            for n, t in enumerate(taxa)
        ],
    }


def judged(bench: Bench, data: dict):
    """The answer for plan data."""
    data = copy.deepcopy(data)
    return ask_plan(bench, read_plan(data), data, lambda n, message: None)


def rules(answer) -> set[str]:
    """Rules whose findings are certain."""
    return {f.rule for f in answer.main.findings if f.certain}


def test_heated_rooms_serve_subtropical_sundews_cephalotus_and_small_bladderworts(bench):
    """No extra heat, about 14 h of white light (common practice, no source)."""
    plants = [
        "Drosera capensis",
        "Drosera spatulata",
        "Drosera aliciae",
        "Cephalotus follicularis",
        "Utricularia sandersonii",
        "Utricularia bisquamata",
        "Utricularia livida",
    ]
    answer = judged(bench, room(*plants))
    assert answer.verdict in WORKS
    assert not [f for f in answer.main.findings if f.severity == "blocker"]


def test_weeks_of_still_saturated_air_bring_algae_by_a_chain(bench):
    """Wet surface + light + nutrients, kept wet by still saturated air (common practice, no source)."""
    wet = {
        "vessel": {"openings": "closed"},
        "air_movement": "still",
        "surfaces": "damp",
        "humidity": [98, 100],
        "night_humidity": [98, 100],
    }
    data = room("Drosera capensis", **wet)
    data["plants"][0]["fed"] = {"every_days": 14, "prey_mm": 3}
    answer = judged(bench, data)
    algae = next(f for f in answer.main.findings if f.rule == "algae-on-the-surface")
    assert [s.concludes for s in algae.chain] == ["still-saturated", "surface-stays-wet", "algae-likely", ""]
    data["case"] |= {"air_movement": "gentle", "humidity": [50, 60], "night_humidity": [55, 65]}
    assert "algae-on-the-surface" not in rules(judged(bench, data))


def test_about_two_weeks_between_feeds(bench):
    """Fortnightly is no fault, every second day is (common practice, no source)."""
    data = room("Drosera capensis")
    for days, fault in ((14, False), (2, True)):
        data["plants"][0]["fed"] = {"every_days": days, "prey_mm": 3}
        assert ("fed-too-often" in rules(judged(bench, data))) is fault


def test_too_much_food_kills_young_traps_and_grows_mould(bench):
    """Oversize prey is warned of, and food moulds in still saturated air (common practice, no source)."""
    wet = {
        "vessel": {"openings": "closed"},
        "air_movement": "still",
        "humidity": [98, 100],
        "night_humidity": [98, 100],
    }
    data = room("Dionaea muscipula", **wet)
    data["plants"][0] |= {"stage": "seedling", "fed": {"every_days": 14, "prey_mm": 60}}
    assert {"prey-too-big", "food-will-mould"} <= rules(judged(bench, data))


@pytest.mark.parametrize("taxon", ["Drosera pulchella", "Cephalotus follicularis"])
def test_pygmies_and_cephalotus_dislike_moving_as_a_disputed_caution(bench, taxon):
    """Renewing the bed under them warns and decides nothing (disputed: both readings stand in the profiles)."""
    data = room(taxon)
    data["plants"][0] |= {"potted": False, "removable": False}
    data["places"][0]["medium"] = {"components": ["peat", "sand"], "depth": 12, "renew_every": 12}
    found = [f for f in judged(bench, data).main.findings if f.rule == "renewal-and-touchy-roots-disputed"]
    assert all(f.disputed and f.severity == "caution" for f in found)
    claim = bench.base.profile(bench.base.find(taxon).forms[0]).claim("roots.sensitivity")
    assert found or claim.readings


def test_live_sphagnum_dries_first_and_warns(bench):
    """In a bed that is let go merely damp, the moss is named before the sundew (common practice, no source)."""
    data = room("Sphagnum (live)", "Drosera capensis")
    data["water_units"][0]["moisture"] = "barely-damp"
    found = [f for f in judged(bench, data).main.findings if f.rule in ("live-moss-dries-first", "wet-lover-dries")]
    assert {f.rule: f.plants[0] for f in found}["live-moss-dries-first"] == "p0"


@pytest.mark.parametrize("taxon", ["Drosera capensis", "Drosera spatulata", "Drosera burmannii"])
def test_small_self_sowing_sundews_come_up_everywhere(bench, taxon):
    """Named with their seed, whoever the neighbours are (common practice, no source)."""
    answer = ask_names(bench, [taxon, "Cephalotus follicularis"])
    assert answer.verdict in WORKS
    assert "self-sower-in-any-collection" in rules(answer)


def test_beds_with_drier_and_wetter_places_are_workable(bench):
    """Subtropical sundews, Cephalotus, terrestrial bladderworts and live Sphagnum in one bed (common practice, no
    source).
    """
    data = room(
        "Drosera aliciae",
        "Drosera spatulata",
        "Cephalotus follicularis",
        "Utricularia livida",
        "Sphagnum (live)",
        humidity=[60, 80],
    )
    data["water_units"][0].pop("moisture")
    data["places"] = [
        {"id": "hummock", "water": "tray", "moisture": "damp", "light": {"illuminance": 15000, "lamp": "white-led"}},
        {"id": "hollow", "water": "tray", "moisture": "wet", "light": {"illuminance": 13000, "lamp": "white-led"}},
    ]
    for plant, place in zip(data["plants"], ["hollow", "hummock", "hummock", "hollow", "hollow"], strict=True):
        plant["place"] = place
    assert judged(bench, data).verdict in WORKS


def test_a_flytrap_in_an_evenly_warm_case_is_no_keeper_unless_it_leaves(bench):
    """Planted: not workable under the reading that it needs cold; potted and lifted out: workable (common practice)."""
    data = room(
        "Dionaea muscipula",
        "Drosera capensis",
        temperature_day={"usual": [24, 28], "peak": 31},
        temperature_night={"usual": [20, 22], "lowest": 19},
    )
    data["plants"][0] |= {"potted": False, "removable": False}
    assert judged(bench, data).verdict in ("unsound", "unproven")
    data["plants"][0] |= {"potted": True, "removable": True}
    answer = judged(bench, data)
    assert answer.verdict == "conditional" and "lift-out-for-rest" in rules(answer)
