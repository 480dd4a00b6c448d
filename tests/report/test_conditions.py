"""Conditions as a grower reads them: ranges, how they were got, what they rest on, what they lack. Invented plans."""

import io
import json
import math
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from bogwright.enclosure.climate import heat_lost
from bogwright.enclosure.failing import heat_held, until_too_cold, until_too_hot
from bogwright.enclosure.forecast import Told
from bogwright.enclosure.inputs import gather
from bogwright.enclosure.intervals import always
from bogwright.enclosure.plan import read_plan
from bogwright.enclosure.predict import predict
from bogwright.report import conditions
from bogwright.report.conditions import alike, conditions_content, dew, hours_words, in_words, rows_of, year_in_words
from bogwright.report.conditions_view import show_conditions, tabled
from bogwright.report.terminal import WIDTH
from invented import label_plan

ROOT = Path(__file__).parents[2]
SCHEMA = Draft202012Validator(json.loads((ROOT / "schemas" / "conditions.schema.json").read_text(encoding="utf-8")))


def asked(bench, data=None):
    return conditions_content(bench, read_plan(data or label_plan()))


def part(made, id):
    return rows_of(next(p for p in made["parts"] if p["id"] == id))


def shown(made, **options):
    out = io.StringIO()
    show_conditions(made, out, **options)
    return out.getvalue()


def test_the_content_is_the_forecast(bench):
    """Every condition of the forecast that is shown keeps its ends, to three digits, and its origin."""
    plan = read_plan(label_plan())
    forecast = predict(plan, bench.tables)
    made = asked(bench)
    for told, id, quantities in (
        (forecast.case, "", conditions.CASE),
        (forecast.units["bog"], "bog", conditions.WATER),
        (forecast.places["front"], "front", conditions.PLACE),
    ):
        rows = part(made, id)
        assert list(rows) == [q.key for q in quantities if q.key in told]
        for key, row in rows.items():
            assert row["how"] == told[key].how
            if "months" in row and row["how"] != "unknown":
                assert row["months"][0] == pytest.approx(told[key].value[0], rel=5e-3)
    assert part(made, "front")["moisture"]["words"][0] == list(forecast.places["front"]["moisture"].words[0])
    assert not list(SCHEMA.iter_errors(made))


def test_every_assumption_says_what_rests_on_it_and_how_to_do_better(bench):
    made = asked(bench)
    by_name = {one["name"]: one for one in made["rests_on"]}
    assert not by_name["air_changes"]["stated"] and by_name["air_changes"]["ask"]
    assert "humidity by day" in by_name["air_changes"]["bears_on"]
    assert by_name["panel/watts"]["stated"]
    used = {name for p in made["parts"] for row in p["rows"] for name in row["rests_on"]}
    assert used == set(by_name)
    granted = [one["stated"] for one in made["rests_on"]]
    assert granted == sorted(granted)


def test_what_the_plan_states_is_measured_and_what_it_lacks_is_asked_for(bench):
    data = label_plan()
    data["case"]["humidity"] = [60, 75]
    del data["water_units"][0]["reservoir"], data["water_units"][0]["adds"], data["lamps"][0]["height"]
    made = asked(bench, data)
    assert not list(SCHEMA.iter_errors(made))
    assert part(made, "")["humidity"]["how"] == "measured"
    assert part(made, "front")["dli"]["how"] == "unknown"
    needs = {one["needs"]: one["for"] for one in made["needs"]}
    height = next(n for n in needs if "height of the lamp panel" in n)
    assert needs[height] == ["light at the leaf (PPFD) of front", "light a day (DLI) of front"]
    adds = next(n for n in needs if "water_units: adds" in n)
    assert needs[adds] == ["solids that gather at the roots of bog, its other end"]
    text = shown(made)
    assert "humidity %*" in text and "day °C*" not in text
    assert "at least" in text.split("Water bog")[1].split("Place")[0]
    assert "not predicted: light at the leaf (PPFD), light a day (DLI)" in text


