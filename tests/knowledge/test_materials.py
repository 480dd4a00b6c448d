"""Materials and lamps: figures that can be so, curves against published points, lamps against CIE illuminants.

Sources: Päivänen 1973 (regressions of peat, as coded by peatland modellers); Carsel & Parrish 1988; van Genuchten 1980;
Letts and others 2000; Price and others 2008; CIE 15:2018 illuminants computed with colour-science 0.4.7.
"""

import copy

import pytest

from bogwright.data import kb_folder, schemas_folder
from bogwright.knowledge.reading import read, read_text
from bogwright.knowledge.validating import Schemas
from bogwright.physics.substrate import Campbell, Retention

MATERIALS = read(kb_folder() / "materials.yaml").data["materials"]
LAMPS = read(kb_folder() / "lamps.yaml").data["lamps"]
KEPT_MATERIALS = {
    *("peat", "sphagnum", "live-sphagnum", "sand", "perlite", "pumice", "vermiculite", "bark", "lava", "charcoal"),
    *("clay-pebbles", "coir", "akadama", "limestone", "gypsum", "loam", "tree-fern", "rock", "none"),
}
KEPT_LAMPS = {
    *("sun", "fluorescent-cool-white", "fluorescent-warm-white", "metal-halide", "hps", "incandescent", "white-led"),
    "unknown",
}
FITTED = {name: one for name, one in MATERIALS.items() if isinstance(one["retention"], list)}
CLASSED = {name: one for name, one in MATERIALS.items() if "holds_at" in one["retention"]}


def ends(value):
    return tuple(value) if isinstance(value, list) else (value, value)


def curve(one):
    return Retention(
        one["theta_r"], one["theta_s"], one["alpha"], one["n"], one.get("ks"), porosity=one.get("porosity")
    )


def figures(node):
    """Every map with a basis inside a table."""
    if isinstance(node, dict):
        if "basis" in node:
            yield node
        for part in node.values():
            yield from figures(part)
    elif isinstance(node, list):
        for part in node:
            yield from figures(part)


def test_what_plans_and_profiles_name_is_still_there():
    assert set(MATERIALS) >= KEPT_MATERIALS and set(LAMPS) >= KEPT_LAMPS
    assert all({"title", "lime", "holds"} <= set(MATERIALS[name]) for name in KEPT_MATERIALS)


def test_every_figure_has_its_evidence():
    """Published figures name sources, derived ones say how; remembered ones claim neither."""
    found = [one for table in (MATERIALS, LAMPS) for one in figures(table)]
    assert len(found) > 150
    for one in found:
        assert one["basis"] != "published" or one["sources"], one
        assert (one["basis"] == "derived") == ("method" in one), one
        assert one["basis"] not in ("from-memory", "common-practice") or "sources" not in one, one


def test_ranges_run_upward():
    keys = ("bulk_density", "porosity", "water_by_dry_weight", "ph", "life_months")
    spans = [ends(one[key]["value"]) for one in MATERIALS.values() for key in keys if key in one]
    keys = ("efficacy", "ppf_per_watt", "radiant_share", "decline")
    spans += [ends(one[key]["value"]) for one in LAMPS.values() for key in keys if key in one]
    assert len(spans) > 60
    assert all(0 <= low <= high for low, high in spans)


@pytest.mark.parametrize("name", sorted(CLASSED))
def test_class_values_fall_with_suction(name):
    """Water held falls from the pores through 10 and 50 to 100 cm, at both ends; the composition needs all three."""
    given = CLASSED[name]["retention"]
    at = [given["porosity"], *(given["holds_at"][key] for key in ("10", "50", "100"))]
    for end in (0, 1):
        held = [span[end] for span in at]
        assert held == sorted(held, reverse=True) and held[-1] >= 0 and held[0] <= 1


@pytest.mark.parametrize("name", sorted(FITTED))
def test_curves_are_ones(name):
    """Every set makes a curve (van Genuchten 1980) that falls; one with a negative l carries no conductivity."""
    for one in FITTED[name]["retention"]:
        held = [float(curve(one).content(suction)) for suction in (0.0, 10.0, 50.0, 100.0)]
        assert held == sorted(held, reverse=True), one["name"]
        assert one.get("l", 0.5) >= 0 or "ks" not in one, one["name"]


