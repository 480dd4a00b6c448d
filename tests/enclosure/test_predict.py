"""Conditions of a plan from labels: each an interval, each with what it rests on or lacks."""

from __future__ import annotations

import json
import re
from pathlib import Path

import pytest

from bogwright.enclosure.climate import Vents, _settled, _vapour
from bogwright.enclosure.conditions import conditions
from bogwright.enclosure.inputs import gather
from bogwright.enclosure.plan import UNKNOWN, read_plan
from bogwright.enclosure.predict import filled, foreseen, predict
from bogwright.enclosure.tables import Tables
from bogwright.physics.air import absolute_humidity, saturation_content, vapour_pressure_deficit
from bogwright.physics.daylight import MIDMONTH, day_length
from bogwright.physics.heat import heat_loss
from bogwright.physics.light import rectangle_factor
from bogwright.physics.water import co2_in_water, cycle_end, days_until_dry

ROOT = Path(__file__).parents[2]
CASE = ("temperature_day", "temperature_night", "peak", "lowest", "humidity", "night_humidity", "photoperiod", "vpd")


def told(data, tables, part, key, id=""):
    fresh = Tables(tables.assumptions, tables.lamps, tables.materials)  # a test may have changed what they hold
    forecast = predict(read_plan(data), fresh)
    return forecast.case[key] if part == "case" else getattr(forecast, part)[id][key]


def span(data, tables, part, key, id="", month=0):
    return told(data, tables, part, key, id).value[month]


def test_everything_is_foreseen_from_labels(data, tables):
    """A plan without one measurement gets every condition, each with what it rests on."""
    forecast = predict(read_plan(data), tables)
    for one in (
        *(forecast.case[k] for k in CASE),
        *forecast.units["tray"].values(),
        *(v for k, v in forecast.places["bed"].items()),
    ):
        assert one.how == "predicted" and one.rests_on, one
        assert all(low <= high for low, high in one.value)


def test_a_measured_value_goes_before_a_prediction(data, tables):
    data["case"]["humidity"] = [61, 64]
    data["places"][0]["light"] = {"dli": 9}
    data["water_units"][0]["root_solids"] = 40
    data["water_units"][0]["moisture"] = "wet"
    forecast = predict(read_plan(data), tables)
    assert forecast.case["humidity"].how == "measured" and forecast.case["humidity"].value[3] == (61, 64)
    assert forecast.places["bed"]["dli"].how == "measured" and forecast.places["bed"]["dli"].value[0] == (9, 9)
    assert forecast.units["tray"]["root_solids"].how == "measured"
    assert forecast.places["bed"]["moisture"].words[0] == ("wet", "wet")
    assert filled(data, forecast)["case"]["humidity"] == [61, 64]


def test_a_month_left_out_is_foreseen(data, tables):
    """Of twelve values the one that is unknown is foreseen; the others stand as they were measured."""
    foreseen_ = span(data, tables, "case", "humidity", month=11)
    data["case"]["humidity"] = [60] * 11 + ["unknown"]
    one = told(data, tables, "case", "humidity")
    assert one.how == "predicted" and one.value == ((60, 60),) * 11 + (foreseen_,)
    assert foreseen(data, tables).year("humidity") == one.value
    data["water_units"][0]["moisture"] = ["flooded"] * 11 + ["unknown"]
    words = told(data, tables, "places", "moisture", "bed").words
    assert words[:11] == (("flooded", "flooded"),) * 11 and words[11] != words[0]


def test_a_lamp_may_lengthen_the_day(data, tables):
    """12 h of a lamp beside a window: in December from 12 h, all by day, to 20 h, all after dark."""
    data["window"] = {"share": 0.3}
    low, high = span(data, tables, "case", "photoperiod", month=11)
    assert low == 12 and high == pytest.approx(12 + day_length(50, MIDMONTH[11]) + 0.5)
    assert "after_dark" in told(data, tables, "case", "photoperiod").rests_on
    tables.assumptions["after_dark"]["value"] = 0.75
    assert span(data, tables, "case", "photoperiod", month=11)[0] == pytest.approx(9 + day_length(50, MIDMONTH[11]))


