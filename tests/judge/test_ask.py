"""Whole questions on the shipped knowledge: forms, disputed readings, repairs, horizons, what is not assessed."""

import copy
from pathlib import Path

import pytest
import yaml

from bogwright.enclosure.plan import read_plan
from bogwright.judge.ask import AskError, ask_names, ask_plan
from bogwright.judge.bench import Bench
from bogwright.judge.findings import decide, worst
from bogwright.report.content import content

WORKS = ("sound", "conditional")
DEMO = Path(__file__).parents[2] / "kb" / "plans" / "landing-case.yaml"


@pytest.fixture(scope="module")
def bench() -> Bench:
    return Bench.open()


@pytest.fixture
def demo() -> dict:
    return yaml.safe_load(DEMO.read_text(encoding="utf-8"))


def plan(bench, data):
    return ask_plan(bench, read_plan(data), data, lambda n, message: None)


def test_a_bare_name_whose_forms_differ_is_judged_under_each(bench):
    """Sarracenia purpurea: both subspecies are named with their own verdicts."""
    answer = ask_names(bench, ["Sarracenia purpurea"])
    assert len(answer.readings) == 2
    assert any("subsp. venosa" in r.label for r in answer.readings)


def test_too_many_combinations_list_the_candidates(bench):
    """Several bare names at once: the grower is asked to choose, with the names to choose from."""
    with pytest.raises(AskError, match=r"name one of: .*subsp\. venosa"):
        ask_names(bench, ["Sarracenia purpurea", "Drosera binata", "Drosera intermedia"])


def test_a_verdict_that_hangs_on_a_dispute_is_given_under_both_readings(bench, demo):
    """The demo's flytrap: unsound if it needs cold, workable if short days suffice; so nobody can say."""
    answer = plan(bench, demo)
    assert answer.verdict == "unproven"
    assert {r.verdict for r in answer.readings} == {"unsound", "conditional"}
    assert all("Dionaea muscipula" in r.label for r in answer.readings)


def test_repairs_were_judged_again(bench, demo):
    """Each repair offered really leads to the verdict it names, when a grower does it."""
    answer = plan(bench, demo)
    lift = next(r for r in answer.repairs if "lift it out" in r.action)
    changed = copy.deepcopy(demo)
    for plant in changed["plants"]:
        if plant["id"] == "flytrap":
            plant |= {"potted": True, "removable": True}
    assert plan(bench, changed).verdict == lift.verdict == "conditional"
    dropped = next(r for r in answer.repairs if r.drops)
    changed = copy.deepcopy(demo)
    changed["plants"] = [p for p in changed["plants"] if p["id"] not in dropped.drops]
    assert plan(bench, changed).verdict == dropped.verdict


def test_plants_to_leave_out_of_a_wish_list_leave_a_group_that_shares(bench):
    """Dropping what the answer says makes the rest workable."""
    names = ["Nepenthes bicalcarata", "Nepenthes villosa", "Drosera capensis", "Pinguicula grandiflora"]
    answer = ask_names(bench, names)
    assert answer.verdict == "unsound"
    for repair in answer.repairs:
        if repair.drops:
            rest = [p.profile.name for p in answer.main.plants if p.id not in repair.drops]
            assert ask_names(bench, rest).verdict == repair.verdict


def test_subsets_of_a_group_that_shares_share_too(bench):
    """Leaving a plant out never makes a shared case impossible."""
    names = [
        "Drosera capensis",
        "Drosera adelae",
        "Pinguicula moranensis",
        "Utricularia livida",
        "Cephalotus follicularis",
    ]
    assert ask_names(bench, names).verdict in WORKS
    for left_out in names:
        assert ask_names(bench, [n for n in names if n != left_out]).verdict in WORKS


def test_order_of_names_cannot_matter(bench):
    """The same plants in another order: the same verdict, regime, window and years."""
    names = ["Dionaea muscipula", "Drosera capensis", "Pinguicula moranensis", "Nepenthes ventricosa"]
    made = [content(ask_names(bench, order)) for order in (names, names[::-1])]
    assert made[0]["verdict"] == made[1]["verdict"] and made[0]["regime"] == made[1]["regime"]
    assert made[0]["window"] == made[1]["window"]
    years = [sorted(m["years"], key=lambda y: y["plant"]) for m in made]
    assert years[0] == years[1]


