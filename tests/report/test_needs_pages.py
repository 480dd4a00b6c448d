"""Pages by need and by difficulty, plants side by side, the worked example of the verdicts, links into the repository.

Which plants are easy, hard, of the lowlands or of the mountains is common practice, no source.
"""

import json
import re
from dataclasses import replace

import jsonschema
import pytest
from mkdocs.exceptions import ConfigurationError
from referencing import Registry, Resource

from bogwright.data import schemas_folder
from bogwright.judge.ask import ask_names
from bogwright.judge.classes import tolerates
from bogwright.judge.leeway import Leeway, Measure
from bogwright.knowledge import KnowledgeError
from bogwright.report.site import (
    cells,
    difficulty_page,
    indexes,
    members,
    needs_pages,
    profile_pages,
    rule_pages,
    verdict_slots,
)
from bogwright.report.site.atlas import Atlas
from bogwright.report.site.hook import checked_address
from bogwright.report.site.sheet import Sheet, row_anchor
from bogwright.sharing.demands import UNKNOWN, Demand

REPOSITORY = "https://example.org/bogwright/blob/main"
EASY = (
    "drosera/capensis",
    "drosera/spatulata",
    "pinguicula/weser",
    "pinguicula/moranensis",
    "sarracenia/flava",
    "sarracenia/purpurea",
    "utricularia/sandersonii",
    "utricularia/livida",
)
HARD = (
    "heliamphora/nutans",
    "heliamphora/minor",
    "nepenthes/villosa",
    "nepenthes/rajah",
    "darlingtonia/californica",
    "drosophyllum/lusitanicum",
    "drosera/regia",
)


@pytest.fixture(scope="module")
def atlas():
    return Atlas.open()


@pytest.fixture(scope="module")
def linked(atlas):
    """The same knowledge with the address of a repository."""
    return Atlas(atlas.bench, REPOSITORY)


@pytest.fixture(scope="module")
def need_pages(atlas):
    return {page.url: page for page in needs_pages.pages(atlas)}


def part(body, anchor):
    """The section of a page with this id."""
    return body.split(f'<section id="{anchor}">')[1].split("</section>")[0]


# by need


def test_every_profiled_species_stands_on_the_page_of_every_need(atlas, need_pages):
    for need in atlas.sorted.needs:
        body = need_pages[needs_pages.url(need)].body
        missing = [taxon.id for taxon in atlas.base.taxa()
                   if taxon.form is None and f'href="../../plants/{taxon.id}/"' not in body]  # fmt: skip
        assert not missing, need.id


def test_a_plant_whose_figures_are_unknown_is_listed_as_unknown(atlas, need_pages):
    for need in atlas.sorted.needs:
        body = need_pages[needs_pages.url(need)].body
        unknown = [plant for plant, placed in atlas.sorted.placed[need.id].items() if "unknown" in placed.values()]
        assert all(f"plants/{plant}/" in part(body, "unknown") for plant in unknown)
    assert any("unknown" in placed.values() for placed in atlas.sorted.placed["light"].values())


@pytest.mark.parametrize(
    ("plant", "inside", "outside"),
    [
        ("nepenthes/ampullaria", {"lowland"}, {"highland", "temperate"}),
        ("nepenthes/villosa", {"highland"}, {"lowland", "intermediate", "temperate"}),
        ("heliamphora/nutans", {"intermediate", "highland"}, {"lowland", "temperate"}),
        ("sarracenia/flava", {"temperate", "lowland"}, set()),
        ("darlingtonia/californica", {"temperate", "highland"}, {"lowland"}),
    ],
)
def test_temperature_classes_are_those_growers_would_name(atlas, plant, inside, outside):
    """Common practice, no source."""
    placed = {key for key, stands in atlas.sorted.placed["temperature"][plant].items() if stands == "yes"}
    assert inside <= placed
    assert not outside & placed


