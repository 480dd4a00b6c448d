"""The share check as a visitor uses it: the shipped page, its own solver and the shipped knowledge."""

import re
from urllib.parse import urlsplit

import pytest
import yaml

from bogwright.judge.ask import ask_plan
from bogwright.judge.bench import Bench
from bogwright.judge.read import load_plan

BOG = "share/?plants=dionaea/muscipula,sarracenia/leucophylla,drosera/rotundifolia"
CLASH = "share/?plants=nepenthes/bicalcarata,nepenthes/villosa,heliamphora/nutans"
ALONE = "share/?plants=drosera/capensis"
PHONE = {"width": 390, "height": 844}
DENIED = "() => { navigator.clipboard.writeText = () => Promise.reject(new Error('denied')); }"


def verdict(page, word):
    """Wait until the page gives this verdict."""
    page.locator(".verdict-word", has_text=re.compile(rf"\b{word}$")).wait_for()


def chosen(page):
    return page.locator("#chosen .latin").all_inner_texts()


def query(page):
    return urlsplit(page.url).query


def settled(page):
    """Wait until the last part of an answer, which tries every other plant, is there."""
    page.locator("p[role=status]", has_text="other plants would fit:").wait_for()


def typed(page, name):
    """Type a name and press Enter."""
    page.get_by_role("combobox", name="Add a plant").press_sequentially(name)
    page.keyboard.press("Enter")


def test_a_name_and_enter_give_an_answer(visit):
    opened = visit("share/")
    page = opened.page
    page.get_by_text("Nothing is chosen yet").wait_for()
    assert page.locator(".share-answer").is_hidden()
    typed(page, "Drosera capensis")
    verdict(page, "Sound")
    typed(page, "venus flytrap")
    page.get_by_role("heading", name="Chosen plants (2)").wait_for()
    assert chosen(page) == ["Drosera capensis", "Dionaea muscipula"]
    assert query(page) == "plants=drosera/capensis,dionaea/muscipula"
    assert page.get_by_role("combobox").input_value() == ""
    typed(page, "Drosera capensis")
    page.get_by_role("alert").get_by_text("Drosera capensis is chosen already.").wait_for()
    assert opened.faults == []
    assert opened.outside == []


def test_matches_are_walked_by_keyboard(visit):
    page = visit("share/").page
    field = page.get_by_role("combobox", name="Add a plant")
    field.press_sequentially("D. cap")
    options = page.get_by_role("option")
    options.first.wait_for()
    assert field.get_attribute("aria-expanded") == "true"
    names = options.locator(".latin").all_inner_texts()
    assert "Drosera capensis" in names and len(names) > 1
    for _ in names:
        page.keyboard.press("ArrowDown")
    page.keyboard.press("ArrowUp")
    marked = page.get_by_role("option", selected=True)
    assert marked.get_attribute("id") == field.get_attribute("aria-activedescendant")
    assert marked.locator(".latin").inner_text() == names[-2]
    page.keyboard.press("Enter")
    verdict(page, "(Sound|Conditional|Unproven)")
    assert chosen(page) == [names[-2]]
    field.press_sequentially("drosera")
    options.first.wait_for()
    page.keyboard.press("Escape")
    options.first.wait_for(state="hidden")
    assert field.get_attribute("aria-expanded") == "false"
    assert field.evaluate("field => field === document.activeElement")


def test_a_misspelt_name_is_told_with_its_neighbours(visit):
    page = visit("share/").page
    typed(page, "Drosera adelea")
    told = page.get_by_role("alert")
    told.get_by_text("No plant is known as “Drosera adelea”. Did you mean").wait_for()
    assert page.get_by_role("combobox").get_attribute("aria-invalid") == "true"
    assert chosen(page) == []
    told.get_by_role("button", name="add Drosera adelae").click()
    verdict(page, "Sound")
    assert chosen(page) == ["Drosera adelae"]
    assert page.locator("#plant-error").text_content() == ""


def test_a_plant_is_removed_and_the_focus_stays_near(visit):
    page = visit(BOG).page
    verdict(page, "Sound")
    page.get_by_role("button", name="Remove Sarracenia leucophylla").click()
    page.get_by_role("heading", name="Chosen plants (2)").wait_for()
    assert query(page) == "plants=dionaea/muscipula,drosera/rotundifolia"
    assert page.evaluate("document.activeElement.textContent") == "Remove Drosera rotundifolia"
    for _ in range(2):
        page.keyboard.press("Enter")
    page.get_by_text("Nothing is chosen yet").wait_for()
    assert query(page) == ""
    assert page.evaluate("document.activeElement.id") == "plant"