def test_the_set_point_lies_in_the_window(bench):
    """What is recommended was checked: inside the bounds, with the drop it has."""
    made = content(ask_names(bench, ["Heliamphora nutans", "Drosera adelae", "Cephalotus follicularis"]))
    for month in made["window"]:
        for axis, (low, high) in month["bounds"].items():
            assert low - 0.06 <= month["set_point"][axis] <= high + 0.06
        point = month["set_point"]
        assert point["night_drop"] == pytest.approx(point["temperature_day"] - point["temperature_night"], abs=0.02)


def test_what_is_left_out_of_a_plan_is_unknown_not_fine(bench, demo):
    """Without its temperatures the demo cannot be sound, and says what to measure."""
    bare = copy.deepcopy(demo)
    bare["plants"] = [p for p in bare["plants"] if p["id"] != "flytrap"]
    full = plan(bench, bare)
    for key in ("temperature_day", "temperature_night", "humidity", "night_humidity", "photoperiod"):
        bare["case"].pop(key)
    for place in bare["places"]:
        place.pop("light")
    answer = plan(bench, bare)
    assert answer.verdict == "conditional"
    assert len(content(answer)["not_assessed"]) > len(content(full)["not_assessed"])


def test_a_lethal_night_is_a_blocker_for_the_lowlander_alone(bench, demo):
    """Cold nights: the plant that dies is named, its neighbours are not."""
    data = copy.deepcopy(demo)
    data["case"]["temperature_night"] = {"usual": 8, "lowest": 6}
    data["plants"] = [
        {"id": "bical", "taxon": "Nepenthes bicalcarata", "place": "front", "potted": True, "removable": False},
        {
            "id": "cape",
            "taxon": "Drosera capensis",
            "place": "front",
            "potted": True,
            "removable": True,
            "deadheaded": True,
        },
    ]
    made = content(plan(bench, data))
    assert made["verdict"] == "unsound" and made["problem"] == "Nepenthes bicalcarata"
    outcome = {p["plant"]: p["outcome"] for p in made["plants"]}
    assert outcome["Nepenthes bicalcarata"] in ("declines", "dies") and outcome["Drosera capensis"] in (
        "thrives",
        "keeps",
    )


def test_lime_kills_live_moss_but_not_in_a_saucer_of_its_own(bench, demo):
    """Limestone in a place of the bog's water: a blocker for live Sphagnum, none once its water is its own."""
    data = copy.deepcopy(demo)
    data["plants"] = [{"id": "moss", "taxon": "Sphagnum (live)", "place": "front", "potted": True}]
    data["places"][1]["medium"]["components"] = ["limestone", "peat"]
    assert plan(bench, data).verdict == "unsound"
    data["plants"][0]["own_saucer"] = True
    assert plan(bench, data).verdict in WORKS


def test_lime_runs_downstream_only(bench, demo):
    """A limestone ledge draining into the bog reaches it; a bog draining into the ledge does not carry lime uphill."""
    data = copy.deepcopy(demo)
    data["plants"] = [{"id": "moss", "taxon": "Sphagnum (live)", "place": "front", "potted": True}]
    data["places"][2]["medium"]["components"] = ["limestone", "pumice"]
    assert plan(bench, data).verdict in WORKS
    data["water_units"][1]["flows_to"] = ["bog"]
    assert plan(bench, data).verdict == "unsound"


def test_the_same_taxon_twice_is_legal_in_a_plan(bench, demo):
    """Told apart by their ids."""
    data = copy.deepcopy(demo)
    data["plants"].append(
        {"id": "trap2", "taxon": "Dionaea muscipula", "place": "front", "stage": "seedling", "potted": True}
    )
    names = {p["plant"] for p in content(plan(bench, data))["plants"]}
    assert {"Dionaea muscipula (flytrap)", "Dionaea muscipula (trap2)"} <= names


def rules_on(answer, plant: str) -> set[str]:
    """Ids of the rules that speak of a plant in the reading shown."""
    return {f.rule for f in answer.main.findings if plant in f.plants}


