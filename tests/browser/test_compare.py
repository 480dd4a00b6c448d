"""The comparison of any plants: choice in the address, by keyboard, every figure with its standing and its claim."""

import pytest

THREE = "compare/?plants=drosera/capensis,dionaea/muscipula,drosera/banksii"

SCROLLED = """async (frame) => {
    for (let n = 0; n < 120 && !frame.scrollLeft; n += 1) await new Promise(requestAnimationFrame);
    return frame.scrollLeft;
}"""


@pytest.fixture
def compared(visit):
    """Opens the comparison with a query."""

    def opening(url, **options):
        opened = visit(url, **options)
        opened.page.locator("#compare").wait_for()
        return opened

    return opening


def heads(page):
    return [text.split("\n")[0] for text in page.locator("#compared thead th").all_inner_texts()[1:]]


def test_the_address_holds_the_choice(compared):
    opened = compared(THREE)
    assert heads(opened.page) == ["Drosera capensis", "Dionaea muscipula", "Drosera banksii"]
    assert opened.faults == []
    link = opened.page.get_by_role("link", name="Can they share an enclosure?")
    assert link.get_attribute("href").endswith("share/?plants=drosera/capensis,dionaea/muscipula,drosera/banksii")


def test_every_figure_shows_its_standing_and_leads_to_its_claim(compared, address):
    page = compared(THREE).page
    cells = page.locator("#compared tbody td")
    links = set()
    for n in range(cells.count()):
        cell = cells.nth(n)
        if cell.inner_text() != "no demand":
            assert cell.locator(".standing").count() > 0, cell.inner_text()
        links |= {link.get_attribute("href") for link in cell.locator("a").all()}
    own = [link for link in links if "plants/drosera/capensis/" in link]
    assert len(own) > 9
    page.goto(f"{address}plants/drosera/capensis/")
    anchors = {link.partition("#")[2] for link in own}
    assert [anchor for anchor in anchors if page.locator(f"[id='{anchor}']").count() != 1] == []


def test_plants_are_added_and_taken_away_by_keyboard(compared):
    page = compared("compare/").page
    page.locator("#plant").focus()
    page.keyboard.type("d. adelae")
    page.keyboard.press("Enter")
    page.keyboard.type("venus flytrap")
    page.keyboard.press("Enter")
    assert heads(page) == ["Drosera adelae", "Dionaea muscipula"]
    assert page.url.endswith("?plants=drosera/adelae,dionaea/muscipula")
    page.get_by_role("button", name="Remove Drosera adelae").press("Enter")
    assert heads(page) == ["Dionaea muscipula"]
    assert page.evaluate("document.activeElement.textContent") == "Remove Dionaea muscipula"


def test_what_the_address_names_in_vain_is_told(compared):
    opened = compared("compare/?plants=no/such,drosera/capensis")
    assert "no/such" in opened.page.locator("#compare-state").inner_text()
    assert heads(opened.page) == ["Drosera capensis"]
    assert opened.faults == []


def test_a_phone_scrolls_the_table_alone(compared):
    page = compared(THREE, viewport={"width": 390, "height": 844}).page
    assert page.evaluate("document.documentElement.scrollWidth") <= 390
    frame = page.locator("#compared .wide")
    frame.focus()
    page.keyboard.press("ArrowRight")
    assert frame.evaluate(SCROLLED) > 0


def test_share_check_and_plants_lead_to_it(compared, visit):
    page = visit("share/?plants=drosera/capensis,drosera/adelae").page
    link = page.get_by_role("link", name="Every figure with its standing")
    assert link.get_attribute("href").endswith("compare/?plants=drosera/capensis,drosera/adelae")
    page = visit("plants/drosera/adelae/").page
    page.get_by_role("link", name="Compare it with others").click()
    page.locator("#compared table").wait_for()
    assert heads(page) == ["Drosera adelae"]
