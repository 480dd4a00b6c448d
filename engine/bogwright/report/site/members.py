"""Lists of plants: the forms of a species, the members of a group or genus, with what divides them."""

from __future__ import annotations

from collections.abc import Sequence

from markupsafe import Markup

from bogwright.knowledge import BandClaim, Entry, Profile
from bogwright.report.site.markup import Text, cat, el, joined
from bogwright.report.site.sheet import Sheet
from bogwright.report.site.wording import REST_KINDS, figure, standing

_COLUMNS = (
    ("tolerated by day", "air.temperature_day"),
    ("tolerated by night", "air.temperature_night"),
    ("humidity", "air.humidity"),
)


def listing(sheet: Sheet, entry: Entry) -> Markup:
    """What belongs to a page: groups and plants of a genus, plants of a group, forms of a species."""
    base = sheet.atlas.base
    if entry.kind == "taxon":
        return _forms(sheet, entry)
    plants = base.members(entry.id)
    parts: list[Text] = []
    if entry.kind == "genus":
        groups = [group for group in base.groups() if group.genus == entry.genus]
        if groups:
            links = joined((sheet.entry_link(group) for group in groups), " · ")
            parts.append(sheet.section("Groups", "groups", el("p", links)))
    table = compared(sheet, plants, f"Plants of {entry.name}")
    return cat(*parts, sheet.section("Plants", "members", table)) if plants else cat(*parts)


def _forms(sheet: Sheet, entry: Entry) -> Markup:
    if entry.form is not None:
        return Markup("")
    forms = sheet.atlas.forms(entry)
    if not forms:
        return Markup("")
    differing = sheet.atlas.base.differing_forms(entry.id)
    told: list[Text] = []
    if differing:
        names = joined((sheet.entry_link(sheet.atlas.base.entries[form]) for form in differing), "; ")
        lead = "The bare name is not enough for a verdict: its forms differ in rest or temperature. Judged one by one: "
        told.append(el("p", lead, names, ".", class_="callout"))
    return sheet.section("Forms", "forms", *told, compared(sheet, forms, f"Forms of {entry.name}"))


def compared(sheet: Sheet, plants: Sequence[Entry], caption: str) -> Markup:
    """Plants side by side: tolerated temperatures, humidity and how they rest."""
    head = el("tr", *(el("th", title, scope="col") for title in ("plant", *(title for title, _ in _COLUMNS), "rest")))
    rows = []
    for plant in plants:
        profile = sheet.atlas.base.profile(plant.id)
        cells = [el("td", _span(profile.band(path)), data_label=title) for title, path in _COLUMNS]
        name = el("th", sheet.entry_link(plant), scope="row", class_="form" if plant.form else None)
        rows.append(el("tr", name, *cells, el("td", _rests(profile), data_label="rest")))
    return el("table", el("caption", caption), el("thead", head), el("tbody", *rows), class_="claims members")


def _span(claim: BandClaim | None) -> Text:
    if claim is None or claim.unknown:
        return standing("unknown")
    low, high = claim.hull("tolerates", "low"), claim.hull("tolerates", "high")
    if low is None and high is None:
        return standing("unknown")
    return figure(low[0] if low else None, high[1] if high else None, claim.field.unit)


def _rests(profile: Profile) -> str:
    """Kinds of rest over its ways, the least troublesome first."""
    seen: dict[str, None] = {}
    for way in sorted(profile.ways.values(), key=lambda way: (way.effort, way.id)):
        for rest in way.rests.values():
            seen.setdefault(
                REST_KINDS.get(rest.kind, rest.kind) + (", lifted out" if rest.where == "lifted-out" else "")
            )
        if not way.rests:
            seen.setdefault("grows all year")
    return "; ".join(seen) or "not stated"