# Päivänen 1973, fig. 19: water content [%] at pF 1.5 and 2 by bulk density [g/cm3]; pF 1 read from points
PF15, PF2 = (20.83, 759.69, -2484.3), (3.81, 705.13, -2036.2)


@pytest.mark.parametrize(("place", "density", "at_10"), [(0, 0.06, 0.735), (1, 0.08, 0.84), (2, 0.12, 0.848)])
def test_white_peat_follows_paivanen(place, density, at_10):
    """Päivänen 1973: within the misfit of a curve of four parameters (0.03 m3/m3) at 10, 32 and 100 cm."""
    peat = curve(MATERIALS["peat"]["retention"][place])
    for suction, (a0, a1, a2) in ((32, PF15), (100, PF2)):
        stated = (a0 + a1 * density + a2 * density**2) / 100
        assert float(peat.content(float(suction))) == pytest.approx(stated, abs=0.03)
    assert float(peat.content(10.0)) == pytest.approx(at_10, abs=0.03)
    assert peat.ks == pytest.approx(10 ** (-2.321 - 13.22 * density) * 86400, rel=0.01)


def test_sand_is_that_of_carsel_and_parrish():
    """Carsel & Parrish 1988: 0.2143 at 10 cm and 0.0588 at 50 cm follow from their means for sand."""
    sand = curve(MATERIALS["sand"]["retention"][0])
    assert float(sand.content(10.0)) == pytest.approx(0.2143, abs=1e-4)
    assert float(sand.content(50.0)) == pytest.approx(0.0588, abs=1e-4)


def test_sapric_tier_is_the_curve_of_campbell():
    """Letts and others 2000: porosity 0.83, b 12, entry 1.01 cm; rewritten for one kind of curve."""
    tier = next(one for one in MATERIALS["black-peat"]["retention"] if one["name"] == "sapric tier")
    for suction in (10.0, 20.0, 50.0, 100.0):
        expected = float(Campbell(0.83, 12.0, 1.01).content(suction))
        assert float(curve(tier).content(suction)) == pytest.approx(expected, abs=0.005)
    assert "ks" not in tier


def test_living_moss_conducts_as_measured():
    """Price and others 2008: 1800 and 230 um/s saturated, 0.03 and 11.0 um/s at 25 cm of suction."""
    at = MATERIALS["live-sphagnum"]["conductivity"]["at"]
    factor = 1e-4 * 86400  # um/s to cm/d
    assert at["0"] == [pytest.approx(230 * factor, rel=0.001), pytest.approx(1800 * factor, rel=0.001)]
    assert at["25"] == [pytest.approx(0.03 * factor, rel=0.01), pytest.approx(11.0 * factor, rel=0.001)]


def test_gravel_and_its_like_break_the_rise():
    """Common practice, no source: open gravel, pebbles, lava and bark chunks do not lift water; peat and sand do."""
    coarse = {name for name, one in MATERIALS.items() if one.get("coarse")}
    assert coarse == {"gravel", "lava", "clay-pebbles", "bark"}


# lx per umol m-2 s-1 and lm per W of 400-700 nm of CIE 15:2018 illuminants, colour-science 0.4.7
CIE = {
    "led-3000": (67.91, 329.2),
    "led-4000": (69.75, 326.4),
    "led-5000": (71.66, 328.7),
    "led-6500": (69.40, 311.7),
    "halogen": (50.26, 252.0),
    "fluorescent-t8": (76.04, 347.7),
    "fluorescent-t5": (78.12, 367.1),
    "compact-fluorescent": (78.12, 367.1),
    "fluorescent-warm-white": (79.73, 368.8),
    "window": (55.50, 251.3),
    "led-high-cri": (56.57, 263.5),
}


@pytest.mark.parametrize("lamp", sorted(CIE))
def test_lamps_hold_their_illuminant(lamp):
    """CIE 15:2018: LED-B2 to B5, A, FL11, FL12, FL3, D65 and LED-V2 lie inside the ranges."""
    low, high = ends(LAMPS[lamp]["lux_per_ppfd"])
    assert low <= CIE[lamp][0] <= high


