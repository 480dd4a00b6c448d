"""Pages as a browser shows them: nothing fails, nothing is fetched elsewhere, everybody can read them."""

import pytest

PAGES = {
    "home": "",
    "plant": "plants/dionaea/muscipula/",
    "charts": "plants/sarracenia/purpurea/",
    "genus": "plants/heliamphora/",
    "group": "groups/drosera/pygmy/",
    "rule": "rules/night-too-cold/",
    "source": "sources/adamec-aldrovanda-photosynthesis-1997/",
    "share": "share/",
    "needs": "needs/",
    "light": "needs/light/",
    "difficulty": "difficulty/",
    "demo": "demo/",
    "data": "data/",
    "large genus": "plants/drosera/",
    "rule of plants": "rules/cites-two-needs-papers/",
    "sources": "sources/",
    "statistics": "statistics/",
    "verdicts": "verdicts/",
    "compare": "compare/?plants=drosera/capensis,dionaea/muscipula,drosera/banksii",
    "search": "search/?q=drosera+binata",
}
# kinds that look otherwise on a phone and on paper
WIDE = ("plant", "large genus", "group", "statistics", "compare", "verdicts")
SMALL = ("statistics", "compare", "verdicts")  # of these, the ones that axe reads quickly
PAPER = {"width": 720, "height": 1000}  # A4 within its margins
OUT_OF_ORDER = """() => {
    const levels = [...document.querySelectorAll("h1, h2, h3, h4, h5, h6")]
        .filter((head) => head.checkVisibility()).map((head) => Number(head.tagName[1]));
    return levels.filter((level, n) => level > (n ? levels[n - 1] : 0) + 1);
}"""
every_page = pytest.mark.parametrize("url", PAGES.values(), ids=PAGES.keys())


@every_page
def test_a_page_loads_below_a_sub_path_under_a_strict_policy_and_from_nowhere_else(visit, url):
    opened = visit(url)
    assert opened.page.locator("h1").is_visible()
    assert opened.faults == []
    assert opened.outside == []
    sheet = opened.page.evaluate("getComputedStyle(document.querySelector('.masthead')).display")
    assert sheet == "flex", "the style sheets were not applied"


@every_page
@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_a_page_has_no_grave_barrier(visit, barriers, url, scheme):
    assert barriers(visit(url, color_scheme=scheme).page, scheme) == []


@every_page
def test_a_phone_shows_a_page_without_scrolling_sideways(visit, url):
    page = visit(url, viewport={"width": 390, "height": 844}).page
    assert page.evaluate("document.documentElement.scrollWidth") <= 390


@every_page
def test_a_page_can_be_read_without_script(visit, url):
    opened = visit(url, java_script_enabled=False)
    assert opened.page.locator("h1").is_visible()
    assert opened.page.locator("main").inner_text().count("\n") > 3
    assert opened.faults == []


def test_paper_carries_the_content_alone(visit):
    page = visit(PAGES["plant"]).page
    assert page.get_by_role("navigation", name="Site").is_visible()
    page.emulate_media(media="print")
    for part in (".masthead nav", ".find", ".crumbs", ".contents"):
        assert page.locator(part).is_hidden(), part
    assert page.locator("#air-temperature-day").is_visible()
    assert page.locator(".evidence li").first.is_visible()


@every_page
def test_headings_go_down_one_level_at_a_time(visit, url):
    page = visit(url).page
    assert page.locator("h1").count() == 1
    assert page.evaluate(OUT_OF_ORDER) == []


@pytest.mark.parametrize("kind", SMALL)
def test_a_phone_meets_no_grave_barrier(visit, barriers, kind):
    page = visit(PAGES[kind], viewport={"width": 390, "height": 844}).page
    assert barriers(page, "light") == []


@pytest.mark.parametrize("kind", WIDE)
def test_paper_is_wide_enough(visit, kind):
    page = visit(PAGES[kind], viewport=PAPER).page
    page.emulate_media(media="print")
    assert page.evaluate("document.documentElement.scrollWidth") <= PAPER["width"]


@pytest.mark.parametrize("kind", SMALL)
def test_ink_is_dark_enough_for_who_reads_in_the_dark(visit, barriers, kind):
    page = visit(PAGES[kind], viewport=PAPER, color_scheme="dark").page
    page.emulate_media(media="print")
    assert barriers(page, "dark") == []


def test_a_link_to_a_name_that_is_folded_away_unfolds_it(visit):
    page = visit("plants/drosera/#name-banksii").page
    assert page.locator("#name-banksii").is_visible()