@pytest.mark.parametrize(
    ("need", "plant", "classes"),
    [
        ("rest", "sarracenia/flava", {"slow", "cold", "frosty"}),
        ("rest", "nepenthes/villosa", {"none"}),
        ("rest", "pinguicula/vulgaris", {"winter-bud", "frosty"}),
        ("rest", "pinguicula/moranensis", {"none", "dry"}),
        ("moisture", "aldrovanda/vesiculosa", {"flooded"}),
        ("light", "drosera/schizandra", {"dim", "shaded"}),
    ],
)
def test_rest_moisture_and_light_follow_from_the_figures(atlas, need, plant, classes):
    assert {key for key, stands in atlas.sorted.placed[need][plant].items() if stands == "yes"} == classes


def test_each_class_prints_its_definition_and_each_member_its_figure(atlas, need_pages):
    temperate = part(need_pages["needs/temperature/"].body, "temperate")
    assert "air by night of 9\u00a0°C and air by day of 20\u00a0°C in growth" in temperate
    assert "air by night of 1\u00a0°C in growth or in a rest of its ways" in temperate
    assert "standing-" in temperate
    dim = part(need_pages["needs/light/"].body, "dim")
    row = next(row for row in dim.split("</tr>") if "plants/drosera/schizandra/" in row)
    assert cells.tolerated(atlas.sorted.plants["drosera/schizandra"], atlas.bench.axes["dli"]).shown in row
    assert "no source" in need_pages["needs/light/"].body


def test_what_is_tolerated_is_certain_possible_or_unknown():
    """Invented bands."""
    band = Demand((5.0, 8.0), (20.0, 25.0), "slow", "slow")
    assert [tolerates(band, value) for value in (4, 6, 10, 22, 30)] == ["no", "perhaps", "yes", "perhaps", "no"]
    half = replace(band, high=UNKNOWN)
    assert [tolerates(half, value) for value in (4, 10)] == ["no", "unknown"]
    assert tolerates(None, 10) == "yes"


def test_plants_and_classes_link_both_ways(atlas, need_pages):
    page = profile_pages.page(atlas, atlas.base.entries["drosera/capensis"])
    among = part(page.body, "among")
    for need in atlas.sorted.needs:
        for key, _, _ in atlas.sorted.classes("drosera/capensis", need):
            assert f'href="../../../needs/{need.id}/#{key}"' in among
            assert 'href="../../plants/drosera/capensis/"' in part(need_pages[f"needs/{need.id}/"].body, key)
    assert "difficulty/#wide" in among
    assert "needs/light/" in need_pages["needs/"].body
    assert "difficulty/" in need_pages["needs/"].body


def test_a_class_that_asks_nothing_is_refused():
    schemas = {path.name: json.loads(path.read_bytes()) for path in schemas_folder().glob("*.json")}
    registry = Registry().with_resources((one["$id"], Resource.from_contents(one)) for one in schemas.values())
    check = jsonschema.Draft202012Validator(schemas["needs.schema.json"], registry=registry)
    need = {"title": "Light", "asks": "light", "classes": {"dim": {"title": "dim", "means": "little"}}}
    room = {"room": {"dli": [4, 16]}, "handling": {"low": 1, "moderate": 1, "high": 0, "severe": 0},
            "unknown_at_most": 2, "classes": ["wide", "narrow"], "reasons": {"below": 0.1, "named": 3}}  # fmt: skip
    table = {"basis": "common-practice", "needs": {"light": need}, "difficulty": room}
    assert not check.is_valid(table)
    need["classes"]["dim"]["growth"] = {"dli": 2}
    assert check.is_valid(table)


# by difficulty


def test_what_growers_call_easy_leaves_more_leeway_than_what_they_call_hard(atlas):
    """Common practice, no source."""
    leeway = {plant: atlas.sorted.leeway[plant].measure for plant in (*EASY, *HARD)}
    assert min(leeway[plant] for plant in EASY) > max(leeway[plant] for plant in HARD), leeway


def test_classes_of_difficulty_are_of_like_size_and_in_order(atlas):
    kept = atlas.sorted
    sizes = [sum(rank == one for rank in kept.ranks.values()) for one in kept.measure.classes]
    assert max(sizes) - min(sizes) <= 0.1 * sum(sizes)
    wide, narrow = (
        [kept.leeway[plant].measure for plant, rank in kept.ranks.items() if rank == one] for one in ("wide", "narrow")
    )
    assert min(wide) > max(narrow)


