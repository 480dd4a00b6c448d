"""A demo enclosure: a plan drawn, its conditions with what they rest on, and the verdict with its rules."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from typing import Any

from markupsafe import Markup

from bogwright import data
from bogwright.judge.ask import AskError, ask_plan
from bogwright.judge.read import LoadedPlan, PlanError, load_plan
from bogwright.report import conditions
from bogwright.report.conditions import conditions_content, year_in_words
from bogwright.report.content import HORIZONS, content
from bogwright.report.section import section
from bogwright.report.site.atlas import Atlas, Page
from bogwright.report.site.markup import Text, bullets, cat, el, grid, joined
from bogwright.report.site.sheet import Sheet
from bogwright.report.site.wording import capital, mark, severity
from bogwright.report.strips import strips

DEMO = "plans/hall-case.yaml"  # below kb/
_DASH = re.compile(r"(?<=\d)–(?=\d)")
_UNIT = re.compile(r"(?<=\d) (?=[^\d(])")
HOWS = {
    "measured": ("■", "measured", "stated by the plan"),
    "predicted": ("▨", "predicted", "worked out from the plan and from what is taken for granted"),
    "unknown": ("?", "not predicted", "something is wanted for it"),
}


def page(atlas: Atlas) -> Page:
    """The demo plan, from its picture to its verdict; a knowledge base without it says so."""
    sheet = Sheet(atlas, "demo/")
    try:
        loaded = load_plan(atlas.bench, str(data.kb_folder() / DEMO))
    except PlanError:
        told: Text = cat("This knowledge base has no sound plan at ", sheet.file(DEMO), ".")
        sections: list[Markup] = []
    else:
        told, sections = _lead(sheet, loaded), _sections(sheet, loaded)
    body = cat(el("header", el("h1", "A demo enclosure"), el("p", told), class_="title"), *sections)
    about = "A planned case drawn and predicted month by month, with what each figure rests on, and judged."
    return Page(
        sheet.here, "A demo enclosure", body, "verdicts/", about, (("Verdicts", "verdicts/", ""),), tuple(sheet.toc)
    )


def _lead(sheet: Sheet, loaded: LoadedPlan) -> Markup:
    return cat(
        f"{loaded.plan.title}. {loaded.data.get('notes', '')} Its figures are invented. ",
        "Drawn, predicted and judged from ",
        sheet.file(DEMO, 1),
        " when this page was built; ",
        el("code", "bogwright conditions PLAN.yaml"),
        " does the same for a plan of yours.",
    )


def _sections(sheet: Sheet, loaded: LoadedPlan) -> list[Markup]:
    made = conditions_content(sheet.atlas.bench, loaded.plan)
    pictures = el("div", section(loaded.plan, made), strips(made), class_="pictures")
    return [
        sheet.section("The case and its year", "picture", pictures),
        sheet.section("Conditions", "conditions", *_conditions(made)),
        sheet.section("What this rests on", "rests-on", *_resting(made)),
        sheet.section("Not predicted", "wanted", *_wanted(made)),
        sheet.section("If something fails", "failures", *_failures(made)),
        sheet.section("The verdict", "verdict", *_verdict(sheet, loaded)),
    ]


def _table(heads: Sequence[str], rows: Iterable[Sequence[Text]]) -> Markup:
    return grid(heads, ((name, *(el("div", cell) for cell in cells)) for name, *cells in rows))


def _conditions(made: Mapping[str, Any]) -> Iterator[Markup]:
    """A table for each part: condition, its year, how it was got, what was taken for granted for it, by number."""
    granted = _granted(made)
    yield el("p", "Each figure is a range: what it may be, given all it rests on.", class_="dim")
    for said in conditions.dew(made):
        yield el("p", said)
    for part in made["parts"]:
        yield el("h3", conditions.heading(part, made))
        yield _table(
            ("condition", "in the year", "how", "taken for granted"),
            [
                (
                    capital(row["title"]),
                    "—" if row["how"] == "unknown" else _whole(year_in_words(row)),
                    mark(HOWS, row["how"], "standing"),
                    joined(link for name, link in granted.items() if name in row["rests_on"]) or "—",
                )
                for row in part["rows"]
            ],
        )


def _granted(made: Mapping[str, Any]) -> dict[str, Markup]:
    """Links to the figures that were taken for granted, by name."""
    return {
        one["name"]: el("a", str(n), href=f"#figure-{n}", title=one["title"], aria_label=f"{n}: {one['title']}")
        for n, one in enumerate(made["rests_on"], 1)
        if not one["stated"]
    }


def _whole(figures: str) -> str:
    """Figures that keep both ends and their unit on one line."""
    return _DASH.sub("\u2060–\u2060", _UNIT.sub("\u00a0", figures))


def _resting(made: Mapping[str, Any]) -> Iterator[Markup]:
    if not made["rests_on"]:
        yield el("p", "Nothing but what the plan states.", class_="dim")
        return
    yield _table(
        ("figure", "range", "where from", "how to do better"),
        [
            (
                el("span", f"{n}. {one['title']}", id=f"figure-{n}"),
                _whole(year_in_words(one)),
                "stated by the plan" if one["stated"] else "taken for granted",
                one["ask"] if one["ask"] and conditions.wide(one) else "—",
            )
            for n, one in enumerate(made["rests_on"], 1)
        ],
    )


def _wanted(made: Mapping[str, Any]) -> Iterator[Markup]:
    if not made["needs"]:
        yield el("p", "Nothing: every condition is measured or predicted.", class_="dim")
        return
    items: list[Text] = [cat(el("strong", one["needs"]), f": for {', '.join(one['for'])}") for one in made["needs"]]
    yield bullets(items)


def _failures(made: Mapping[str, Any]) -> Iterator[Markup]:
    yield el(
        "p",
        "Until a plant in growth is beyond the coldest night or the hottest day that it survives. The heat of water "
        "and of stated panes is counted; evaporation, the medium and draughts are not.",
        class_="dim",
    )
    rows = (
        (failure, ", ".join(f"{one['plant']}{conditions.limit_words(one)}" for one in ones), words)
        for failure in (conditions.COLD, conditions.HOT)
        for words, ones in conditions.fates(made, failure).items()
    )
    yield _table(("what fails", "for", "how long"), rows)


def _verdict(sheet: Sheet, loaded: LoadedPlan) -> Iterator[Markup]:
    """What the rules make of it, with a link to each rule that decides."""
    try:
        judged = content(ask_plan(sheet.atlas.bench, loaded.plan, loaded.data, lambda _n, _message: None))
    except AskError as error:
        yield el("p", f"Not judged: {'; '.join(error.problems)}.")
        return
    yield el("p", el("strong", judged["verdict"].capitalize()), f" {HORIZONS[judged['horizon']]}.", class_="lead")
    if judged["readings"]:
        yield bullets(f"{one['verdict']}: {one['reading']}" for one in judged["readings"])
    plants = (
        (
            one["plant"],
            one["outcome"] + (" if you keep the conditions" if one["if_kept"] else ""),
            one.get("because", "—"),
        )
        for one in judged["plants"]
    )
    yield _table(("plant", "outcome", "because"), plants)
    if judged["findings"]:
        yield el("h3", "What decides")
        yield bullets(_finding(sheet, one) for one in judged["findings"])
    if judged.get("settings"):
        yield el("h3", "What to change, one after another")
        yield el("p", "Worked out on the model of the enclosure, each judged again with all before it made.")
        yield el("ol", *(el("li", f"{one['change']} → {one['verdict']}") for one in judged["settings"]))
    if judged["actions"]:
        yield el("h3", "What would make it work")
        yield bullets(f"{one['action']} → {one['verdict']}" for one in judged["actions"])
    yield el("p", sheet.link("How a verdict is reached", "verdicts/"), ".")


def _finding(sheet: Sheet, one: Mapping[str, Any]) -> Markup:
    rule = sheet.link(one["title"], f"rules/{one['rule']}/")
    said: list[Text] = [severity(one["severity"]), f": {one['says']}", f" → {one['do']}" if one.get("do") else ""]
    return joined([cat(*said), rule], " Rule: ")
