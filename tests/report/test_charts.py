"""Pictures of the site: shapes stand where the figures say, what nobody knows stays open, the matrix is the engine's.

Figures of the first tests are invented; the others read the shipped knowledge.
"""

import re
import xml.etree.ElementTree as ET
from itertools import combinations, pairwise

import pytest

from bogwright.judge.share import share
from bogwright.knowledge import BandClaim, End, Level, Origin
from bogwright.knowledge.claims import BandReading
from bogwright.knowledge.documents import Record
from bogwright.knowledge.fields import Field
from bogwright.report.fits import LEVEL_WORDS
from bogwright.report.site import profile_pages
from bogwright.report.site.atlas import Atlas
from bogwright.report.site.charts import band_chart, matrix, months, wild
from bogwright.report.site.charts.bands import lanes, wish
from bogwright.report.site.charts.pairs import VERDICTS
from bogwright.report.site.charts.scales import LEFT, RIGHT, Scale
from bogwright.report.site.sheet import Sheet
from bogwright.report.site.wording import figure
from bogwright.sharing.boxes import LADDER
from bogwright.sharing.demands import Demand
from bogwright.sharing.demands import Origin as DemandOrigin

FIELD = Field("air.temperature_day", "band", "Air by day", "degC", (-40.0, 60.0), ())
SCALE = Scale.of(FIELD, [0.0, 40.0, 20.0, 30.0], [(0.0, 20.0), (10.0, 40.0)])
NO_SIDE: frozenset[str] = frozenset()