def test_with_too_much_unknown_nothing_is_said(atlas):
    kept = atlas.sorted
    unsaid = {plant for plant, one in kept.leeway.items() if one.measure is None}
    assert "philcoxia/minensis" in unsaid
    for plant in unsaid:
        assert sum(value is None for value in kept.leeway[plant].parts.values()) > kept.measure.unknown_at_most
    assert not unsaid & kept.ranks.keys()
    body = difficulty_page.page(atlas).body
    assert all(f"plants/{plant}/" in part(body, "unknown") for plant in unsaid)


def test_parts_are_shares_of_scale_and_room(atlas):
    """Worked by hand from the stated band of Drosera regia: days of 10 to 30 °C."""
    measure, plant = atlas.sorted.measure, atlas.sorted.plants["drosera/regia"]
    low, high = measure.scale["temperature_day"]
    room = measure.room["temperature_day"]
    expected = ((30 - 10) / (high - low) + (min(30, room[1]) - max(10, room[0])) / (room[1] - room[0])) / 2
    assert atlas.sorted.leeway["drosera/regia"].parts["temperature_day"] == pytest.approx(expected)
    assert measure.of(plant).parts["moisture"] == pytest.approx(2 / 5)


def test_a_room_without_width_is_refused_with_its_line(atlas, monkeypatch):
    record = atlas.base.table("needs")
    room = {**record.data["difficulty"], "room": {"dli": [16, 4]}}
    monkeypatch.setattr(type(atlas.bench), "table", lambda self, name: {"difficulty": room})
    with pytest.raises(KnowledgeError, match="must have a width"):
        Measure(atlas.bench, [])


def test_equal_measures_share_a_class(atlas):
    """Invented measures."""
    found = {key: Leeway({}, value) for key, value in zip("abcdef", (0.9, 0.5, 0.5, 0.5, 0.2, 0.1), strict=True)}
    ranks = atlas.sorted.measure.ranked({**found, "g": Leeway({}, None)})
    assert ranks["b"] == ranks["c"] == ranks["d"]
    assert (ranks["a"], ranks["f"]) == ("wide", "narrow")
    assert "g" not in ranks


@pytest.mark.parametrize(
    ("plant", "reasons"),
    [
        ("nepenthes/villosa", ["narrow nights: 2–15\u00a0°C", "narrow humidity: at least 65\u00a0%"]),
        ("darlingtonia/californica", ["narrow nights: 1–18\u00a0°C", "an obligatory cold rest"]),
        ("drosera/capensis", []),
    ],
)
def test_the_reasons_name_what_is_narrow(atlas, plant, reasons):
    kept = atlas.sorted
    told = difficulty_page.narrow(kept, kept.plants[plant], difficulty_page.middle_shares(kept))
    assert set(reasons) <= set(told)
    if not reasons:
        assert told == []


# side by side


def test_a_group_compares_its_members_in_a_frame_that_scrolls(atlas):
    body = profile_pages.page(atlas, atlas.base.entries["drosera/_forked"]).body
    frame = re.search(r'<div class="wide" role="region" tabindex="0" aria-label="([^"]+)">(.*?)</div>', body, re.S)
    assert frame[1] == "Plants of Forked sundews"
    heads = re.findall(r'<th scope="col">([^<]+)</th>', frame[2])
    assert heads == ["plant", "day", "night", "humidity", "light a day", "moisture", "rest", "water", "size"]
    assert all(atlas.url(taxon) in frame[2] for taxon in atlas.base.members("drosera/_forked"))