@pytest.mark.parametrize(
    ("lack", "part", "key", "says"),
    [
        (lambda d: d.pop("room"), "case", "temperature_day", "room: temperature_day"),
        (lambda d: d.pop("room"), "case", "temperature_night", "room: temperature_night: usual"),
        (lambda d: d.pop("room"), "case", "lowest", "room: temperature_night: lowest"),
        (lambda d: d["room"].pop("humidity"), "case", "humidity", "room: humidity"),
        (lambda d: d["case"].pop("surfaces"), "case", "humidity", "case: surfaces"),
        (lambda d: d["case"]["vessel"].pop("inside_cm"), "case", "humidity", "inside_cm"),
        (lambda d: d["lamps"][0].pop("hours"), "case", "photoperiod", "lamps: hours"),
        (lambda d: d["lamps"][0].pop("mounted"), "case", "temperature_day", "lamps: mounted"),
        (lambda d: (d["lamps"][0].pop("lumens"), d["lamps"][0].pop("watts")), "bed", "dli", "lamps: lumens"),
        (lambda d: d["lamps"][0].pop("size_cm"), "bed", "ppfd", "size_cm"),
        (lambda d: d["lamps"][0].pop("height"), "bed", "ppfd", "lamps: height"),
        (lambda d: d["places"][0].pop("crown_height"), "bed", "ppfd", "crown_height"),
        (lambda d: d["places"][0].pop("medium"), "bed", "suction", "medium: layers"),
        (lambda d: d["water_units"][0].pop("level"), "bed", "suction", "water_units: level"),
        (lambda d: d["water_units"][0].pop("litres"), "tray", "root_solids", "water_units: litres"),
        (lambda d: d["water_units"][0].pop("reservoir"), "tray", "days_to_refill", "water_units: reservoir"),
    ],
)
def test_what_is_lacking_is_asked_for(data, tables, lack, part, key, says):
    """Nothing is made up for what only the grower can tell."""
    lack(data)
    forecast = predict(read_plan(data), tables)
    one = {"case": forecast.case, "bed": forecast.places["bed"], "tray": forecast.units["tray"]}[part][key]
    assert one.how == "unknown" and one.value == (UNKNOWN,) * 12
    assert any(says in need for need in one.needs), one.needs


def test_what_is_asked_for_is_named_by_keys_of_the_plan():
    """Every key that the words of the enclosure name in brackets stands in the plan's schema."""
    schema = json.loads((ROOT / "schemas" / "plan.schema.json").read_text(encoding="utf-8"))
    code = "".join(p.read_text(encoding="utf-8") for p in (ROOT / "engine/bogwright/enclosure").glob("*.py"))
    bracketed = re.findall(r'"[^"\n]*\(([a-z_]+(?:: [a-z_{}]+)+(?:,[^)\n]*)?)\)[^"\n]*"', code)
    asked = {key for text in bracketed for key in re.split(r", (?:or )?", text)}
    assert len(asked) > 20

    def known(node, steps):
        while "$ref" in node or "items" in node:
            node = schema["$defs"][node["$ref"].rpartition("/")[2]] if "$ref" in node else node["items"]
        if not steps:
            return True
        return steps[0] in node.get("properties", ()) and known(node["properties"][steps[0]], steps[1:])

    written = [key.replace("{part}", "day").replace("{key}", "usual").replace("{asked}", "humidity") for key in asked]
    assert [key for key in written if not known(schema, key.split(": "))] == []


def test_what_is_taken_for_granted_of_a_lamp_names_it(data, tables):
    """Two lamps: two assumptions that a reader can tell apart."""
    data["lamps"].append({**data["lamps"][0], "id": "second"})
    known = predict(read_plan(data), tables).inputs.known
    assert known["panel/label"].title == "label (panel)" and known["second/label"].title == "label (second)"


