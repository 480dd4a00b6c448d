"""Rows of figures from the tables of materials and lamps: each with its standing and a note on its evidence."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from typing import Any

from markupsafe import Markup

from bogwright.enclosure.plan import span
from bogwright.knowledge import SourceRef
from bogwright.report.site.markup import Text, el
from bogwright.report.site.sheet import Sheet
from bogwright.report.site.wording import figure, standing

# from the best founded to the least
ORDER = ("published", "derived", "common-practice", "from-memory")


def weakest(claims: Iterable[Mapping[str, Any]]) -> Markup:
    """The standing of the least founded of some claims."""
    return standing(max((one["basis"] for one in claims), key=ORDER.index))


def shown(sheet: Sheet, claim: Mapping[str, Any], words: str) -> Markup:
    """What a claim says in these words, with its standing and the number of its note."""
    refs = tuple(SourceRef(one["id"], one["locator"], one["as_stated"]) for one in claim.get("sources", ()))
    told = "; ".join(claim[key].rstrip(".") for key in ("method", "note") if key in claim)
    ref = sheet.ref(claim["basis"], refs, told or None, None)
    return el("span", el("span", words, class_="figure"), " ", standing(claim["basis"]), ref, class_="stated")


def measured(sheet: Sheet, claim: Mapping[str, Any], unit: str, scale: float = 1) -> Markup:
    """The figure of a claim; scale : what it is multiplied with to have the unit."""
    low, high = (round(scale * end, 6) for end in span(claim["value"]))
    return shown(sheet, claim, figure(low, high, unit))


def facts(caption: str, rows: Iterable[tuple[str, Text]]) -> Markup:
    """A table of titles and what is known of each."""
    lines = (el("tr", el("th", title, scope="row"), el("td", told)) for title, told in rows)
    return el("table", el("caption", caption), el("tbody", *lines), class_="claims facts")