def test_white_leds_hold_the_rule_of_thumb():
    """Sharakshane 2018: 1000 lx are 15 umol m-2 s-1 (66.7), about right for any ordinary white LED."""
    for lamp in ("led-3000", "led-4000", "led-5000", "led-6500"):
        low, high = ends(LAMPS[lamp]["lux_per_ppfd"])
        assert low - 0.4 <= 1000 / 15 <= high, lamp


@pytest.mark.parametrize("lamp", sorted(name for name, one in LAMPS.items() if name in CIE and "efficacy" in one))
def test_light_and_heat_share_the_power(lamp):
    """CIE 15:2018: the share that leaves as light is the efficacy over that of the light itself, within the hull."""
    share, efficacy = ends(LAMPS[lamp]["radiant_share"]["value"]), ends(LAMPS[lamp]["efficacy"]["value"])
    assert share[0] <= efficacy[0] / CIE[lamp][1] + 0.005 and share[1] >= efficacy[1] / CIE[lamp][1] - 0.005
    assert 0 < share[0] <= share[1] < 0.6


def test_red_blue_led_has_no_lux():
    lamp = LAMPS["led-red-blue"]
    assert lamp["lux_meter"] == "not-valid" and "lux_per_ppfd" not in lamp and "ppf_per_watt" in lamp


@pytest.fixture(scope="module")
def schemas():
    return Schemas(schemas_folder())


TEXT = """materials:
  slag:
    title: slag
    lime: some
    basis: common-practice
    retention: {RETENTION}
"""


@pytest.mark.parametrize(
    ("retention", "wrong"),
    [
        ("{not_predicted: nobody measured it}", False),
        ("[{name: a, theta_r: 0, theta_s: 0.9, alpha: 0.1, n: 1.4, basis: from-memory}]", False),
        ("[{name: a, theta_r: 0, theta_s: 0.9, alpha: 0.1, n: 1.4, basis: derived}]", True),  # no method
        ("[{name: a, theta_r: 0, theta_s: 0.9, alpha: 0.1, n: 1.4, basis: published}]", True),  # no source
        ("[{name: a, theta_r: 0, theta_s: 0.9, alpha: 0.1, n: 0.9, basis: from-memory}]", True),
        ("[{name: a, theta_r: 0, theta_s: 0.9, alpha: 0.1, n: 1.4, ks: 9, l: -2, basis: from-memory}]", True),
        ('{holds_at: {"10": [0.2, 1.2]}, porosity: [0.8, 0.9], basis: from-memory}', True),
        ('{holds_at: {"10": [0.2, 0.4]}, basis: from-memory}', True),
    ],
)
def test_schema_refuses_what_cannot_be(schemas, retention, wrong):
    """Invented material; also a set with a negative l may carry no conductivity."""
    document = read_text(TEXT.replace("{RETENTION}", retention), "materials.yaml")
    assert bool(schemas.check(document, "materials")) == wrong


def test_schema_of_lamps_wants_lux_or_a_reason(schemas):
    """Invented lamp: without lux it must be marked, and marked it must have none."""
    for given, wrong in (
        ("{title: x}", True),
        ("{title: x, lux_per_ppfd: 60, basis: from-memory}", False),
        ("{title: x, lux_meter: not-valid}", False),
        ("{title: x, lux_per_ppfd: 60, basis: from-memory, lux_meter: not-valid}", True),
    ):
        document = read_text(f"lamps:\n  x: {given}\n", "lamps.yaml")
        assert bool(schemas.check(document, "lamps")) == wrong, given


def test_lux_under_red_and_blue_is_refused():
    """A plan that gives lux under a lamp of which a lux meter tells nothing is told to measure PPFD."""
    from bogwright.enclosure.plan import check_lux

    place = {"light": {"lamp": "led-red-blue", "illuminance": 5000}}
    for given, said in (
        ([place], ["lux is not valid under this lamp: measure PPFD"]),
        ([{"light": {**place["light"], "ppfd": 100}}], []),
        ([{"light": {"lamp": "white-led", "illuminance": 5000}}], []),
        ([{}], []),
    ):
        heard = []
        data = {"places": copy.deepcopy(given)}
        check_lux(data, lambda path, message, hint, heard=heard: heard.append(message), LAMPS)
        assert heard == said