def test_what_feeding_adds_is_not_taken_for_none(data, tables):
    """Without a word on what feeding gives, only the low end of the salts is told."""
    del data["water_units"][0]["adds"]
    one = told(data, tables, "units", "root_solids", "tray")
    assert one.value[0][0] > 0 and one.value[0][1] == UNKNOWN[1]
    assert any("adds" in need for need in one.needs)


def test_light_is_the_label_over_the_lamp_seen_from_the_crown(data, tables):
    """5,000 lm of 66 to 72 lx per µmol, from 60 by 20 cm, 30 cm above, through 0.8 to 0.9 of lid, by hand."""
    factor = rectangle_factor(60, 20, 0, 0, 30)
    low, high = 5000 / 72 / 0.12 * factor * 0.8 * 1 * 0.8, 5000 / 66 / 0.12 * factor * 1 * 1.2 * 0.9
    assert span(data, tables, "places", "ppfd", "bed") == pytest.approx((low, high))
    assert span(data, tables, "places", "dli", "bed") == pytest.approx((low * 0.0432, high * 0.0432))


def test_light_falls_with_distance_offset_and_neighbours(data, tables):
    here = span(data, tables, "places", "ppfd", "bed")
    data["lamps"][0]["height"] = 70
    further = span(data, tables, "places", "ppfd", "bed")
    data["places"][0]["at_cm"] = [5, 5]
    aside = span(data, tables, "places", "ppfd", "bed")
    data["places"][0]["beside"] = [{"rise": 30, "gap": 10}]
    shaded = span(data, tables, "places", "ppfd", "bed")
    assert here > further > aside
    assert shaded[0] < aside[0] and shaded[1] == aside[1]


def test_a_reading_goes_before_the_label(data, tables):
    """120 µmol 30 cm below, at the same distance: what the lid lets through of it, whatever the lumens say."""
    data["lamps"][0] |= {"reading": {"below_cm": 30, "ppfd": 120}, "lumens": 1}
    assert span(data, tables, "places", "ppfd", "bed") == pytest.approx((96, 108))


def test_a_place_without_its_position_gets_the_hull_of_the_floor(data, tables):
    middle = span(data, tables, "places", "ppfd", "bed")
    del data["places"][0]["at_cm"]
    anywhere = span(data, tables, "places", "ppfd", "bed")
    assert anywhere[0] < middle[0] and anywhere[1] == pytest.approx(middle[1])


def test_a_photon_flux_says_which_label_it_comes_from(data, tables):
    """Lumens before watts; a stated flux before both."""

    def flux():
        return predict(read_plan(data), tables).inputs.known["panel/flux"].title

    assert flux() == "photon flux of panel, from its lumens"
    del data["lamps"][0]["lumens"]
    assert flux() == "photon flux of panel, from its watts"
    data["lamps"][0]["photon_flux"] = 90
    assert flux() == "photon flux of panel"


def test_a_red_blue_lamp_is_told_by_its_watts(data, tables):
    data["lamps"][0] |= {"kind": "red-blue"}
    del data["lamps"][0]["lumens"]
    low, high = span(data, tables, "places", "ppfd", "bed")
    assert 0 < low < high
    data["lamps"][0] |= {"reading": {"below_cm": 30, "illuminance": 4000}}
    assert told(data, tables, "places", "ppfd", "bed").how == "unknown"


def test_windows_give_the_light_of_the_latitude(data, tables):
    del data["lamps"]
    data["window"] = {"share": [0.2, 0.4]}
    dli, hours = told(data, tables, "places", "dli", "bed").value, told(data, tables, "case", "photoperiod").value
    assert dli[5][0] > dli[11][1]  # June at its dimmest beats December at its brightest
    for month, day in enumerate(MIDMONTH):
        length = day_length(50, day)
        assert hours[month][0] == pytest.approx(length) and hours[month][1] <= length + 0.5 + 1e-9