def test_a_plan_of_measured_conditions_alone_rests_on_nothing_granted(bench):
    data = label_plan()
    for key in ("room", "lamps"):
        del data[key]
    data["case"] |= {"temperature_day": {"usual": [20, 24]}, "temperature_night": {"usual": 17}, "humidity": [60, 70]}
    data["case"]["photoperiod"] = [10] * 6 + [14] * 6
    made = asked(bench, data)
    assert not list(SCHEMA.iter_errors(made))
    assert part(made, "")["vpd"]["how"] == "predicted"
    assert "night_vpd" in {r["key"] for p in made["parts"] for r in p["rows"] if r["how"] == "unknown"}
    assert "Jan–Jun" in shown(made) and "Jul–Dec" in shown(made)


def test_a_name_nobody_knows_does_not_keep_the_conditions_back(bench):
    data = label_plan()
    data["plants"].append({"id": "mystery", "taxon": "Drosera nusquam", "place": "front"})
    made = asked(bench, data)
    assert not list(SCHEMA.iter_errors(made))
    assert part(made, "front")["dli"]["how"] == "predicted"
    assert [p["taxa"] for p in made["plants"]] == [["drosera/capensis"], []]
    assert {one["plant"] for one in made["holds_out"]} == {"Drosera capensis"}
    assert "Drosera nusquam" in shown(made).split("Plants nobody here knows")[1]


@pytest.mark.parametrize("everything", [False, True])
def test_the_terminal_keeps_its_width_and_its_order(bench, everything):
    text = shown(asked(bench), everything=everything)
    assert all(len(line) <= WIDTH for line in text.splitlines())
    heads = ["The year at a glance", "Air\n", "Water bog", "Place front: Drosera capensis", "If something fails"]
    heads += ["What this rests on"]
    places = [text.index(head) for head in heads]
    assert places == sorted(places)
    assert ("bears on" in text) == everything


def test_months_alike_stand_on_one_line_and_wide_tables_go_on_below():
    columns = [(f"head {n}", ["10–20 of it"] * 6 + ["30"] * 6) for n in range(12)]
    lines = tabled(columns)
    assert len(lines) == 6 and all(len(line) <= WIDTH for line in lines)
    assert [line.split()[0] for line in lines] == ["head", "Jan–Jun", "Jul–Dec"] * 2
    assert sum(line.count("head") for line in lines) == 12
    assert alike(["a"] * 2 + ["b"] * 9 + ["a"]) == [("Dec–Feb", "a"), ("Mar–Nov", "b")]


def test_open_ends_in_words():
    assert in_words((60.0, None), "%") == "at least 60 %"
    assert in_words((None, 5.0), "mg/L") == "up to 5 mg/L"
    assert in_words((None, None), "kPa") == "unknown"
    assert in_words((16.0, 20.1), "°C") == "16–20.1 °C"
    year = {"months": [[1.0, 2.0]] * 3 + [[3.0, None]] * 9, "unit": "L"}
    assert year_in_words(year) == "1–2 L (Jan–Mar); at least 3 L (Apr–Dec)"


def test_dew_in_words(bench):
    made = asked(bench)
    assert dew(made) == ["The panes may drip by day and at night."]
    rows = part(made, "")
    rows["condensing"]["months"] = [[0.0, 0.0]] * 12
    rows["night_condensing"]["months"] = [[0.4, 2.0]] * 3 + [[0.0, 1.0]] * 9
    assert dew(made) == [
        "The panes stay clear by day.",
        "The panes drip at night (Jan–Mar).",
        "The panes may drip at night (Apr–Dec).",
    ]


AIR = {
    "temperature_day": Told(((24.0, 26.0),) * 12, "measured"),
    "temperature_night": Told(((15.0, 18.0),) * 12, "measured"),
}


def cold_room(**vessel):
    data = label_plan()
    data["room"]["temperature_night"] = {"usual": [16, 19], "lowest": -8}
    data["case"]["vessel"] |= {"air_changes": 1, **vessel}
    return read_plan(data)


def inputs_of(plan, bench):
    return gather(plan, bench.tables.assumptions, bench.tables.lamps)


def test_hours_until_too_cold_by_newtons_law(bench):
    """C/L·ln((start − outside)/(limit − outside)): the least loss gives the longest time."""
    plan = cold_room()
    inputs = inputs_of(plan, bench)
    lost = heat_lost(plan, inputs, always(0.0, 26.0))[0]
    told = until_too_cold(plan, inputs, AIR, (0.0, 2.0))
    heat = 12 * 4186
    soonest = heat / lost[1] / 3600 * math.log((15 + 8) / (2 + 8))
    latest = heat / lost[0] / 3600 * math.log((18 + 8) / (0 + 8))
    assert told.value[0] == pytest.approx((soonest, latest))
    assert {"bog/litres", "room_lowest", "wall_conductance"} <= set(told.rests_on)


