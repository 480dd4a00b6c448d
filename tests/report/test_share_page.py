"""The share check page: its pure parts, the plan it writes, and what a visitor does, in a browser with mock answers."""

import json
import shutil
import subprocess
import sys
from pathlib import Path

import pytest
import yaml

from bogwright import data
from bogwright.judge.ask import ask_plan, resolve
from bogwright.judge.bench import Bench
from bogwright.judge.read import load_plan
from bogwright.report.site import share_page
from bogwright.report.site.atlas import Atlas

HERE = Path(__file__).parent / "share"
sys.path.insert(0, str(HERE))
import browser  # noqa: E402

SCRIPTS = data.site_folder() / "theme" / "js" / "share"
NODE = shutil.which("node")
ENTER, DOWN = ("Enter", 13), ("ArrowDown", 40)
needs_node = pytest.mark.skipif(NODE is None, reason="node is not installed")
needs_browser = pytest.mark.skipif(browser.CHROMIUM is None, reason="Chromium is not installed")


@pytest.fixture(scope="module")
def atlas(tmp_path_factory):
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("BOGWRIGHT_CACHE", str(tmp_path_factory.mktemp("share-cache")))
        yield Atlas.open()


@pytest.fixture
def modules(tmp_path):
    """The tests and the page's modules as one package of ES modules."""
    for file in HERE.glob("*.js"):
        shutil.copy(file, tmp_path)
    shutil.copytree(SCRIPTS, tmp_path / "share")
    (tmp_path / "package.json").write_text('{"type": "module"}')
    return tmp_path


@needs_node
def test_pure_parts(modules):
    done = subprocess.run(
        [NODE, "--test", "pure.test.js"], cwd=modules, capture_output=True, text=True, timeout=60, check=False
    )
    assert done.returncode == 0, done.stdout


CHOICES = [
    {
        "names": ["Drosera capensis"],
        "beds": [],
        "measured": {"growth": {}, "rest": None, "restMonths": []},
        "south": False,
    },
    {
        "names": ["Dionaea muscipula", "Pinguicula moranensis", "Drosera capensis 'Albino'"],
        "beds": [["dionaea/muscipula"], ["pinguicula/moranensis"]],
        "measured": {
            "growth": {"temperature_day": 25.5, "temperature_night": 15, "humidity": 70, "ppfd": 200},
            "rest": {"temperature_day": 12, "temperature_night": -1, "photoperiod": 9, "solids_supply": 10},
            "restMonths": [11, 0, 1],
        },
        "south": True,
    },
]
ENTER_VALUE = """(() => {{
    const field = document.getElementById('{}');
    field.value = {};
    field.dispatchEvent(new Event('input', {{bubbles: true}}));
}})()"""


@needs_node
def test_the_plan_is_one_the_engine_judges(modules, atlas, tmp_path):
    bench: Bench = atlas.bench
    known = {entry.name: entry.id for entry in (*bench.base.taxa(), *bench.base.listed())}
    choices = [
        {**choice, "plants": [{"id": known[n], "name": n} for n in choice["names"] if n in known]} for choice in CHOICES
    ]
    done = subprocess.run(
        [NODE, "plans.js"],
        cwd=modules,
        input=json.dumps(choices),
        capture_output=True,
        text=True,
        timeout=60,
        check=True,
    )
    for choice, text in zip(choices, json.loads(done.stdout), strict=True):
        file = tmp_path / "plan.yaml"
        file.write_text(text, encoding="utf-8")
        loaded = load_plan(bench, str(file))
        assert ask_plan(bench, loaded.plan, loaded.data, lambda n, message: None).verdict
        assert sorted(plant.taxon for plant in loaded.plan.plants) == sorted(choice["names"])
        told = yaml.safe_load(text)
        assert set(told["case"]) - {"vessel", "year"} <= {
            "temperature_day",
            "temperature_night",
            "photoperiod",
            "humidity",
        }
        assert told["case"]["vessel"] == {"openings": "unknown"}
        assert loaded.plan.midwinter == (6 if choice["south"] else 12)


def test_every_example_names_plants_that_can_be_chosen(atlas):
    for _, ids in share_page.EXAMPLES:
        for one in ids:
            assert resolve(atlas.bench, atlas.base.entries[one].name) == (one,)