def test_lamp_and_openings_set_the_warmth(data, tables):
    """Warmer than the room by the lamp; more so with the lamp inside or the lid shut; the peak more than the day."""
    vented = span(data, tables, "case", "temperature_day")
    data["lamps"][0]["mounted"] = "inside"
    inside = span(data, tables, "case", "temperature_day")
    data["case"]["vessel"]["openings"] = "closed"
    shut = span(data, tables, "case", "temperature_day")
    assert vented[0] > 20 and vented[1] < inside[1] < shut[1]
    peak = span(data, tables, "case", "peak")
    data["case"]["sun_on_glass"] = "hours"
    assert span(data, tables, "case", "peak")[1] > peak[1] + 10  # closed glass in the sun
    del data["lamps"]
    data["case"]["sun_on_glass"] = "none"
    assert span(data, tables, "case", "temperature_day") == (20, 22)


def test_humidity_lies_between_room_and_wet_surface(data, tables):
    vented = span(data, tables, "case", "humidity")
    assert 40 < vented[0] < vented[1] <= 100
    data["case"]["vessel"]["air_changes"] = 0
    shut = span(data, tables, "case", "humidity")
    # without any exchange the air is saturated at the coldest pane, half way to the room
    for warm, high in zip(span(data, tables, "case", "temperature_day"), (20, 22), strict=True):
        assert shut[0] - 1e-6 <= 100 * saturation_content((warm + high) / 2) / saturation_content(warm) <= 100
    data["case"]["vessel"]["air_changes"] = 1e4
    blown = span(data, tables, "case", "humidity")
    warm = span(data, tables, "case", "temperature_day")
    assert blown[1] < 55 and blown[0] == pytest.approx(
        100 * absolute_humidity(20, 40) / saturation_content(20 + warm[1] - 22), abs=3
    )


def test_the_deficit_is_that_of_temperature_and_humidity(data, tables):
    data["case"] |= {"temperature_day": {"usual": 25}, "humidity": 60}
    assert span(data, tables, "case", "vpd") == pytest.approx((vapour_pressure_deficit(25, 60),) * 2)


def test_outdoors_the_weather_is_the_case(data, tables):
    del data["lamps"]
    data["case"]["vessel"] = {"openings": "outdoor"}
    forecast = predict(read_plan(data), tables)
    assert forecast.case["temperature_day"].value[0] == (20, 22) and forecast.case["humidity"].value[0] == (40, 50)
    assert forecast.units["tray"]["evaporation"].how == "unknown"
    assert any("top_up" in need for need in forecast.units["tray"]["evaporation"].needs)


def test_the_growers_own_top_up_goes_before_the_air_balance(data, tables):
    data["water_units"][0]["top_up"] = 0.7
    assert span(data, tables, "units", "evaporation", "tray") == pytest.approx((0.1, 0.1))
    assert span(data, tables, "units", "days_to_refill", "tray") == pytest.approx((days_until_dry(2, 0.1),) * 2)


def test_salts_gather_until_a_flush(data, tables):
    data["water_units"][0] |= {"top_up": 0.7, "supply": {"solids": 20}, "adds": 7, "exchanged": False}
    never = span(data, tables, "units", "root_solids", "tray")
    assert never == pytest.approx((20 + (0.1 * 20 + 1) * 365.25 / 8,) * 2)
    data["water_units"][0]["flush"] = {"every_weeks": 4, "litres": 8}
    flushed = span(data, tables, "units", "root_solids", "tray")
    assert flushed == pytest.approx((cycle_end(20, 0.1, 8, 1, 28, 8),) * 2)
    assert flushed[1] < never[0]


def test_moisture_follows_the_height_above_the_water(data, tables):
    classes = []
    for level in (17, 12, 4, 0):
        data["water_units"][0]["level"] = level
        classes.append(told(data, tables, "places", "moisture", "bed").words[0])
    # roots 2 to 4 cm below crowns at 16 cm: wet up to 10 cm of suction, damp beyond
    assert classes == [("flooded", "flooded"), ("wet", "wet"), ("wet", "damp"), ("damp", "damp")]
    suctions = []
    for level in (12, 8, 4, 0):
        data["water_units"][0]["level"] = level
        suctions.append(span(data, tables, "places", "suction", "bed"))
    assert suctions == sorted(suctions)


