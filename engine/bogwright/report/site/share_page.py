"""The page on which a reader tries which plants can share an enclosure; site/theme/js/share/page.js makes it work."""

from __future__ import annotations

import json
from collections.abc import Iterator

from markupsafe import Markup

from bogwright.report.site.atlas import Atlas, Page
from bogwright.report.site.markup import Text, bullets, cat, el, joined, scientific
from bogwright.report.site.share_data import JUDGED_KINDS
from bogwright.report.site.sheet import Sheet

URL = "share/"
EXAMPLES = (
    ("A warm case on a shelf", ("drosera/capensis", "drosera/adelae", "utricularia/sandersonii")),
    ("A bog with a winter", ("dionaea/muscipula", "sarracenia/leucophylla", "drosera/rotundifolia")),
    ("Lowland and highland in one case", ("nepenthes/bicalcarata", "nepenthes/villosa", "heliamphora/nutans")),
)
# axis, label, unit, least, most: what a hobby grower can measure
_FIELDS = (
    ("temperature_day", "Usual day high", "°C", -60, 70),
    ("temperature_night", "Usual night low", "°C", -60, 70),
    ("humidity", "Usual humidity", "%", 0, 100),
    ("photoperiod", "Hours of light a day", "h", 0, 24),
    ("ppfd", "Light at the leaf", "µmol m⁻² s⁻¹", 0, 5000),
    ("solids_supply", "Dissolved solids of the water supplied", "mg/L", 0, 5000),
)


def page(atlas: Atlas) -> Page:
    """The share check. Whatever depends on the chosen plants is written by the script."""
    sheet = Sheet(atlas, URL)
    lead = "Choose plants and see whether one enclosure can serve them all, month by month, and what to build."
    body = cat(
        el("header", el("h1", "Share check"), el("p", lead), class_="title"),
        without_script(_alone(sheet)),
        el("div", id="share-state", class_="share-state", role="status"),
        Markup('<div id="share" class="share" data-root="{}" hidden>{}{}</div>').format(
            sheet.target(""), _chooser(sheet, atlas), _answer(sheet)
        ),
        el("script", type="module", src=sheet.target("js/share/page.js")),
    )
    return Page(sheet.here, "Share check", body, URL, lead)


def data(atlas: Atlas) -> Iterator[tuple[str, str]]:
    """What the script loads, as (file, JSON): the knowledge it judges with, and which rules it judges."""
    rules = [
        {"id": rule.id, "title": rule.title, "url": f"rules/{rule.id}/", "judged": rule.kind in JUDGED_KINDS}
        for rule, _ in atlas.rules.values()
    ]
    for name, made in (("share", atlas.share), ("rules", rules)):
        yield f"data/{name}.json", json.dumps(made, ensure_ascii=False, separators=(",", ":"))


def _alone(sheet: Sheet) -> Markup:
    command = el("code", 'bogwright judge "Drosera capensis" "Dionaea muscipula"')
    return cat(
        "Without it, the program judges the same way on your computer: ",
        command,
        ". What each plant asks stands on its own page, under ",
        sheet.link("Plants", "plants/"),
        ".",
    )


def without_script(told: Markup) -> Markup:
    """What a page that works in the browser says to a reader without scripts. told : where to turn instead."""
    return el("noscript", el("p", "This page works in your browser and needs its script. ", told, class_="callout"))


def choose_form() -> Markup:
    """The field in which plants are chosen by typing; site/theme/js/share/page_choose.js makes it work."""
    field = Markup(
        '<div class="combo"><input id="plant" type="text" role="combobox" aria-autocomplete="list" '
        'aria-expanded="false" aria-controls="plant-options" aria-describedby="plant-help plant-error" '
        'autocomplete="off" autocapitalize="none" spellcheck="false" enterkeyhint="done">'
        '<ul id="plant-options" role="listbox" aria-label="Plants that match" hidden></ul></div>'
    )
    return el(
        "form",
        el("label", "Add a plant", for_="plant"),
        el("div", field, el("button", "Add", type="submit"), class_="combo-row"),
        el(
            "p",
            "Latin or common name, synonym or cultivar; D. cap finds Drosera capensis.",
            id="plant-help",
            class_="dim",
        ),
        el("div", id="plant-error", class_="field-error", role="alert"),
        id="choose",
        autocomplete="off",
    )


