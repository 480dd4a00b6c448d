"""Search as a visitor uses it, and its ranking against the engine's own name finder."""

import math

import pytest

from bogwright.knowledge import KnowledgeBase, Match
from bogwright.knowledge.names import normal
from bogwright.report.site.atlas import Atlas

EXAMPLES = [
    ("Drosera capensis", "plants/drosera/capensis/"),
    ("D. capensis", "plants/drosera/capensis/"),
    ("N rajah", "plants/nepenthes/rajah/"),
    ("Saracenia", "plants/sarracenia/"),
    ("Šarracenia púrpurea", "plants/sarracenia/purpurea/"),
    ("venus fly trap", "plants/dionaea/"),
    ("butterwart", "plants/pinguicula/"),
    ("cephalotis", "plants/cephalotus/"),
    ("akai ryu", "plants/dionaea/muscipula/akai-ryu/"),
    ("Pygmy sundews", "groups/drosera/pygmy/"),
    ("nights too cold", "rules/night-too-cold/"),
    ("adamec photosynthetic", "sources/adamec-aldrovanda-photosynthesis-1997/"),
]
RANKED = """async ([root, queries]) => {
    const { prepare, search } = await import(`${root}js/search/ranking.js`);
    const list = prepare(await (await fetch(`${root}data/search.json`)).json());
    return queries.map((query) => search(list, query).slice(0, 3).map((hit) => hit.page.url));
}"""
PLAIN = """async ([root, names]) => {
    const { plain } = await import(`${root}js/search/ranking.js`);
    return names.map(plain);
}"""
DISTANCES = """async ([root, pairs]) => {
    const { distance } = await import(`${root}js/search/ranking.js`);
    return pairs.map(([one, other]) => distance(one, other, 3));
}"""


@pytest.fixture
def base():
    return KnowledgeBase.open()


SHOWN = """(query) => new URL(location).searchParams.get("q") === query
    && document.querySelector(".count").textContent !== ''"""


def typed(page, query):
    """Type into the field of the search page as a person would, and wait for the results."""
    field = page.get_by_role("searchbox")
    field.fill("")
    page.wait_for_function("() => document.querySelector('.count').textContent === ''")
    field.press_sequentially(query)
    page.wait_for_function(SHOWN, arg=query)


def test_the_examples_are_found_by_typing(visit, address):
    opened = visit("search/")
    for query, url in EXAMPLES:
        typed(opened.page, query)
        assert opened.page.locator("ol.results a").first.evaluate("link => link.href") == address + url, query
    assert opened.faults == []
    assert opened.outside == []


def test_a_synonym_says_of_what(visit):
    page = visit("search/?q=Drosera+dichotoma").page
    result = page.locator("ol.results li").first
    assert result.inner_text() == "Drosera dichotoma\nform, synonym of Drosera binata var. dichotoma"
    assert page.get_by_role("status").inner_text() == "1 result"


def test_what_nobody_knows_is_said_and_the_query_is_kept(visit):
    page = visit("search/?q=xyzzy").page
    assert page.get_by_role("searchbox").input_value() == "xyzzy"
    assert "Nothing found" in page.get_by_role("status").inner_text()
    assert page.locator("main").get_by_role("link", name="all names").is_visible()


def test_the_keyboard_alone_leads_from_any_page_to_a_plant(visit, address):
    page = visit("plants/dionaea/muscipula/").page
    for _ in range(30):
        page.keyboard.press("Tab")
        if page.evaluate("document.activeElement.id") == "find":
            break
    assert page.evaluate("document.activeElement.matches('#find:focus-visible')")
    page.keyboard.type("D. capensis")
    page.keyboard.press("Enter")
    page.wait_for_selector("ol.results a")
    assert page.url == f"{address}search/?q=D.+capensis"
    page.get_by_role("searchbox").focus()
    page.keyboard.press("ArrowDown")
    assert page.evaluate("document.activeElement === document.querySelector('ol.results a')")
    page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowUp")
    page.keyboard.press("ArrowUp")
    assert page.evaluate("document.activeElement.id") == "query"
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    page.keyboard.press("Enter")
    page.wait_for_url(f"{address}plants/drosera/capensis/")


def test_without_script_the_search_page_says_where_to_look(visit):
    page = visit("search/?q=drosera", java_script_enabled=False).page
    assert page.locator("noscript p").is_visible()
    assert "needs JavaScript" in page.locator("noscript p").inner_text()
    page.locator("main").get_by_role("link", name="all names").click()
    assert page.locator("h1").inner_text() == "All names"


def test_a_list_that_does_not_load_is_said(visit):
    page = visit("search/").page
    page.context.route("**/data/search.json", lambda route: route.abort())
    page.reload()
    page.get_by_role("searchbox").press_sequentially("drosera")
    page.wait_for_function("() => document.querySelector('.count').textContent.includes('could not be loaded')")


def test_names_are_compared_as_the_engine_compares_them(visit, address, base):
    names = [name.shown for entry in base.entries.values() for name in entry.names]
    assert visit("search/").page.evaluate(PLAIN, [address, names]) == [normal(name) for name in names]


def test_slips_are_counted(visit, address):
    pairs = [
        ("alata", "alata"),
        ("alata", "alta"),
        ("rajah", "raajh"),
        ("rajah", "rajahs"),
        ("ca", "abc"),
        ("a", "bcdef"),
    ]
    assert visit("search/").page.evaluate(DISTANCES, [address, pairs]) == [0, 1, 1, 1, 3, math.inf]


def slips(name, turn):
    """A name as it may be mistyped: two letters swapped, one left out, one doubled."""
    at = 2 + turn % max(1, len(name) - 4)
    return (
        name[:at] + name[at + 1] + name[at] + name[at + 2 :],
        name[:at] + name[at + 1 :],
        name[:at] + name[at] + name[at:],
    )[turn % 3]


def test_the_first_three_results_hold_what_the_engine_suggests(visit, address, base):
    """Or the plant that was meant, where the engine takes a mistyped name for another."""
    atlas = Atlas.open()
    taxa = [entry for entry in base.entries.values() if entry.kind == "taxon"]
    written = [(name.shown, entry) for entry in taxa for name in entry.names if name.kind == "synonym"][::3]
    accepted = [entry for entry in taxa if entry.form is None][::10]
    written += [(slips(entry.name, turn), entry) for turn, entry in enumerate(accepted)]
    asked = {}
    for query, meant in written:
        found = base.find(query)
        ids = (found.id,) if isinstance(found, Match) else found.candidates[:1]
        if ids:
            asked[query] = (atlas.url(base.entries[ids[0]]), atlas.url(meant))
    assert len(asked) > 150
    results = visit("search/").page.evaluate(RANKED, [address, list(asked)])
    missed = [
        (query, urls, first)
        for (query, urls), first in zip(asked.items(), results, strict=True)
        if not set(urls) & {one.partition("#")[0] for one in first}
    ]
    assert missed == []