def test_open_gravel_breaks_the_lift(data, tables):
    """A thick coarse layer between water and peat: the top may dry out; the same height of sand keeps it wet."""
    data["places"][0]["medium"]["layers"] = [{"cm": 12, "material": "gravel"}, {"cm": 4, "material": "peat"}]
    broken = told(data, tables, "places", "moisture", "bed").words[0]
    data["places"][0]["medium"]["layers"][0]["material"] = "sand"
    whole = told(data, tables, "places", "moisture", "bed").words[0]
    assert broken[1] == "dry" and whole[1] in ("damp", "wet")


def test_a_medium_whose_lift_nobody_measured_may_dry(data, tables):
    data["places"][0]["medium"]["layers"] = [{"cm": 16, "material": "moss"}]
    forecast = predict(read_plan(data), tables)
    assert forecast.places["bed"]["moisture"].words[0][1] == "dry"
    assert forecast.places["bed"]["air_filled_porosity"].how == "unknown"
    data["places"][0]["medium"]["layers"] = [{"cm": 16, "material": "bark"}]
    low, high = span(data, tables, "places", "air_filled_porosity", "bed")
    assert 0 < low < high <= 85


def test_a_bed_that_does_not_reach_its_water(data, tables):
    """After a watering it holds what its height above its own base lets it; then it dries."""
    data["places"][0] |= {"crown_height": 30}
    words = told(data, tables, "places", "moisture", "bed").words[0]
    assert words == ("damp", "dry")


def test_roots_swing_less_than_the_air(data, tables):
    day, night = span(data, tables, "case", "temperature_day"), span(data, tables, "case", "temperature_night")
    low, high = span(data, tables, "places", "root_temperature", "bed")
    assert night[0] < low < high < day[1]


def test_open_water_breathes(data, tables):
    data["water_units"][0]["open_water"] = {"depth": 10, "carbon": "open", "temperature": 20}
    low, high = span(data, tables, "units", "co2", "tray")
    assert low == pytest.approx(0.3 * co2_in_water(20, 400)) and high == pytest.approx(2 * co2_in_water(20, 1200))
    sour, sweet = span(data, tables, "units", "ph", "tray")
    data["water_units"][0]["open_water"]["carbon"] = "litter"
    assert span(data, tables, "units", "ph", "tray")[0] < sour < sweet


def test_inputs_that_a_formula_does_not_cover_are_refused(data, tables):
    data["room"]["temperature_day"]["usual"] = 65
    one = told(data, tables, "case", "humidity")
    assert one.how == "unknown" and any("outside" in need for need in one.needs)


def test_narrowing_an_input_narrows_what_rests_on_it(data, tables):
    plan = read_plan(data)
    inputs = gather(plan, tables.assumptions, tables.lamps)
    whole = predict(plan, tables, inputs).case["humidity"].value[0]
    low = predict(plan, tables, inputs.narrowed("air_changes", 0)).case["humidity"].value[0]
    high = predict(plan, tables, inputs.narrowed("air_changes", 1)).case["humidity"].value[0]
    assert whole[0] <= high[0] < low[0] and high[1] < low[1] <= whole[1]


def test_a_pot_with_its_own_saucer_is_not_judged_by_the_bed(data, tables):
    plan = foreseen(data, tables)
    bed = plan.places["bed"]
    assert conditions(plan, bed, tables.lamps)[0].moisture != "?"
    assert conditions(plan, bed, tables.lamps, potted_saucer=True)[0].moisture == "?"


def test_a_plan_that_tells_nothing_of_its_build_stays_as_it_is(data, tables):
    for key in ("room", "lamps"):
        del data[key]
    del data["places"][0]["medium"]
    data["water_units"] = [{"id": "tray", "moisture": "wet"}]
    plan = foreseen(data, tables)
    assert plan.case == data["case"] and plan.places["bed"].given == data["places"][0]