def _chooser(sheet: Sheet, atlas: Atlas) -> Markup:
    """Form, chosen plants and the half of the world."""
    half = el(
        "fieldset",
        el("legend", "Months as in the"),
        *(
            el("label", Markup('<input type="radio" name="half" value="{}"> ').format(value), word)
            for value, word in (("north", "northern half"), ("south", "southern half"))
        ),
        class_="half",
    )
    known = [(title, ids) for title, ids in EXAMPLES if all(one in atlas.base.entries for one in ids)]
    examples = bullets(_example(atlas, title, ids) for title, ids in known) if known else ""
    told = "Nothing is chosen yet. Type a name, or begin with one of these:" if known else "Nothing is chosen yet."
    empty = el("div", el("p", told), examples, id="share-empty")
    chosen = cat(
        el("h2", "Chosen plants", id="chosen-head"), Markup('<ol id="chosen" aria-labelledby="chosen-head"></ol>')
    )
    cautions = el(
        "p",
        "Lamps, water and electricity: read the ",
        sheet.link("cautions", "cautions/"),
        " before you build. Never release plants, water or moss from a tray.",
        class_="dim",
    )
    return el("div", choose_form(), chosen, empty, half, cautions, class_="share-choice")


def _example(atlas: Atlas, title: str, ids: tuple[str, ...]) -> Markup:
    names = joined([scientific(atlas.base.entries[one].name) for one in ids])
    return cat(el("a", title, href=f"?plants={','.join(ids)}", class_="example"), ": ", names)


def _answer(sheet: Sheet) -> Markup:
    return el(
        "div",
        el("section", id="verdict", class_="verdict", tabindex="-1", aria_live="polite", aria_atomic="true"),
        el("div", id="answer"),
        _measured(sheet),
        el("div", id="more"),
        class_="share-answer",
    )


def _measured(sheet: Sheet) -> Markup:
    """What the grower measured, all of it optional."""
    told = (
        "All fields are optional; what you leave empty is not held against anything. "
        "Values are usual ones, not a single hot day. Light in lux is not converted here."
    )
    apart = el("label", Markup('<input type="checkbox" id="rest-apart"> '), "The resting months are different")
    form = el(
        "form",
        el("div", apart, class_="apart"),
        el("div", _fields("growth", "All year"), _fields("rest", "In the resting months"), class_="measured-fields"),
        Markup('<fieldset id="rest-months" class="rest-months" hidden><legend>Resting months</legend></fieldset>'),
        id="measured",
    )
    return Markup('<section id="measured-part" hidden>{}{}{}{}</section>').format(
        el("h2", "Hold your own conditions against it"),
        el("p", told, class_="dim"),
        form,
        el("div", id="measured-result", aria_live="polite"),
    )


def _fields(phase: str, title: str) -> Markup:
    rows: list[Text] = [el("legend", title)]
    for axis, label, unit, least, most in _FIELDS:
        name = f"{phase}-{axis}"
        rows.append(
            el(
                "div",
                el("label", label, " ", el("span", f"({unit})", class_="dim"), for_=name),
                Markup(
                    '<input type="number" step="any" id="{0}" min="{1}" max="{2}" data-phase="{3}" data-axis="{4}" '
                    'data-unit="{5}" aria-describedby="{0}-error">'
                ).format(name, least, most, phase, axis, unit),
                el("p", id=f"{name}-error", class_="field-error"),
                class_="field",
            )
        )
    hidden = "hidden" if phase == "rest" else None
    return el("fieldset", *rows, id=f"measured-{phase}", hidden=hidden)