@pytest.fixture(scope="module")
def atlas(tmp_path_factory):
    """The shipped knowledge, opened once."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("BOGWRIGHT_CACHE", str(tmp_path_factory.getbasetemp() / "cache"))
        patch.delenv("BOGWRIGHT_KB", raising=False)
        return Atlas.open()


def end(value, basis="published"):
    origin = Origin("x", Record("x.yaml", "x.yaml", {}, None), (), False)
    return None if value is None else End(value, basis, (), None, origin)


def band(basis="published", **levels):
    """band(tolerates=(10, 30)) → a claim; None is an end that nobody states."""
    made = {level: Level(end(low, basis), end(high, basis)) for level, (low, high) in levels.items()}
    return BandClaim(FIELD, made)


def drawn(claim, free=NO_SIDE, demand=None):
    return ET.fromstring(str(band_chart.chart(SCALE, lanes(claim, free, demand), claim)))


def rects(svg, class_):
    found = [one for one in svg.iter("rect") if one.get("class") == class_]
    return [(float(one.get("x")), float(one.get("x")) + float(one.get("width"))) for one in found]


def words(svg):
    return [one.text for one in svg.iter("text")]


def near(*values):
    return pytest.approx(tuple(SCALE.x(value) for value in values), abs=0.11)


def test_a_scale_holds_every_figure_and_counts_plants():
    assert LEFT < SCALE.x(0.0) < SCALE.x(40.0) < RIGHT
    assert SCALE.value(0.0) == SCALE.low < 0.0
    assert SCALE.x((SCALE.low + SCALE.high) / 2) == pytest.approx((LEFT + RIGHT) / 2)
    middle, edge = len(SCALE.plants) * 4 // 10, len(SCALE.plants) - 3
    assert SCALE.plants[middle] == 2
    assert SCALE.plants[edge] == 1
    assert SCALE.plants[0] == SCALE.plants[-1] == 0


def test_a_scale_by_roots_gives_small_figures_room():
    field = Field("water.solids_supply", "band", "Solids", "mg/L", (0.0, 5000.0), ())
    scale = Scale.of(field, [0, 10, 20, 30, 1000], [])
    assert scale.root
    assert scale.low == 0.0
    assert scale.x(10) - scale.x(0) > (RIGHT - LEFT) / 20
    assert all(second - first >= 36 for first, second in pairwise(map(scale.x, scale.ticks)))


def test_bars_stand_where_the_figures_say():
    svg = drawn(band(prefers=(18, 24), tolerates=(10, 30), survives=(2, 38)))
    assert rects(svg, "prefers") == [near(18, 24)]
    assert rects(svg, "tolerates") == [near(10, 30)]
    assert rects(svg, "survives") == [near(2, 38)]
    assert "prefers 18–24 · tolerates 10–30 · survives 2–38" in words(svg)
    assert "?" not in words(svg)


def test_levels_differ_in_height():
    svg = drawn(band(prefers=(18, 24), tolerates=(10, 30), survives=(2, 38)))
    height = {one.get("class"): float(one.get("height")) for one in svg.iter("rect")}
    assert height["survives"] < height["prefers"] < height["tolerates"]


def test_an_unknown_end_is_open():
    svg = drawn(band(prefers=(18, 24), tolerates=(None, 30)))
    assert rects(svg, "tolerates") == [near(18, 30)]
    assert words(svg).count("?") == 1
    assert "prefers 18–24 · tolerates ?–30" in words(svg)
    edge = next(
        one
        for group in svg.iter("g")
        if group.get("class") == "level-tolerates"
        for one in group
        if one.get("class") == "edge"
    )
    assert edge.get("d").count("V") == 1
    assert "lower end unknown" in svg.find("desc").text


def test_an_end_bounded_by_a_wider_level_lies_somewhere_between():
    svg = drawn(band(prefers=(18, None), tolerates=(10, 30)), frozenset({"high"}))
    assert rects(svg, "maybe") == [near(18, 30)]
    assert f"upper end somewhere {figure(18, 30, 'degC')}" in svg.find("desc").text


def test_an_end_on_which_nothing_is_asked_reaches_the_edge():
    svg = drawn(band(tolerates=(None, 30)), frozenset({"low"}))
    assert rects(svg, "tolerates") == [(LEFT, pytest.approx(SCALE.x(30), abs=0.11))]
    assert "tolerates ≤ 30" in words(svg)
    assert "?" not in words(svg)


def test_a_need_of_which_nothing_is_known_is_shown_unknown():
    svg = drawn(None)
    assert not list(svg.iter("rect"))
    assert "?" in words(svg)
    assert svg.find("desc").text.startswith("unknown")


def test_both_readings_of_a_dispute_are_drawn():
    sides = (BandReading("warm-school", band(tolerates=(10, 30))), BandReading("cool-school", band(tolerates=(5, 22))))
    svg = drawn(BandClaim(FIELD, {}, readings=sides))
    assert rects(svg, "tolerates") == [near(10, 30), near(5, 22)]
    assert {"warm school:", "cool school:", "tolerates 10–30", "tolerates 5–22"} <= set(words(svg))
    assert svg.find("desc").text.startswith("disputed: reading warm school")


@pytest.mark.parametrize(
    ("basis", "class_"), [("published", "level-tolerates"), ("from-memory", "level-tolerates memory")]
)
def test_what_is_from_memory_shows(basis, class_):
    svg = drawn(band(basis, tolerates=(10, 30)))
    assert [one.get("class") for one in svg.iter("g")] == [class_]
    assert ("from memory" in svg.find("desc").text) == (basis == "from-memory")


def test_ends_that_the_engine_computes_are_drawn_as_derived():
    native = DemandOrigin("derived", method="heights")
    svg = drawn(
        None, NO_SIDE, Demand((10.0, 14.0), (25.0, 25.0), "decline", "decline", low_origin=native, high_origin=native)
    )
    assert rects(svg, "tolerates") == [near(14, 25)]
    assert rects(svg, "maybe") == [near(10, 14)]
    assert "derived" in svg.find("desc").text


def test_a_derived_wish_that_contradicts_itself_is_none():
    assert wish(Demand(None, None, "slow", "slow", prefers_low=8.5, prefers_high=7.9)) == (None, None)
    assert wish(Demand(None, None, "slow", "slow", prefers_low=5.04, prefers_high=17.28)) == (5.0, 17.3)


def test_months_of_flowers_and_of_sowing_bear_a_sign_each(atlas):
    svg = ET.fromstring(str(months.seasons(atlas.base.profile("dionaea/muscipula"))))
    signs = {one.get("class"): one.get("d").count("M") for one in svg.iter("path") if "sign" in one.get("class", "")}
    assert signs == {"sign-flowers": 2, "sign-sowing": 6}
    assert svg.find("desc").text.startswith("Flowers: May–Jun in the north, Nov–Dec in the south (published). ")


def test_a_plant_without_a_season_of_flowers_is_hatched(atlas):
    svg = ET.fromstring(str(months.seasons(atlas.base.profile("nepenthes/ampullaria"))))
    assert [one.get("fill") for one in svg.iter("rect") if one.get("class") == "any-time"] == ["url(#hatch)"]
    assert "Flowers: at any time of year (common practice)" in svg.find("desc").text


def test_heights_stand_on_their_scale(atlas):
    scale = atlas.scales.heights
    svg = ET.fromstring(str(wild.heights(scale, (500.0, 1500.0), "published")))
    assert rects(svg, "native") == [pytest.approx((scale.x(500), scale.x(1500)), abs=0.11)]
    assert f"{figure(500, 1500, 'm')} above the sea" in svg.find("desc").text


def test_rest_months_are_drawn_in_their_columns(atlas):
    profile = atlas.base.profile("dionaea/muscipula")
    way = next(way for way in profile.ways.values() if way.rests)
    rest = next(iter(way.rests.values()))
    sure, maybe = months.rest_months(rest)
    svg = ET.fromstring(str(months.year(way)))
    columns = set()
    for class_ in ("rests", "may-rest"):
        for left, right in rects(svg, class_):
            columns |= set(
                range(round((left - months.GUTTER) / months.CELL), round((right - months.GUTTER) / months.CELL))
            )
    assert columns == set(sure) | set(maybe) == set(rest.may)
    heads = [one.text for one in svg.iter("text")][:26]
    assert heads[:2] == ["north", "Dec"]
    assert heads[13:15] == ["south", "Jun"]


@pytest.fixture(scope="module")
def pages(atlas):
    """Pages of every kind: a species with forms, a mountain plant, a floating one, groups and genera."""
    names = ("dionaea/muscipula", "heliamphora/nutans", "aldrovanda/vesiculosa", "drosera/_pygmy", "sarracenia/_genus")
    return {name: profile_pages.page(atlas, atlas.base.entries[name]).body for name in names}


def test_every_picture_says_what_it_shows(pages):
    for name, body in pages.items():
        pictures = [ET.fromstring(found) for found in re.findall(r"<svg.*?</svg>", body, re.DOTALL)]
        charts = [one for one in pictures if (one.get("class") or "").startswith("chart")]
        assert len(charts) > 5, name
        for one in charts:
            title, told = one.find("title"), one.find("desc")
            assert one.get("role") == "img"
            assert one.get("aria-labelledby") == title.get("id")
            assert one.get("aria-describedby") == told.get("id")
            assert title.text
            assert told.text
        ids = re.findall(r' id="([^"]+)"', body)
        assert len(ids) == len(set(ids)), name
        assert " style=" not in body


def test_core_needs_are_drawn_for_every_plant(atlas, pages):
    for path in ("air-temperature-day", "air-temperature-night", "air-humidity", "light-dli", "water-solids-supply"):
        assert f'aria-labelledby="band-{path}-t"' in pages["dionaea/muscipula"]
    assert "band-water-table-below-crown" not in pages["aldrovanda/vesiculosa"]


def test_pictures_are_the_same_every_time(atlas, pages):
    again = profile_pages.page(Atlas(atlas.bench), atlas.base.entries["dionaea/muscipula"]).body
    assert again == pages["dionaea/muscipula"]


def test_shapes_stay_on_the_picture(atlas):
    for entry in atlas.base.taxa()[::7]:
        profile = atlas.base.profile(entry.id)
        body = band_chart.charts(atlas.scales, profile, {})
        for x, width in re.findall(r'<rect class="\w+" x="([-0-9.]+)" y="[-0-9.]+" width="([-0-9.]+)"', body):
            assert LEFT - 0.1 <= float(x) <= float(x) + float(width) <= RIGHT + 0.1, entry.id
        assert len(body) < 24_000


def test_the_matrix_says_what_the_engine_says(atlas):
    """Of each verdict found in Nepenthes some pairs, judged as their grower would ask."""
    pairs = atlas.pairs("nepenthes")
    taxa = [entry.id for entry in atlas.base.members("nepenthes/_genus")]
    by_verdict: dict[str, list[tuple[str, str]]] = {}
    for pair in combinations(taxa[::3], 2):
        by_verdict.setdefault(pairs.verdict(*pair), []).append(pair)
    assert len(by_verdict) >= 3
    for verdict, found in by_verdict.items():
        for pair in found[:: max(1, len(found) // 4)]:
            bench = atlas.bench
            needs = [bench.needs(atlas.base.profile(one), id=one, name=one) for one in pair]
            answer = share(bench, needs, "indefinitely", explain=False)
            least = next(row for row in answer.rows if row["kind"] == "case.group")["max_clash"][0]
            expected = {"full": "shares", "half": "care", "slow": "care", "none": "open" if least < 3 else "apart"}
            lifted = answer.fit is not None and any(year.absent for year in answer.fit.years)
            assert verdict == ("lifts" if lifted else expected[answer.level]), pair


def test_the_matrix_is_symmetrical_and_labelled(atlas):
    sheet = Sheet(atlas, "plants/sarracenia/")
    plants = atlas.base.members("heliamphora/_genus")
    table = ET.fromstring(str(matrix.table(sheet, atlas.pairs("heliamphora"), plants, "Sun pitchers"))).find("table")
    rows = [[cell.get("class") for cell in row.findall("td")] for row in table.find("tbody")]
    assert len(rows) == len(plants)
    assert all(rows[a][b] == rows[b][a] for a, b in combinations(range(len(rows)), 2))
    assert all(rows[a][a] == "self" for a in range(len(rows)))
    assert set().union(*rows) <= {*VERDICTS, "self"}
    assert all(head.get("scope") == "row" for head in table.find("tbody").iter("th"))
    assert all(head.get("scope") == "col" for head in table.find("thead").iter("th"))
    assert table.find("caption").text == "Sun pitchers"


def test_a_large_genus_is_compared_by_groups(atlas):
    entry = atlas.base.entries["drosera/_genus"]
    shown = matrix.section(Sheet(atlas, "plants/drosera/"), entry)
    table = ET.fromstring(f"<x>{shown}</x>").find(".//table")
    groups = [one for one in atlas.base.groups() if one.genus == "drosera"]
    assert len(table.findall("tbody/tr")) >= len(groups)


def test_a_species_has_no_matrix(atlas):
    assert not matrix.section(Sheet(atlas, ""), atlas.base.entries["dionaea/muscipula"])


def test_half_the_control_error_is_told_in_the_figures_of_the_axes(atlas):
    """Key of the matrix, list of what else fits, and the rule: the thermostat's figure is that of kb/axes.yaml."""
    axes, share = atlas.bench.axes, LADDER["half"].error
    held = f"{axes['temperature_night'].control_error * share:g} K"
    rule = next(rule for rule in atlas.bench.rules if rule.id == "group-needs-fine-control")
    told = (matrix.WORDS["care"][1], LEVEL_WORDS["half"], rule.finding.do)
    assert all(held in words for words in told)
    assert f"{axes['humidity'].control_error * share:g} % humidity" in rule.finding.do