def test_what_rests_dry_in_place_gets_water_of_its_own(bench):
    """A tuberous sundew left in place goes dry where its neighbours stay wet; a cold rest needs no such water."""
    dry = ask_names(bench, ["Drosera erythrorhiza", "Drosera binata var. multifida", "Roridula gorgonias"])
    assert "pot-with-own-saucer" in rules_on(dry, "drosera/erythrorhiza")
    cold = ask_names(bench, ["Dionaea muscipula", "Sarracenia leucophylla"])
    assert not any(f.rule == "pot-with-own-saucer" for f in cold.main.findings)


def test_sun_and_shade_plants_are_told_to_stand_apart(bench):
    """Bands of light that do not meet are no reason against sharing, but two places of light are needed."""
    apart = ask_names(bench, ["Drosera schizandra", "Drosera binata var. multifida", "Nepenthes ampullaria"])
    assert any(f.rule == "group-needs-several-lights" for f in apart.main.findings)
    together = ask_names(bench, ["Drosera schizandra", "Nepenthes ampullaria"])
    assert not any(f.rule == "group-needs-several-lights" for f in together.main.findings)


def test_a_plant_of_windy_hills_is_never_cleared_for_closed_glass(bench):
    """Names alone say nothing of the case, so the need for moving air is a condition."""
    answer = ask_names(bench, ["Drosophyllum lusitanicum"])
    assert answer.verdict == "conditional"
    assert "no-closed-glass" in rules_on(answer, "drosophyllum/lusitanicum")
    assert "no-closed-glass" not in rules_on(ask_names(bench, ["Drosera capensis"]), "drosera/capensis")


def test_a_lift_is_told_in_the_words_of_the_rest(bench):
    """What floats is gathered as winter buds, what is potted is cooled in its pot."""
    afloat = ask_names(bench, ["Aldrovanda vesiculosa", "Nepenthes ampullaria"])
    assert any(f.rule == "lift-out-the-winter-buds" for f in afloat.main.findings)
    potted = ask_names(bench, ["Dionaea muscipula", "Nepenthes ampullaria"])
    rules = {f.rule for f in potted.main.findings}
    assert "lift-out-for-rest" in rules and "lift-out-the-winter-buds" not in rules


def test_a_plant_nothing_is_stated_of_is_uncertain_rather_than_kept(bench, demo):
    """Without temperatures nobody vouches for it, and the reason says that it is not stated."""
    bare = copy.deepcopy(demo)
    bare["plants"] = [p for p in bare["plants"] if p["id"] != "flytrap"]
    for key in ("temperature_day", "temperature_night"):
        bare["case"].pop(key)
    made = content(plan(bench, bare))
    assert {p["outcome"] for p in made["plants"]} == {"uncertain"}
    assert all("not stated" in p["because"] for p in made["plants"])


def test_too_little_light_does_not_buy_a_longer_absence(bench, demo):
    """Months away are chosen for the rest, never to hide a dark place: the flytrap is away as long in the dark."""
    light = content(plan(bench, demo))
    dim = copy.deepcopy(demo)
    for place in dim["places"]:
        place["light"] = {"dli": 1}
    away = {p["plant"]: p.get("away") for p in light["plants"]}
    assert {p["plant"]: p.get("away") for p in content(plan(bench, dim))["plants"]} == away


def test_soap_on_trumpets_is_a_dispute_and_the_patient_is_no_neighbour(bench, demo):
    """Disputed harm is told as such; what a plant itself does not stand is said of the plant that is treated."""
    data = copy.deepcopy(demo)
    data["plants"] = [
        {"id": "jug", "taxon": "Heliamphora nutans", "place": "front", "potted": True, "removable": False},
        {"id": "wort", "taxon": "Pinguicula moranensis", "place": "front", "potted": True, "removable": False},
    ]
    data["treatments"] = [{"agent": "soap", "path": "spray", "on": ["front"]}]
    soaped = plan(bench, data)
    assert "soap-on-pitcher-plants-disputed" in rules_on(soaped, "jug")
    assert not {"treatment-would-harm", "treatment-hurts-the-patient"} & rules_on(soaped, "jug")


