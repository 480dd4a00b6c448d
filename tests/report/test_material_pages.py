"""Pages of materials and lamps: all are made, say how their figures are founded, and tell their curves in words."""

import re
import xml.etree.ElementTree as ET

import pytest

from bogwright.report.site import lamp_pages, material_pages, profile_pages
from bogwright.report.site.atlas import Atlas
from bogwright.report.site.charts import retention

# Carsel & Parrish 1988, means for sand
SAND = [{"name": "sand", "theta_r": 0.045, "theta_s": 0.43, "alpha": 0.145, "n": 2.68, "ks": 712.8}]
# invented
CLASSES = {"holds_at": {"10": [0.2, 0.4], "50": [0.1, 0.3], "100": [0, 0.3]}, "porosity": [0.8, 0.9]}


@pytest.fixture(scope="module")
def atlas():
    return Atlas.open()


@pytest.fixture(scope="module")
def pages(atlas):
    made = [*material_pages.pages(atlas), *lamp_pages.pages(atlas)]
    return {page.url: page for page in made}


def bare(html):
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", html))


def test_a_page_each_and_two_indexes(atlas, pages):
    expected = {"materials/", "lamps/"}
    expected |= {f"materials/{key}/" for key in atlas.bench.materials}
    expected |= {f"lamps/{key}/" for key in atlas.bench.lamps}
    assert set(pages) == expected
    for key in atlas.bench.materials:
        assert f'href="../materials/{key}/"' in pages["materials/"].body
    for key in atlas.bench.lamps:
        assert f'href="../lamps/{key}/"' in pages["lamps/"].body


def test_they_are_among_the_pages_of_the_site(shipped_site, pages):
    assert all((shipped_site / url / "index.html").is_file() for url in pages)


def test_every_page_is_well_formed(pages):
    """As XML, which is stricter than HTML: every element closed, every attribute quoted but `open`."""
    for url, page in pages.items():
        ET.fromstring(f"<div>{str(page.body).replace(' open>', '>')}</div>")
        assert page.description and page.section in ("materials/", "lamps/"), url


def test_figures_carry_standing_and_sources(pages):
    peat = pages["materials/peat/"].body
    assert 'class="standing standing-derived"' in peat and 'class="standing standing-published"' in peat
    assert 'href="../../sources/paivanen-1973/"' in peat and 'href="../../sources/nordtorf-white-peat/"' in peat
    assert "60–120\u00a0kg/m³" in peat
    hps = pages["lamps/hps/"].body
    assert 'href="../../sources/thimijan-heins-1983/"' in hps and "65–103\u00a0lm/W" in hps


def test_the_curve_is_told_in_words(pages):
    """The picture has its figures in its description, and the page shows them as text as well."""
    body = pages["materials/sand/"].body
    svg = re.search(r"<svg.*?</svg>", body, re.DOTALL)[0]
    told = ET.fromstring(svg).find("desc").text
    assert "at 10 cm 9–34" in told and told in body.replace(svg, "")
    assert 'role="img"' in svg and svg.count('class="curve"') == 3


def test_what_nobody_measured_is_not_drawn(pages):
    body = pages["materials/sphagnum/"].body
    assert "Not predicted" in body and "<svg" not in body
    assert "Sporothrix" in body


def test_sets_not_for_conductivity_say_so(pages):
    assert "not for conductivity" in bare(pages["materials/live-sphagnum/"].body)


def test_red_blue_led_says_measure_ppfd(pages):
    body = bare(pages["lamps/led-red-blue/"].body)
    assert lamp_pages.NOT_VALID in body and "lx for" not in body
    assert "lux not valid" in bare(pages["lamps/"].body)


def test_lux_become_photons(pages):
    """Thimijan & Heins 1983: 10 000 lx of sun are 10 000 / 54 = 185 umol m-2 s-1."""
    assert "185\u00a0µmol/m²/s" in pages["lamps/sun/"].body


def test_water_and_air_of_a_curve():
    """Carsel & Parrish 1988 sand: 0.2143 of water and 0.2157 of air at 10 cm."""
    assert retention.water(SAND, 10.0) == (pytest.approx(0.2143, abs=1e-4),) * 2
    assert retention.air(SAND, 10.0) == (pytest.approx(0.2157, abs=1e-4),) * 2


def test_water_and_air_of_classes():
    """Least air where the fewest pores hold the most water, never below none."""
    assert retention.water(CLASSES, 10.0) == (0.2, 0.4)
    assert retention.air(CLASSES, 10.0) == (pytest.approx(0.4), pytest.approx(0.7))
    assert retention.air({**CLASSES, "porosity": [0.3, 0.9]}, 10.0)[0] == 0
    assert retention.water({"not_predicted": "nobody measured it"}, 10.0) is None


def test_the_band_stands_where_the_curve_is():
    """The line of a single set goes through its water content at the end of the scale (100 cm)."""
    drawn = ET.fromstring(str(retention.picture("sand", SAND)))
    line = next(one.get("d") for one in drawn.iter("path") if one.get("class") == "curve")
    left, top = map(float, line.rpartition("L")[2].split())
    assert left == pytest.approx(retention.RIGHT, abs=0.1)
    assert top == pytest.approx(retention.y(retention.water(SAND, 100.0)[0]), abs=0.1)


def test_bars_stand_at_their_suctions():
    drawn = ET.fromstring(str(retention.picture("x", CLASSES)))
    bars = [one for one in drawn.iter("rect") if "hull" in one.get("class")]
    tops = [float(one.get("y")) for one in bars]
    assert len(bars) == 3 and tops[0] == pytest.approx(retention.y(0.4), abs=0.1)


def test_components_of_a_medium_link_to_their_pages(atlas):
    page = profile_pages.page(atlas, atlas.base.entries["dionaea/muscipula"])
    assert 'href="../../../materials/perlite/"' in page.body and 'href="../../../materials/peat/"' in page.body