def test_an_address_reopens_the_choice_and_tells_what_it_left_out(visit):
    opened = visit("share/?plants=drosera/capensis,foo/bar,drosera/adelae&south")
    page = opened.page
    verdict(page, "Sound")
    assert chosen(page) == ["Drosera capensis", "Drosera adelae"]
    assert page.locator("#share-state").inner_text() == (
        "The address names “foo/bar”, which is not known here. It is left out."
    )
    assert page.get_by_label("southern half").is_checked()
    page.get_by_label("northern half").check()
    assert query(page) == "plants=drosera/capensis,drosera/adelae"
    assert opened.faults == []


def test_a_species_whose_forms_differ_is_chosen_by_form(visit):
    page = visit("share/?plants=aldrovanda/vesiculosa").page
    told = page.locator("#share-state")
    told.get_by_text("ask for different things").wait_for()
    told.get_by_role("button").first.click()
    page.get_by_role("heading", name="Chosen plants (1)").wait_for()
    assert query(page).startswith("plants=aldrovanda/vesiculosa/")


def test_leaving_one_out_lets_the_rest_share(visit):
    page = visit(CLASH).page
    verdict(page, "Unsound")
    page.locator("#verdict").get_by_text("The problem: ").wait_for()
    assert page.get_by_role("heading", name="What else would fit").count() == 0
    page.get_by_role("button", name="Leave out Nepenthes bicalcarata").click()
    verdict(page, "(Sound|Conditional)")
    assert chosen(page) == ["Nepenthes villosa", "Heliamphora nutans"]
    assert query(page) == "plants=nepenthes/villosa,heliamphora/nutans"
    assert page.evaluate("document.activeElement.id") == "verdict"


def test_a_plant_that_would_fit_is_added(visit):
    page = visit(ALONE).page
    settled(page)
    soundly = page.locator("section", has=page.get_by_role("heading", name="Soundly, the roomiest first")).last
    offered = soundly.locator(".others li").first
    name = offered.locator(".latin").inner_text()
    rooms = [
        float(re.search(r"room to spare: ([\d.]+) times", told)[1]) for told in soundly.locator("li").all_inner_texts()
    ]
    assert rooms == sorted(rooms, reverse=True)
    offered.get_by_role("button").click()
    page.get_by_role("heading", name="Chosen plants (2)").wait_for()
    verdict(page, "Sound")
    assert chosen(page) == ["Drosera capensis", name]


def test_own_conditions_are_held_against_plants_and_window(visit):
    page = visit(ALONE).page
    verdict(page, "Sound")
    told = page.locator("#measured-result")
    day, night = page.get_by_label("Usual day high").first, page.get_by_label("Usual night low").first
    night.fill("-5")
    rows = told.locator("tbody tr")
    assert rows.locator("th").all_inner_texts() == ["The shared window", "Drosera capensis"]
    for row in rows.all():
        assert re.search(r"does not keep\s+Air by night: too low by \d", row.inner_text())
    day.fill("45")
    assert re.search(r"Air by day: too high by \d", rows.last.inner_text())
    day.fill("24")
    night.fill("15")
    assert "too " not in told.inner_text()
    for axis in ("Air by day", "Air by night"):
        assert f"{axis}: keeps" in rows.last.inner_text()
    night.fill("30")
    assert "exchanged" in page.locator("#growth-temperature_night-error").inner_text()
    day.fill("99")
    assert "between" in page.locator("#growth-temperature_day-error").inner_text()
    assert told.inner_text() == "Mend the fields above first."


def test_the_answer_is_copied_or_shown_to_copy(visit):
    page = visit(CLASH, permissions=["clipboard-read", "clipboard-write"]).page
    copying = page.get_by_role("button", name="Copy as text")
    copying.click()
    page.get_by_text("Text copied.").wait_for()
    text = page.evaluate("navigator.clipboard.readText()")
    assert text.startswith("Share check: Nepenthes bicalcarata, Nepenthes villosa and Heliamphora nutans\n\nUNSOUND. ")
    assert "\nThe rest shares without:\n- Nepenthes bicalcarata\n" in text
    assert text.endswith(f"\n{page.url}\n")
    page.evaluate(DENIED)
    copying.click()
    assert page.get_by_label("Text to copy").input_value() == text