def test_alkalinity_gathers_like_solids_and_limestone_knows_no_bound(data, tables):
    data["water_units"][0] |= {"top_up": 0.7, "supply": {"solids": 20, "alkalinity": 10}, "exchanged": False}
    plain = span(data, tables, "units", "root_alkalinity", "tray")
    assert plain == pytest.approx((10 + 0.1 * 10 * 365.25 / 8,) * 2)
    data["water_units"].append(
        {"id": "pot", "level": 4, "flows_to": ["tray"], "supply": {"solids": 20, "alkalinity": 10}}
    )
    tables.materials["limestone"] = {
        "title": "limestone",
        "lime": "carbonate",
        "retention": {"not_predicted": "coarse"},
    }
    data["places"].append({"id": "rock", "water": "pot", "medium": {"components": ["limestone"]}})
    limed = told(data, tables, "units", "root_alkalinity", "tray")
    assert limed.value[0][0] <= plain[0] and limed.value[0][1] == UNKNOWN[1] and "limestone of rock" in limed.needs[0]


def test_lux_at_the_leaf_is_a_measurement(data, tables):
    """12,000 lx under the white lamp of 66 to 72 lx per µmol, for 12 hours."""
    data["places"][0]["light"] = {"illuminance": 12000, "lamp": "white"}
    forecast = predict(read_plan(data), tables)
    assert forecast.places["bed"]["ppfd"].how == "measured"
    low, high = forecast.places["bed"]["dli"].value[0]
    assert (low, high) == pytest.approx((12000 / 72 * 0.0432, 12000 / 66 * 0.0432))


def test_open_water_is_as_warm_as_its_air(data, tables):
    data["water_units"][0]["open_water"] = {"depth": 10, "carbon": "open"}
    plan = foreseen(data, tables)
    low, high = plan.water_units["tray"].year("open_water", "temperature")[0]
    assert low == pytest.approx(16) and high > 20


def test_gravel_under_a_drained_pot_keeps_it_wetter(data, tables):
    """Open gravel below the peat perches the water: the roots stand wetter than over the same depth of peat."""
    data["places"][0] |= {"crown_height": 40}
    spans = {}
    for bottom in ("gravel", "peat"):
        data["places"][0]["medium"]["layers"] = [{"cm": 14, "material": bottom}, {"cm": 8, "material": "peat"}]
        spans[bottom] = span(data, tables, "places", "suction", "bed")
    assert spans["gravel"][0] < spans["peat"][0] and spans["gravel"][1] == spans["peat"][1] == UNKNOWN[1]


def test_sun_warms_the_usual_day_as_well(data, tables):
    """Hours of sun on glass, or a greenhouse: the usual high may be far above the room, on a dull day it is not."""
    del data["lamps"]
    data["case"]["photoperiod"] = 12
    dull = span(data, tables, "case", "temperature_day")
    data["case"]["sun_on_glass"] = "hours"
    sunny, peak = span(data, tables, "case", "temperature_day"), span(data, tables, "case", "peak")
    assert sunny[0] <= dull[0] and sunny[1] > dull[1] + 10 and peak[1] >= sunny[1]
    humid = told(data, tables, "case", "humidity")
    assert humid.how == "predicted" and humid.value[0][0] < 40  # hot glass is dry air
    data["case"]["year"]["kind"] = "outdoor"  # wind outside carries off more
    assert span(data, tables, "case", "temperature_day")[1] < sunny[1]


def test_a_cooled_case_is_not_told_its_humidity(data, tables):
    """A cooler below the room takes out vapour: by night nothing is told, by day, uncooled, it is."""
    data["case"]["temperature_night"] = {"usual": 10}
    assert told(data, tables, "case", "humidity").how == "predicted"
    for key in ("night_humidity", "night_condensing", "leaving"):
        one = told(data, tables, "case", key)
        assert one.how == "unknown" and any("cools" in need for need in one.needs), key


def test_measured_heat_beyond_the_formula_is_told_not_raised(data, tables):
    data["case"] |= {"temperature_day": {"usual": 65}, "humidity": 50}
    one = told(data, tables, "case", "vpd")
    assert one.how == "unknown" and any("outside" in need for need in one.needs)