def test_vents_that_warmth_drives_make_it_cool_sooner_at_the_worst(bench):
    plain, vented = cold_room(), cold_room(vents={"cm2": 60, "rise": 40})
    first, second = (until_too_cold(p, inputs_of(p, bench), AIR, (2.0, 2.0)).value[0] for p in (plain, vented))
    assert second[0] < first[0] and second[1] == pytest.approx(first[1])


def test_open_water_tells_its_carbon_dioxide_and_ph(bench):
    data = label_plan()
    assert not {"co2", "ph"} & set(part(asked(bench, data), "bog"))
    data["water_units"][0]["open_water"] = {"depth": 5, "carbon": "open"}
    made = asked(bench, data)
    assert not list(SCHEMA.iter_errors(made))
    assert part(made, "bog")["co2"]["how"] == part(made, "bog")["ph"]["how"] == "predicted"


def test_thick_panes_hold_longer_and_a_night_beyond_the_limit_is_none(bench):
    plain, thick = cold_room(), cold_room(wall_mm=10)
    first, second = (until_too_cold(p, inputs_of(p, bench), AIR, (2.0, 2.0)).value[0] for p in (plain, thick))
    panes = 2 * (0.8 * 0.4 + 0.8 * 0.5 + 0.4 * 0.5) * 0.01 * 2500 * 720
    held = [heat_held(p, inputs_of(p, bench))[0][0] for p in (plain, thick)]
    assert held == pytest.approx([12 * 4186, 12 * 4186 + panes])
    assert second[0] > first[0] and second[1] > first[1]
    assert until_too_cold(plain, inputs_of(plain, bench), AIR, (16.0, 16.0)).value[0][0] == 0.0
    never = until_too_cold(plain, inputs_of(plain, bench), AIR, (-9.0, -9.0)).value[0]
    assert never[0] >= 1e9


def test_heat_without_cooling(bench):
    plan = read_plan(label_plan())
    hot = until_too_hot(plan, inputs_of(plan, bench), AIR, (27.0, 27.0)).value[0]
    assert 0 < hot[0] < hot[1]
    assert until_too_hot(plan, inputs_of(plan, bench), AIR, (37.8, 37.8)).value[0][0] >= 1e9
    assert until_too_hot(plan, inputs_of(plan, bench), AIR, (25.0, 25.0)).value[0][0] == 0.0


def test_what_holding_out_needs_is_named(bench):
    data = label_plan()
    del data["water_units"][0]["litres"], data["room"]
    made = asked(bench, data)
    assert all("needs" in one for one in made["holds_out"])
    assert "not worked out: needs" in shown(made)
    words = [hours_words(one) for one in asked(bench)["holds_out"]]
    assert words == ["never: it does not get that far"] * 2


def test_nothing_can_fail_in_the_open(bench):
    data = label_plan()
    data["case"]["vessel"]["openings"] = "outdoor"
    assert asked(bench, data)["holds_out"] == []


def test_the_signs_are_told_where_there_are_any(bench):
    assert "VPD: how hard the air dries" in shown(asked(bench))
    bare = label_plan()
    for key in ("room", "lamps", "window", "latitude"):
        bare.pop(key, None)
    bare["case"] = {"vessel": {"openings": "unknown"}, "year": {"kind": "none"}}
    bare["water_units"] = [{"id": unit["id"]} for unit in bare["water_units"]]
    bare["places"] = [{"id": place["id"], "water": place["water"]} for place in bare["places"]]
    assert "VPD: how hard" not in shown(asked(bench, bare))


def test_hours_in_words():
    one = {"hours": [3.21, 9.87], "months": "Dec–Feb"}
    assert hours_words(one) == "after 3.2 h to 9.9 h (Dec–Feb)"
    assert hours_words({"hours": [5.0, None], "months": "Jan"}) == "after 5 h at the soonest, or never (Jan)"
    assert hours_words({"hours": [0.0, 0.0], "months": "Jan"}).startswith("at once")
    assert hours_words({"hours": [120.0, 240.0], "months": "Jan"}) == "after 5 days to 10 days (Jan)"