def test_months_are_named_for_the_half_of_the_earth_asked(bench):
    """South of the equator the shortest day lies in June, and so do the months away."""
    names = ["Dionaea muscipula", "Nepenthes ampullaria"]
    north, south = (
        next(p["away"] for p in content(ask_names(bench, names, midwinter=m))["plants"] if p.get("away"))
        for m in (12, 6)
    )
    assert (north, south) == ("Nov–Feb", "May–Aug")


def test_verdicts_of_several_readings():
    """Workable either way is conditional; workable under one reading only is unproven."""
    assert worst(["sound", "conditional"]) == "conditional"
    assert worst(["sound", "unsound"]) == "unproven"
    assert worst(["unsound", "unsound"]) == "unsound"
    assert decide([]) == "sound"


TUB = DEMO.with_name("balcony-tub.yaml")


def tub_with(taxon: str) -> dict:
    """The demo tub with one plant at its rim, planted out."""
    data = yaml.safe_load(TUB.read_text(encoding="utf-8"))
    return data | {"plants": [{"id": "guest", "taxon": taxon, "place": "rim", "potted": False}]}


def by_rule(answer) -> dict:
    return {f.rule: f for f in answer.main.findings}


def test_a_plant_renewed_each_year_is_a_condition_that_says_how(bench):
    """An annual is not kept but sown again (common practice, no source)."""
    answer = ask_names(bench, ["Byblis liniflora"])
    assert answer.verdict == "conditional"
    assert "sown again" in by_rule(answer)["renewed-each-year"].says


def test_lime_lover_and_lime_hater_want_pots_of_their_own(bench):
    """A butterwort of tufa beside live moss or a sundew of sour peat: a condition, whichever is named first."""
    lover = "Pinguicula vallisneriifolia"
    for names in ([lover, "Sphagnum palustre"], ["Drosera capensis", lover]):
        answer = ask_names(bench, names)
        found = by_rule(answer)["lime-lover-beside-lime-hater"]
        assert answer.verdict == "conditional" and found.plants[0].endswith("vallisneriifolia")


def test_an_obligatory_rest_is_met_before_a_hot_month_is_dodged(bench):
    """Winter of the tub suits the butterwort's bud; a July peak beyond survival is told as what it is."""
    data = tub_with("Pinguicula grandiflora")
    data["case"]["temperature_day"]["peak"][6] = 45
    rules = by_rule(plan(bench, data))
    assert "peak-beyond-survival" in rules and "obligatory-rest-missed" not in rules


def test_what_the_plan_states_is_not_asked_for(bench):
    """Of a plant whose survived peak nobody stated the plan's own peak is no answer."""
    data = tub_with("Pinguicula lusitanica")
    answer = plan(bench, data)
    asked = [m["what"] for m in content(answer)["measure_first"]]
    assert all("hottest" not in what and "peak" not in what for what in asked)


def test_plants_that_drained_moss_suits_share_one_bed(bench):
    """A tepui bladderwort lives in the tanks of Brocchinia and beside it in drained moss (common practice)."""
    answer = ask_names(bench, ["Utricularia humboldtii", "Brocchinia reducta"])
    assert len(answer.main.beds) == 1


def test_a_weedy_bladderwort_beside_a_small_rosette_is_told(bench):
    """Harmless to sturdy plants, never to be weeded out again: a caution, no condition (common practice)."""
    found = by_rule(ask_names(bench, ["Utricularia bisquamata", "Pinguicula moranensis"]))
    assert found["weedy-creeper-chosen"].severity == "caution"


def test_a_bladderwort_of_wet_mud_needs_no_pool(bench):
    """U. gibba creeps over wet peat too, U. vulgaris floats free (common practice)."""
    rules = {n: by_rule(ask_names(bench, [f"Utricularia {n}", "Genlisea hispidula"])) for n in ("gibba", "vulgaris")}
    assert "floating-plant-needs-pool" in rules["vulgaris"] and "floating-plant-needs-pool" not in rules["gibba"]
    assert rules["gibba"]["water-plant-on-wet-ground"].severity == "caution"