def test_evaporation_takes_part_of_the_lamps_heat(data, tables):
    """Panes, air and vapour together carry off what the lamp brings; a dry room draws more vapour."""
    vents = Vents(0.002, 0.2)
    warm = _settled(1.5, vents, 30.0, 4.0, 2.0, 20.0, 40.0, 3.0)
    gone = _vapour(vents, 20.0, warm, 40.0, 2.0, 3.0).leaving
    assert warm * heat_loss(1.5, 4.0, 2.0 + vents.flow(warm)) + 0.68 * gone == pytest.approx(30, rel=1e-3)
    moist = dict(data, room=data["room"] | {"humidity": 90})
    assert span(data, tables, "case", "temperature_day")[0] < span(moist, tables, "case", "temperature_day")[0]


def test_each_lamp_counts_for_its_own_hours(data, tables):
    """Two lamps alike, one for 12 and one for 6 hours, give one and a half times the light of the first alone."""
    alone = span(data, tables, "places", "dli", "bed")
    data["lamps"].append(data["lamps"][0] | {"id": "second", "hours": 6})
    both = span(data, tables, "places", "dli", "bed")
    assert both == pytest.approx((1.5 * alone[0], 1.5 * alone[1]))
    assert span(data, tables, "case", "photoperiod") == (12, 12)


def test_a_reading_at_the_window_is_not_counted_twice(data, tables):
    """100 µmol measured for the 10 h of light are 3.6 mol a day, whatever share of the daylight the plan tells."""
    del data["lamps"]
    data["window"] = {"share": 0.3}
    data["case"]["photoperiod"] = 10
    data["places"][0]["light"] = {"ppfd": 100}
    assert span(data, tables, "places", "dli", "bed") == pytest.approx((3.6, 3.6))


def test_an_open_shelf_has_no_lid_to_pass(data, tables):
    lidded = span(data, tables, "places", "ppfd", "bed")
    data["case"]["vessel"]["openings"] = "open"
    tables.assumptions["air_changes"]["by"]["open"] = [5, 60]
    perhaps = span(data, tables, "places", "ppfd", "bed")
    del data["case"]["vessel"]["inside_cm"]
    shelf = span(data, tables, "places", "ppfd", "bed")
    assert perhaps[0] == pytest.approx(lidded[0]) and perhaps[1] == pytest.approx(lidded[1] / 0.9)
    assert shelf[0] == pytest.approx(lidded[0] / 0.8) and shelf[1] == pytest.approx(perhaps[1])


def test_salts_of_a_year_are_those_of_all_its_months(data, tables):
    """Summer's salts are still there in January: 0.7 L a week in half of the months is 0.05 L a day all year."""
    data["water_units"][0] |= {"top_up": [0] * 6 + [0.7] * 6, "supply": {"solids": 20}, "adds": 0, "exchanged": False}
    year = told(data, tables, "units", "root_solids", "tray").value
    assert year == ((pytest.approx(20 + 0.05 * 20 * 365.25 / 8),) * 2,) * 12
    data["water_units"][0]["flush"] = {"every_weeks": 20, "litres": 8}
    rare = told(data, tables, "units", "root_solids", "tray").value
    assert rare == ((20, pytest.approx(cycle_end(20, 0.1, 8, 0, 140, 8))),) * 12


def test_whether_water_is_renewed_is_not_taken_for_never(data, tables):
    """Not said: anything from a month's to a year's salts. Outdoors rain may have washed all of it out."""
    data["water_units"][0] |= {"top_up": 0.7, "supply": {"solids": 20}, "adds": 0}
    low, high = span(data, tables, "units", "root_solids", "tray")
    assert low == pytest.approx(20 + 2 / 8 * 365.25 / 12) and high == pytest.approx(20 + 2 / 8 * 365.25)
    data["water_units"][0]["exchanged"] = False
    data["case"]["vessel"]["openings"] = "outdoor"
    assert span(data, tables, "units", "root_solids", "tray") == pytest.approx((20, high))