@pytest.mark.parametrize(
    ("url", "midwinter", "apart"),
    [
        (ALONE, 12, False),
        ("share/?plants=dionaea/muscipula,pinguicula/moranensis,drosera/capensis/albino&south", 6, True),
    ],
    ids=["one", "three-and-a-winter"],
)
def test_the_plan_file_is_one_the_engine_judges(visit, tmp_path, url, midwinter, apart):
    page = visit(url).page
    page.get_by_role("button", name="Download plan file").wait_for()
    if apart:
        page.get_by_label("The resting months are different").check()
        page.locator("#growth-temperature_day").fill("25.5")
        page.locator("#rest-temperature_day").fill("12")
        page.locator("#growth-humidity").fill("70")
    with page.expect_download() as downloading:
        page.get_by_role("button", name="Download plan file").click()
    assert downloading.value.suggested_filename == "enclosure.yaml"
    file = tmp_path / "enclosure.yaml"
    downloading.value.save_as(file)
    bench = Bench.open()
    loaded = load_plan(bench, str(file))
    assert ask_plan(bench, loaded.plan, loaded.data, lambda n, message: None).verdict
    assert sorted(plant.taxon for plant in loaded.plan.plants) == sorted(chosen(page))
    assert loaded.plan.midwinter == midwinter
    case = yaml.safe_load(file.read_text(encoding="utf-8"))["case"]
    assert case["vessel"] == {"openings": "unknown"}
    stated = case.keys() - {"vessel", "year"}
    assert stated == ({"temperature_day", "humidity"} if apart else set())
    if apart:
        assert set(case["temperature_day"]["usual"]) == {25.5, 12}


def test_data_that_cannot_be_loaded_are_told_and_tried_again(visit):
    opened = visit("cautions/")
    page = opened.page
    page.wait_for_load_state("networkidle")
    page.route("**/data/share.json", lambda route: route.fulfill(status=404))
    page.goto(page.url.replace("cautions/", ALONE))
    page.get_by_text("could not be loaded").wait_for()
    assert page.locator("#share").is_hidden()
    assert [fault for fault in opened.faults if "share.json" not in fault and "404" not in fault] == []
    page.unroute("**/data/share.json")
    page.get_by_role("button", name="Try again").click()
    verdict(page, "Sound")


@pytest.mark.parametrize("width", [390, 1280])
def test_nothing_can_be_chosen_before_the_data_are_there(visit, width):
    page = visit("cautions/", viewport={"width": width, "height": 844}).page
    waiting = []
    page.route("**/data/share.json", lambda route: waiting.append(route))
    with page.expect_request("**/data/share.json"):
        page.goto(page.url.replace("cautions/", ALONE))
    page.get_by_text("Loading what is known").wait_for()
    assert page.locator("#share").is_hidden()
    for route in waiting:
        route.continue_()
    verdict(page, "Sound")
    assert page.locator("#share-state").is_hidden()


@pytest.mark.parametrize("script", ["delete window.Worker;", "Worker = class { constructor() { throw Error(); } };"])
def test_a_browser_without_workers_finds_the_same(visit, script):
    page = visit("cautions/").page
    page.add_init_script(script)
    page.goto(page.url.replace("cautions/", CLASH))
    verdict(page, "Unsound")
    page.get_by_role("button", name="Leave out Nepenthes bicalcarata").click()
    verdict(page, "(Sound|Conditional)")
    assert page.workers == []


def test_a_worker_that_cannot_be_loaded_is_done_without(visit):
    page = visit("cautions/").page
    page.context.route("**/worker.js", lambda route: route.fulfill(status=404))
    page.goto(page.url.replace("cautions/", CLASH))
    verdict(page, "Unsound")
    page.get_by_role("button", name="Leave out Nepenthes bicalcarata").wait_for()


def test_answers_are_found_beside_the_page(visit):
    opened = visit(BOG)
    verdict(opened.page, "Sound")
    assert [urlsplit(worker.url).path.rpartition("/")[2] for worker in opened.page.workers] == ["worker.js"]
    assert opened.faults == []


def test_without_script_the_page_says_what_does_the_same(visit):
    page = visit(ALONE, java_script_enabled=False).page
    assert page.locator("noscript .callout").is_visible()
    assert page.locator("main").get_by_role("link", name="Plants").is_visible()
    assert page.locator("#share").is_hidden()


@pytest.mark.parametrize("url", [BOG, CLASH], ids=["sound", "unsound"])
def test_a_phone_shows_an_answer_without_scrolling_sideways(visit, url):
    page = visit(url, viewport=PHONE).page
    verdict(page, "(Sound|Unsound)")
    page.get_by_role("heading", name="Keep this answer").wait_for()
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("url", [BOG, CLASH], ids=["sound", "unsound"])
def test_an_answer_has_no_grave_barrier(visit, barriers, url, scheme):
    page = visit(url, color_scheme=scheme).page
    verdict(page, "(Sound|Unsound)")
    if url == BOG:
        settled(page)
    assert barriers(page, scheme) == []