@pytest.fixture(scope="module")
def page(tmp_path_factory, atlas):
    """The page in a browser, its knowledge and judgement mocked."""
    if browser.CHROMIUM is None:
        pytest.skip("Chromium is not installed")
    folder = tmp_path_factory.mktemp("share-site")
    shutil.copytree(SCRIPTS, folder / "js" / "share")
    for file in (HERE / "mock").glob("*.js"):
        shutil.copy(file, folder / "js" / "share")
    (folder / "data").mkdir()
    rules = [{"id": "a", "title": "Roots drown", "url": "rules/a/", "judged": False}]
    (folder / "data" / "rules.json").write_text(json.dumps(rules))
    (folder / "share").mkdir()
    body = share_page.page(atlas).body
    shutil.copy(data.site_folder() / "theme" / "img" / "mark.svg", folder)
    head = '<!doctype html><meta charset="utf-8"><link rel="icon" href="../mark.svg">'
    (folder / "share" / "index.html").write_text(f"{head}<body>{body}", encoding="utf-8")
    with browser.served(folder) as address:
        tab = browser.Tab(tmp_path_factory.mktemp("profile"))
        yield tab, f"{address}share/"
        tab.close()


READY = "!document.getElementById('share').hidden"
VERDICT = "document.querySelector('.verdict-word').textContent"
CHOSEN = "[...document.querySelectorAll('#chosen .latin')].map(one => one.textContent)"


def test_choosing_by_typing(page):
    tab, address = page
    tab.open(address)
    tab.wait(READY)
    assert tab.value("!document.getElementById('share-empty').hidden")
    tab.value("document.getElementById('plant').focus()")
    tab.type("d. cap")
    tab.wait("document.querySelectorAll('[role=option]').length === 2")
    tab.press(*DOWN)
    assert tab.value("document.getElementById('plant').getAttribute('aria-activedescendant')") == "plant-option-0"
    tab.press(*ENTER)
    assert "Sound" in tab.wait(VERDICT)
    tab.type("venus flytrap")
    tab.press(*ENTER)
    tab.wait(f"{VERDICT}.includes('Conditional')")
    assert tab.value(CHOSEN) == ["Drosera capensis", "Dionaea muscipula"]
    assert tab.value("location.search") == "?plants=drosera/capensis,dionaea/muscipula"
    tab.type("Dionea muscipulla")
    tab.press(*ENTER)
    assert "No plant is known" in tab.wait("document.getElementById('plant-error').textContent")
    tab.wait("document.querySelectorAll('.others li').length")
    tab.wait("document.querySelector('.pairs td').textContent.includes('if')")
    assert tab.faults == []


def test_an_address_reopens_the_choice_and_tells_what_it_left_out(page):
    tab, address = page
    tab.open(f"{address}?plants=nepenthes/villosa,foo/bar,nepenthes/bicalcarata&south")
    tab.wait(f"{VERDICT}.includes('Unsound')")
    assert "foo/bar" in tab.value("document.getElementById('share-state').textContent")
    assert tab.value("document.querySelector('input[value=south]').checked")
    tab.value("document.querySelector('.drops button').click()")
    tab.wait(f"{VERDICT}.includes('Sound')")
    assert tab.value("location.search") == "?plants=nepenthes/villosa&south"
    assert tab.faults == []


def test_own_conditions_are_held_against_plants_and_window(page):
    tab, address = page
    tab.open(f"{address}?plants=drosera/capensis")
    tab.wait(f"{VERDICT}.includes('Sound')")
    tab.value(ENTER_VALUE.format("growth-temperature_night", 2))
    told = tab.value("document.getElementById('measured-result').textContent")
    assert "too low by 8.5" in told and "too low by 6" in told
    tab.value(ENTER_VALUE.format("growth-temperature_day", 1))
    assert "exchanged" in tab.value("document.getElementById('growth-temperature_night-error').textContent")
    tab.value(ENTER_VALUE.format("growth-temperature_day", 99))
    assert "between" in tab.value("document.getElementById('growth-temperature_day-error').textContent")


def test_data_that_cannot_be_loaded_are_told(page):
    tab, address = page
    tab.open(f"{address}?fail")
    tab.wait("document.getElementById('share-state').textContent.includes('could not be loaded')")
    assert tab.value("document.getElementById('share').hidden")
