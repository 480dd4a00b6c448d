"""The page of how the numbers of a prediction are made: every formula, and every range that is taken for granted."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from typing import Any

from markupsafe import Markup

from bogwright.report.site.atlas import Atlas, Page, row_of_table
from bogwright.report.site.markup import Text, bullets, cat, el, grid, joined
from bogwright.report.site.sheet import Sheet
from bogwright.report.site.wording import figure, standing, words

FOLDER = "numbers/"
TITLE = "How the numbers are made"
# parts of the page and the modules of the physics they tell of
PARTS = {
    "Air": ("air", "altitude"),
    "Heat": ("heat",),
    "Light": ("light", "daylight"),
    "Water": ("water",),
    "Medium": ("substrate",),
    "Remedies": ("remedies",),
}
CONDITIONS = {
    "temperature": "temperature of the case",
    "peak": "hottest it gets",
    "humidity": "humidity",
    "vpd": "vapour pressure deficit",
    "condensation": "condensation",
    "evaporation": "water lost",
    "photoperiod": "hours of light",
    "ppfd": "photon flux density",
    "dli": "light of a day",
    "solids": "solids of the water given",
    "refill": "days until a refill",
    "root-solids": "salts at the roots",
    "co2": "carbon dioxide of open water",
    "ph": "pH of open water",
    "moisture": "wetness of the medium",
    "air-filled-porosity": "air in the medium",
    "root-temperature": "temperature of the roots",
    "holding-out": "hours until a failed device matters",
}
_RAISED = re.compile(r"_([A-Za-z0-9]+)|\^([0-9.]+|[a-z](?![a-z]))")
# powers of units as printed: m-2, mm2
_POWER = re.compile(r"(?<=[a-z])-?[0-9]\b")
_SUPERSCRIPT = str.maketrans("-0123456789", "⁻⁰¹²³⁴⁵⁶⁷⁸⁹")


def page(atlas: Atlas) -> Page:
    """Formulas by part, what each condition rests on, what is taken for granted."""
    sheet = Sheet(atlas, FOLDER)
    formulas: Mapping[str, Any] = atlas.bench.table("formulas")["formulas"]
    assumptions: Mapping[str, Any] = atlas.bench.table("assumptions")["assumptions"]
    told = (
        "A prediction starts from what the plan says of room, lamps, vessel, layers and water, adds ranges for what it "
        "leaves out, and works both through the formulas below. Every figure is a range; outside the range of a "
        "formula nothing is predicted."
    )
    ask = el("p", "Single questions are answered on the command line by ", el("code", "bogwright reckon"), ".")
    parts: list[Text] = [el("header", el("h1", TITLE), el("p", told), ask, class_="title")]
    parts.append(sheet.section("What each condition rests on", "conditions", _conditions(formulas)))
    for part, modules in PARTS.items():
        rows = {key: one for key, one in formulas.items() if one["function"].partition(".")[0] in modules}
        parts.append(sheet.section(part, part.lower(), *(_formula(sheet, key, one) for key, one in rows.items())))
    lead = el(
        "p",
        "Where a plan does not state it, this is what it may be. What you measure and state goes before it, "
        "and narrows every prediction that rests on it.",
    )
    granted = _granted(sheet, assumptions)
    parts.append(sheet.section("What is taken for granted", "granted", lead, granted))
    files = cat(sheet.file("formulas.yaml"), " and ", sheet.file("assumptions.yaml"))
    mend = sheet.link("How to correct it", "correcting/")
    parts.append(el("p", "This page is built from ", files, ". ", mend, ".", class_="mend"))
    about = "Every formula of a prediction with source, range and weaknesses; every range taken for granted."
    return Page(FOLDER, TITLE, cat(*parts), FOLDER, about, (), tuple(sheet.toc))


def _conditions(formulas: Mapping[str, Any]) -> Markup:
    """Links from a condition to the formulas behind it."""
    rows = []
    for condition, title in CONDITIONS.items():
        links = [
            el("a", one["title"], href=f"#{row_of_table('formulas', key)}")
            for key, one in formulas.items()
            if condition in one.get("serves", ())
        ]
        rows.append(el("div", el("dt", title), el("dd", joined(links, "; "))))
    return el("dl", *rows, class_="facts")


def _formula(sheet: Sheet, key: str, one: Mapping[str, Any]) -> Markup:
    seen: list[tuple[str, Text]] = [("Holds for", raised(one["range"]))]
    seen.append(("Standing", _standing(sheet, one)))
    seen.append(("Weaknesses", raised(one["weaknesses"])))
    facts: list[tuple[str, Text]] = [("Signs", joined(_signs(one["symbols"]), "; "))]
    used = [CONDITIONS[condition] for condition in one.get("serves", ())]
    facts.append(("Used for", joined(used) if used else "no condition of a plan"))
    facts.append(("Checked by", joined((el("code", f"tests/{check}") for check in one["checked_by"]), ", ")))
    facts.append(("In the program", el("code", f"physics/{one['function'].replace('.', '.py: ')}")))
    head = el("h3", one["title"], id=row_of_table("formulas", key))
    more = el("details", el("summary", "Signs, use, check and program"), _facts(facts))
    return cat(head, el("p", raised(one["formula"]), class_="formula"), _facts(seen), more)


def _facts(facts: Iterable[tuple[str, Text]]) -> Markup:
    return el("dl", *(el("div", el("dt", title), el("dd", told)) for title, told in facts), class_="facts")


def raised(text: str) -> Markup:
    """A formula with its lowered and raised signs: e_s, z^2."""
    out: list[Text] = []
    last = 0
    for found in _RAISED.finditer(text):
        out += [text[last : found.start()], el("sub", found[1]) if found[1] else el("sup", found[2])]
        last = found.end()
    return cat(*out, text[last:])


def _signs(symbols: Mapping[str, tuple[str, str]]) -> Iterator[Markup]:
    for sign, (meaning, unit) in symbols.items():
        yield cat(el("b", raised(sign)), f" {meaning}", f" [{unit}]" if unit else "")


def _standing(sheet: Sheet, one: Mapping[str, Any]) -> Markup:
    """How it is founded, with what was read for it."""
    cited = [_cited(sheet, ref) for ref in one.get("sources", ())]
    return cat(standing(one["basis"]), ": " if cited else "", joined(cited, "; "))


def _cited(sheet: Sheet, ref: Mapping[str, Any]) -> Markup:
    if "as_stated" in ref:
        return sheet.cited(ref["id"], ref["locator"], ref["as_stated"])
    return cat(sheet.source_link(ref["id"]), f", {ref['locator']}")


def _granted(sheet: Sheet, assumptions: Mapping[str, Any]) -> Markup:
    heads = ("what", "range", "standing", "how to do better")
    rows = [
        (one["title"], _ranges(one), el("div", _standing(sheet, one), _remark(sheet, one)), f"state {one['ask']}")
        for one in assumptions.values()
    ]
    return grid(heads, rows, anchors=[row_of_table("assumptions", key) for key in assumptions])


def _ranges(one: Mapping[str, Any]) -> Text:
    unit = _POWER.sub(lambda found: found[0].translate(_SUPERSCRIPT), one.get("unit", ""))
    if "value" in one:
        low, high = one["value"]
        return figure(low, high, unit)
    return bullets(f"{words(word)}: {figure(low, high, unit)}" for word, (low, high) in one["by"].items())


def _remark(sheet: Sheet, one: Mapping[str, Any]) -> Text:
    return el("p", sheet.prose(one["note"]), class_="remark") if "note" in one else ""