def test_own_figures_are_told_from_inherited_ones(atlas):
    axes = atlas.bench.axes
    form = cells.tolerated(atlas.sorted.plants["drosera/binata/t-form"], axes["temperature_day"])
    mixed = cells.tolerated(atlas.sorted.plants["drosera/capensis"], axes["temperature_day"])
    own = cells.tolerated(atlas.sorted.plants["drosera/regia"], axes["temperature_day"])
    assert (form.whose, mixed.whose, own.whose) == ("up", "part", "own")
    assert ">inherited<" in form.markup()
    assert ">inherited in part<" in mixed.markup()
    assert "inherited" not in own.markup()
    unknown = cells.tolerated(atlas.sorted.plants["philcoxia/minensis"], axes["dli"])
    assert "standing-unknown" in unknown.markup()


# verdicts


def test_the_worked_example_is_what_the_engine_says(atlas):
    answer = ask_names(atlas.bench, verdict_slots.EXAMPLE)
    body = verdict_slots.example(Sheet(atlas, "verdicts/"))
    assert f"<strong>{answer.verdict}</strong>" in body
    assert answer.main.fit.regime.title in body
    for finding in answer.main.findings:
        assert f'href="../rules/{finding.rule}/"' in body
        assert finding.says in body.unescape()


def test_regimes_axes_and_stages_are_filled_in_from_the_tables(atlas):
    sheet = Sheet(atlas, "verdicts/")
    regimes, axes, stages = (verdict_slots.SLOTS[slot](sheet) for slot in ("regimes", "axes", "rule-stages"))
    for given in atlas.bench.table("regimes")["regimes"].values():
        assert given["title"][1:] in regimes
    assert "−18 to 6\u00a0°C" in regimes
    assert "± 1.5\u00a0°C" in axes
    assert "± 20 %" in axes
    assert "dry, barely damp, damp, wet, flooded" in axes
    found = {rule_pages.place_of(record)[0] for _, record in atlas.rules.values()}
    assert all(f'href="../rules/#{rule_pages.stage_anchor(stage)}"' in stages for stage in found)


# the repository


@pytest.mark.parametrize("plant", ["dionaea/muscipula", "drosera/binata/t-form"])
def test_every_file_and_line_is_a_link_where_the_repository_is_known(linked, plant):
    body = profile_pages.page(linked, linked.base.entries[plant]).body
    places = re.findall(r"<code>(kb/[^<:]+):(\d+)</code>", body)
    assert len(places) > 20
    for file, line in places:
        assert f'<a href="{REPOSITORY}/{file}#L{line}" rel="noopener noreferrer external"' in body
    assert body.count("<code>kb/") == body.count(f'href="{REPOSITORY}/kb/')


def test_each_claim_leads_to_its_line(linked):
    profile = linked.base.profile("dionaea/muscipula")
    body = profile_pages.page(linked, profile.entry).body
    for end in profile.band("air.temperature_day").ends():
        assert f"{REPOSITORY}/kb/{end.origin.record.name}#L{end.origin.line}" in body


def test_without_an_address_file_and_line_are_text(atlas):
    body = profile_pages.page(atlas, atlas.base.entries["dionaea/muscipula"]).body
    assert "<code>kb/profiles/dionaea/muscipula.yaml:" in body
    assert "example.org" not in body


def test_an_address_is_checked():
    assert checked_address(REPOSITORY + "/") == REPOSITORY
    assert checked_address("") == ""
    for wrong in ("example.org/bogwright", "javascript:alert(1)", "https://"):
        with pytest.raises(ConfigurationError, match="is no address — give BOGWRIGHT_REPOSITORY one such as"):
            checked_address(wrong)


# names


def test_every_outline_name_says_who_it_is_and_what_stands_in(atlas):
    names = indexes.names(atlas).body
    for genus in atlas.genera:
        body = members.by_name(Sheet(atlas, f"plants/{genus}/"), genus)
        for entry in (entry for entry in atlas.base.listed() if entry.genus == genus):
            row = body.split(f'id="{row_anchor(entry)}"')[1].split("</tr>")[0]
            for title in ("given by", "native range", "judged as", "listed in"):
                assert re.search(f'data-label="{title}"><div>.', row), (entry.id, title)
            assert f"kb/{entry.record}:" in row
            assert f"../plants/{genus}/#{row_anchor(entry)}" in names
            if entry.group:
                assert atlas.url(atlas.base.entries[entry.group]) in row
