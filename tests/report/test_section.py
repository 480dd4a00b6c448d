"""The picture of a plan: well-formed, told in words, true to the plan's centimetres, nothing by colour alone."""

import re
import xml.etree.ElementTree as ET

import pytest

from bogwright import data as folders
from bogwright.enclosure.plan import read_plan
from bogwright.report.conditions import conditions_content
from bogwright.report.section import FORMS, section, standing_alone
from bogwright.report.site.charts.svg import WIDTH
from bogwright.report.strips import strips
from invented import label_plan

SVG = "{http://www.w3.org/2000/svg}"


def drawn(bench, data=None):
    plan = read_plan(data or label_plan())
    made = conditions_content(bench, plan)
    return (
        ET.fromstring(str(section(plan, made))),
        ET.fromstring(str(strips(made))),
        ET.fromstring(standing_alone(plan, made)),
    )


def of_class(svg, name, tag="*"):
    return [one for one in svg.iter() if name in one.get("class", "").split() and tag in ("*", one.tag)]


def texts(svg):
    return [one.text for one in svg.iter() if one.tag.removeprefix(SVG) == "text"]


def test_every_picture_has_a_title_and_is_told_in_words(bench):
    for svg in drawn(bench):
        kinds = {child.tag.removeprefix(SVG): child for child in svg}
        assert kinds["title"].text and kinds["desc"].text
        assert svg.get("aria-labelledby") == kinds["title"].get("id")
        assert svg.get("aria-describedby") == kinds["desc"].get("id")
        assert not [one for one in svg.iter() if one.tag.endswith("script") or one.get("style")]
    words = drawn(bench)[0].find("desc").text
    for said in ("80 by 40 by 50 cm inside", "Lamp panel 55 cm", "Drosera capensis", "2 peat, 1 sand", "4 cm above"):
        assert said in words
    told = drawn(bench)[1].find("desc").text
    assert "temperature by day" in told and "(predicted)" in told and "Moisture at front" in told


def test_the_centimetres_of_the_plan_are_those_of_the_picture(bench):
    """Layers, water and lamp stand to one another as their figures do."""
    svg = drawn(bench)[0]
    sand, mix = of_class(svg, "soil", "rect")[:2]
    unit = float(mix.get("width")) / 60
    assert float(sand.get("height")) == pytest.approx(3 * unit, abs=0.2)
    assert float(mix.get("height")) == pytest.approx(11 * unit, abs=0.2)
    floor = float(sand.get("y")) + float(sand.get("height"))
    level = float(re.match(r"M[\d.]+ ([\d.]+)", of_class(svg, "table")[0].get("d"))[1])
    assert floor - level == pytest.approx(4 * unit, abs=0.3)
    lamp = of_class(svg, "lamp")[0]
    assert floor - float(lamp.get("y")) - float(lamp.get("height")) == pytest.approx(55 * unit, abs=0.6)
    assert float(lamp.get("width")) == pytest.approx(60 * unit, abs=0.6)


def test_each_medium_has_a_letter_and_a_pattern_of_its_own(bench):
    svg = drawn(bench)[0]
    fills = [one.get("fill") for one in of_class(svg, "soil", "rect")]
    assert fills == ["url(#soil-0)", "url(#soil-1)"] * 2  # the bed, and the key below it
    ids = {one.get("id") for one in svg.iter("pattern")}
    assert {fill[5:-1] for fill in fills} == ids
    assert {"A", "B", "A sand", "B 2 peat, 1 sand"} <= set(texts(svg))


def test_moisture_and_light_stand_at_the_place(bench):
    words = texts(drawn(bench)[0])
    assert {"front", "wet", "mol/m²/day"} <= set(words)
    assert any(re.fullmatch(r"[\d.]+–[\d.]+", w) for w in words)


def test_nothing_is_written_beyond_the_edge(bench):
    """A letter is about seven units wide at the most."""
    data = label_plan()
    data["plants"] += [{"id": f"p{n}", "taxon": "Sarracenia purpurea", "place": "front"} for n in range(5)]
    for svg in drawn(bench, data)[:2]:
        for one in svg.iter("text"):
            wide, x, class_ = len(one.text) * 5.9, float(one.get("x")), one.get("class", "")
            if not {"end", "middle", "tick", "name", "letter"} & set(class_.split()):
                assert x + wide <= WIDTH + 20, one.text


def test_what_the_plan_leaves_out_is_drawn_as_a_guess_and_said(bench):
    data = label_plan()
    del data["case"]["vessel"]["inside_cm"], data["places"][0]["medium"], data["lamps"][0]["height"]
    data["water_units"][0].pop("level")
    data["places"].append({"id": "back", "water": "bog", "crown_height": 10})
    svg, year, _ = drawn(bench, data)
    assert of_class(svg, "guess")
    words = svg.find("desc").text
    for said in (
        "of a size not stated",
        "at a height not stated",
        "layers not stated",
        "drawn side by side",
        "unknown",
    ):
        assert said in words
    assert "?" in texts(year)


def test_a_bed_deeper_than_its_crown_is_high_is_pointed_out(bench):
    data = label_plan()
    data["places"][0]["crown_height"] = 10
    assert "reach below the floor" in drawn(bench, data)[0].find("desc").text


def test_measured_and_predicted_are_told_apart_by_the_outline(bench):
    data = label_plan()
    data["case"]["humidity"] = [60, 75]
    data["case"]["night_humidity"] = [60, 75]
    year = drawn(bench, data)[1]
    assert len(of_class(year, "day", "rect")) == 12 * 4
    assert len([one for one in of_class(year, "day", "rect") if "predicted" in one.get("class")]) == 12 * 3
    style = (folders.site_folder() / "theme" / "css" / "section.css").read_text(encoding="utf-8")
    assert ".predicted { stroke-dasharray" in style


def test_a_file_brings_its_own_styles_for_dark_and_paper(bench):
    alone = drawn(bench)[2]
    style = alone.find(f"{SVG}style").text
    assert "prefers-color-scheme: dark" in style and "@media print" in style
    used = {word for one in alone.iter() for word in one.get("class", "").split()}
    assert used <= set(re.findall(r"\.([a-z-]+)", style))


def test_every_growth_form_of_the_profiles_has_a_sign(bench):
    forms = {
        bench.base.profile(entry.id).claim("habit.growth_form").value
        for entry in bench.base.taxa()
        if not entry.listed and getattr(bench.base.profile(entry.id).claim("habit.growth_form"), "value", None)
    }
    assert forms and forms <= set(FORMS)


def test_tall_beds_and_many_places_keep_their_words_inside_and_apart(bench):
    """Crowns at the rim leave room above; narrow places give only their names; places alike share a strip."""
    data = label_plan()
    data["case"]["vessel"] = {"openings": "outdoor", "inside_cm": [60, 40, 20]}
    bed = data["places"][0]
    data["places"] = [
        {**bed, "id": f"b{n}", "crown_height": 20, "size_cm": [10, 30], "at_cm": [5 + 10 * n, 20]} for n in range(6)
    ]
    data["plants"][0]["place"] = "b0"
    svg, year, _ = drawn(bench, data)
    assert all(float(one.get("y")) >= 9 for one in svg.iter("text"))
    assert {f"b{n}" for n in range(6)} <= set(texts(svg)) and "mol/m²/day" not in texts(svg)
    assert "Moisture at all places" in texts(year)