def test_salts_run_down_into_the_next_water(data, tables):
    """A bog below a hard ledge may be as salty as what runs in, and gathers that; unread above, it has no bound."""
    data["water_units"][0] |= {"top_up": 0.7, "supply": {"solids": 20}, "adds": 0, "exchanged": True}
    ledge = {"id": "ledge", "flows_to": ["tray"], "supply": {"solids": 200}, "root_solids": [200, 300]}
    data["water_units"].append(ledge)
    low, high = span(data, tables, "units", "root_solids", "tray")
    assert low < 30 and high == pytest.approx(300 + 0.1 * 300 * 365.25 / 12 / 8)
    del ledge["root_solids"]
    one = told(data, tables, "units", "root_solids", "tray")
    assert one.value[0][1] == UNKNOWN[1] and any("ledge runs into it" in need for need in one.needs)


def test_peat_sours_open_water(data, tables):
    """The formula is of clear water: over peat or litter only its high end is told."""
    data["water_units"][0]["open_water"] = {"depth": 10, "carbon": "open", "temperature": 20}
    clear = span(data, tables, "units", "ph", "tray")
    tables.materials["peat"]["ph"] = {"value": [3.0, 4.5]}
    one = told(data, tables, "units", "ph", "tray")
    assert one.value[0] == (UNKNOWN[0], clear[1]) and any("open_water: ph" in need for need in one.needs)


def test_an_open_shelf_dries_by_what_its_room_lacks(data, tables):
    """0.245 m², 40 to 90 % of it wet, at 6 to 12 m/h into a room of 20 °C and 50 %: by hand."""
    data["case"]["vessel"] = {"openings": "open"}
    data["case"] |= {"temperature_day": {"usual": 20}, "temperature_night": {"usual": 20}, "photoperiod": 12}
    data["room"]["humidity"] = 50
    lacks = saturation_content(20) / 2
    low, high = span(data, tables, "units", "evaporation", "tray")
    assert low == pytest.approx(0.245 * 0.4 * 6 * lacks * 24 / 1000)
    assert high == pytest.approx(0.245 * 0.9 * 12 * lacks * 24 / 1000)
    assert low / 0.245 > 0.3 and high / 0.245 < 3  # litres a square metre, as trays on a shelf lose
    assert told(data, tables, "places", "moisture", "bed").how == "predicted"
    del data["places"][0]["size_cm"]
    one = told(data, tables, "units", "evaporation", "tray")
    assert one.how == "unknown" and any("size_cm" in need for need in one.needs)


def test_an_inside_lamp_need_not_leave_all_its_power(data, tables):
    """Light leaves through the panes, and a driver may hang outside: the warmth is told from 0.7 of the watts up."""
    data["lamps"][0]["mounted"] = "inside"
    low, high = span(data, tables, "case", "temperature_day")
    tables.assumptions["heat_inside"]["value"] = [1, 1]
    whole = span(data, tables, "case", "temperature_day")
    assert low < whole[0] and high == whole[1]
    assert "panel/heat" in told(data, tables, "case", "temperature_day").rests_on


def test_nights_keep_a_share_of_the_lamps_warmth(data, tables):
    room, day = (20, 22), span(data, tables, "case", "temperature_day")
    night = told(data, tables, "case", "temperature_night")
    assert night.value[0] == pytest.approx((16, 18 + 0.4 * (day[1] - room[1])), abs=0.05)
    assert "night_warmth" in night.rests_on
    tables.assumptions["night_warmth"]["value"] = 0
    assert span(data, tables, "case", "temperature_night") == (16, 18)


def test_a_hard_frost_is_still_told(data, tables):
    """A glasshouse in a winter of −20 °C: the search for its warmth does not leave what the formulas cover."""
    data["room"]["temperature_day"] = {"usual": -20, "peak": -10}
    data["room"]["temperature_night"] = {"usual": -25, "lowest": -29}
    forecast = predict(read_plan(data), tables)
    for key in ("temperature_day", "peak", "temperature_night", "lowest", "humidity"):
        assert forecast.case[key].how == "predicted", key
    assert forecast.case["temperature_day"].value[0][0] == pytest.approx(-20, abs=3)
