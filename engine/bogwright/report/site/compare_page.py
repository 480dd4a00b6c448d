"""The page on which a reader puts any plants side by side; site/theme/js/compare/page.js fills its table."""

from __future__ import annotations

import json
from collections.abc import Iterator

from markupsafe import Markup

from bogwright.knowledge import Entry
from bogwright.report.site import cells
from bogwright.report.site.atlas import Atlas, Page
from bogwright.report.site.markup import cat, el, slug
from bogwright.report.site.share_page import choose_form, without_script
from bogwright.report.site.sheet import Sheet, row_anchor
from bogwright.report.site.wording import CITES, STANDINGS
from bogwright.sharing.needs import Needs

URL = "compare/"
DATA = "data/compare.json"
_EXAMPLE = ("drosera/capensis", "dionaea/muscipula", "sarracenia/leucophylla")
# title, axis: what is tolerated in growth
_AXES = (
    ("Air by day", "temperature_day"),
    ("Air by night", "temperature_night"),
    ("Humidity", "humidity"),
    ("Light a day", "dli"),
    ("Hours of light", "photoperiod"),
    ("Solids in the supplied water", "solids_supply"),
    ("Alkalinity of that water", "alkalinity"),
    ("Water table below the crown", "table_below_crown"),
)


def page(atlas: Atlas) -> Page:
    """Choice and table. Whatever depends on the chosen plants is written by the script."""
    sheet = Sheet(atlas, URL)
    lead = "Put any plants side by side: what each tolerates for good in growth, how it rests and how large it grows."
    how = cat(
        "The page of every ",
        sheet.link("group", "groups/"),
        " compares its plants without a script. The files to ",
        sheet.link("download", "data/"),
        " hold every figure.",
    )
    example = el("a", "a sundew, a flytrap and a pitcher plant", href=f"?plants={','.join(_EXAMPLE)}")
    begin = cat(" Type a name, or begin with ", example, ".") if atlas.base.entries.keys() >= set(_EXAMPLE) else ""
    empty = el("p", "Nothing is chosen yet.", begin, id="compare-empty")
    chosen = Markup('<h2 id="chosen-head" hidden>Chosen plants</h2><ol id="chosen" aria-labelledby="chosen-head"></ol>')
    body = cat(
        el("header", el("h1", "Compare plants"), el("p", lead), class_="title"),
        without_script(how),
        el("div", id="compare-state", class_="share-state", role="status"),
        Markup('<div id="compare" class="share compare" data-root="{}" hidden>{}{}</div>').format(
            sheet.target(""),
            el("div", choose_form(), chosen, empty, class_="share-choice"),
            el("section", id="compared", aria_live="polite", aria_label="Comparison"),
        ),
        el("script", type="module", src=sheet.target("js/compare/page.js")),
    )
    return Page(sheet.here, "Compare plants", body, "plants/", lead, (("Plants", "plants/", ""),))


def data(atlas: Atlas) -> Iterator[tuple[str, str]]:
    """What the script loads, as (file, JSON).

    rows : [title, anchor of the claim on the plant's page]. cells : each once, [figure, standings, arrow].
    plants : with the number of a cell for every row, and `figures`, the page on which they are founded.
    """
    kept: dict[cells.Cell, int] = {}
    plants = []
    for entry in (*atlas.base.taxa(), *atlas.base.listed()):
        needs = atlas.sorted.of(entry)
        made = {**_identity(atlas, entry), "cells": [kept.setdefault(one, len(kept)) for one in _column(atlas, needs)]}
        plants.append({key: value for key, value in made.items() if value})
    whole = {
        "rows": [
            *((title, slug(atlas.bench.axes[axis].claim)) for title, axis in _AXES),
            ("Moisture of the medium", "water-moisture"),
            ("Rest", "year"),
            ("Size", "habit-height"),
            ("CITES", "law-cites"),
        ],
        "standings": {key: (sign, word) for key, (sign, word, _) in STANDINGS.items()},
        "cells": [(one.shown, one.standings, cells.ARROWS.get(one.whose, "")) for one in kept],
        "plants": plants,
    }
    yield DATA, json.dumps(whole, ensure_ascii=False, separators=(",", ":"))


def _identity(atlas: Atlas, entry: Entry) -> dict[str, object]:
    """Who it is, with the names it can be found by; the figures of a mere name stand on the page of its group."""
    founded = atlas.base.entries.get(entry.group or f"{entry.genus}/_genus", entry) if entry.listed else entry
    common = atlas.base.profile(entry.id).value("identity.common_names")
    return {
        "id": entry.id,
        "name": entry.name,
        "url": atlas.url(entry) + (f"#{row_anchor(entry)}" if entry.listed else ""),
        "figures": atlas.url(founded),
        "known": "name-only" if entry.listed else "profile",
        "common": [common] if isinstance(common, str) else list(common or ()),
        "synonyms": [name.shown for name in entry.names if name.kind == "synonym"],
    }


def _column(atlas: Atlas, needs: Needs) -> Iterator[cells.Cell]:
    """The figures of a plant, one a row."""
    for _, axis in _AXES:
        yield cells.tolerated(needs, atlas.bench.axes[axis])
    yield cells.moisture(needs)
    yield cells.rests(needs)
    yield cells.size(needs)
    yield cells.stated(needs, "law.cites", CITES)
