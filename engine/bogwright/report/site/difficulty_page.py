"""Plants by difficulty: by how much leeway the width of their needs leaves a grower."""

from __future__ import annotations

from collections.abc import Iterable
from statistics import median

from markupsafe import Markup

from bogwright.report.site import cells
from bogwright.report.site.atlas import Atlas, Page
from bogwright.report.site.markup import Text, bullets, cat, el
from bogwright.report.site.needs import Sorted
from bogwright.report.site.sheet import Sheet
from bogwright.report.site.wording import REST_KINDS, counted, figure, standing, words
from bogwright.sharing.demands import word
from bogwright.sharing.months import GROWTH
from bogwright.sharing.needs import Needs

PARTS = {
    "temperature_day": "days",
    "temperature_night": "nights",
    "humidity": "humidity",
    "dli": "light",
    "solids_supply": "water",
    "moisture": "moisture",
    "year": "year",
    "handling": "handling",
}


def page(atlas: Atlas) -> Page:
    """All plants, widest first, with the reasons."""
    sheet = Sheet(atlas, "difficulty/")
    kept = atlas.sorted
    measured = [taxon for taxon in atlas.base.taxa() if taxon.id in kept.measured]
    shown = [taxon for taxon in measured if taxon.form is None or not _as_species(atlas, taxon.id)]
    by_rank: dict[str, list[str]] = {rank: [] for rank in kept.measure.classes}
    for taxon in shown:
        if taxon.id in kept.ranks:
            by_rank[kept.ranks[taxon.id]].append(taxon.id)
    middles = middle_shares(kept)
    sections = [sheet.section("How it is measured", "measure", *_definition(sheet))]
    for rank, plants in by_rank.items():
        plants.sort(key=lambda plant: (-(kept.leeway[plant].measure or 0.0), plant))
        lead = el("p", f"{counted(len(plants), 'plant')}, the widest first.", class_="dim")
        sections.append(sheet.section(f"{rank.capitalize()} leeway", rank, lead, _table(sheet, rank, plants, middles)))
    unknown = [sheet.entry_link(taxon) for taxon in shown if taxon.id not in kept.ranks]
    most = kept.measure.unknown_at_most
    missing = f"More than {most} of the {len(PARTS)} parts are not known."
    names = bullets(unknown) if unknown else el("p", "None.", class_="dim")
    sections.append(sheet.section("Cannot say", "unknown", el("p", missing), names))
    told = (
        "How much leeway each plant leaves its grower, measured from the width of what it tolerates: no opinion enters."
    )
    body = cat(el("header", el("h1", "Plants by difficulty"), el("p", told), class_="title"), *sections)
    trail = (("Plants by need", "needs/", ""),)
    about = "Plants from the widest to the narrowest needs, measured, with the reason for each."
    return Page(sheet.here, "Plants by difficulty", body, "needs/", about, trail, tuple(sheet.toc))


def _as_species(atlas: Atlas, form: str) -> bool:
    entry = atlas.base.entries[form]
    return atlas.sorted.leeway[form] == atlas.sorted.leeway[atlas.species_of(entry).id]


def _definition(sheet: Sheet) -> list[Text]:
    """The measure with its figures."""
    measure = sheet.atlas.sorted.measure
    classes = len(sheet.atlas.bench.axes.moisture_order)
    regimes = counted(len(sheet.atlas.bench.regimes), "kind of year", "kinds of year")
    handling = ", ".join(f"{key} {100 * share:.0f} %" for key, share in measure.handling.items())
    points: tuple[Text, ...] = (
        "Days, nights, humidity, light and water (solids in what is supplied): the mean of two shares, that of the "
        "scale and that of an ordinary room, which the band it certainly tolerates in growth covers. An end that asks "
        "nothing reaches to the end.",
        f"Moisture: the share of the {classes} classes from dry to flooded in which it grows.",
        cat(
            f"Year: the share of the {regimes} of ",
            sheet.link("the verdicts", "verdicts/", "regimes"),
            " in which it can be kept by some way, pots lifted out included, with ordinary equipment.",
        ),
        f"Handling: by the sensitivity of its roots: {handling}.",
    )
    lead = f"The leeway is the mean of {len(PARTS)} parts, each from 0 to 100 %; a part that nobody knows is left out."
    points_below = f"{100 * measure.narrower:.0f} points or more below the middle of all plants"
    cut = (
        f"The plants are ranked by it and cut into {len(measure.classes)} classes of like size; companions, mosses and "
        f"rushes among them, are left out. The reasons name at most {measure.most_named} parts, which lie "
        f"{points_below}, the farthest first, and a rest that no way leaves out."
    )
    how = standing(sheet.atlas.bench.table("needs")["basis"])
    basis = cat(
        "The room and the shares of handling: ", how, ", no source; they stand in ", sheet.file("needs.yaml"), "."
    )
    return [el("p", lead), bullets(points), _scales(sheet), el("p", cut), el("p", basis)]


def _scales(sheet: Sheet) -> Markup:
    """The scale and the room of each part that has them."""
    measure, axes = sheet.atlas.sorted.measure, sheet.atlas.bench.axes
    head = el(
        "tr", *(el("th", title, scope="col") for title in ("part", "scale of all plants measured", "an ordinary room"))
    )
    rows = []
    for axis, room in measure.room.items():
        spans = (figure(*measure.scale[axis], axes[axis].unit), figure(*room, axes[axis].unit))
        rows.append(el("tr", el("th", axes[axis].title, scope="row"), *(el("td", span) for span in spans)))
    caption = "Scale and room of each part"
    return cells.wide(
        caption, el("table", el("caption", caption), el("thead", head), el("tbody", *rows), class_="side")
    )


def _table(sheet: Sheet, rank: str, plants: Iterable[str], middles: dict[str, float]) -> Markup:
    kept = sheet.atlas.sorted
    head = el("tr", *(el("th", title, scope="col") for title in ("plant", "leeway", "narrow", *PARTS.values())))
    rows = []
    for plant in plants:
        leeway = kept.leeway[plant]
        reasons = "; ".join(narrow(kept, kept.plants[plant], middles)) or "nothing narrower than usual"
        rows.append(
            el(
                "tr",
                el("th", sheet.entry_link(sheet.atlas.base.entries[plant]), scope="row"),
                el("td", el("b", _percent(leeway.measure))),
                el("td", reasons, class_="why"),
                *(el("td", _percent(leeway.parts[part])) for part in PARTS),
            )
        )
    caption = f"{rank.capitalize()} leeway: measure, reasons and parts"
    return cells.wide(
        caption, el("table", el("caption", caption), el("thead", head), el("tbody", *rows), class_="side")
    )


def _percent(share: float | None) -> Text:
    return standing("unknown") if share is None else f"{100 * share:.0f}\u00a0%"


def middle_shares(kept: Sorted) -> dict[str, float]:
    """The median of each part over all plants."""
    known = {part: [v for one in kept.leeway.values() if (v := one.parts[part]) is not None] for part in PARTS}
    return {part: median(values) for part, values in known.items() if values}


def narrow(kept: Sorted, plant: Needs, middles: dict[str, float]) -> list[str]:
    """Why a plant leaves less leeway than others, farthest first: ``narrow nights: 2–15 °C``."""
    parts = kept.leeway[plant.id].parts
    below = sorted(
        (share - middles[part], part)
        for part, share in parts.items()
        if share is not None and part in middles and share <= middles[part] - kept.measure.narrower
    )
    told = [_reason(kept, plant, part) for _, part in below[: kept.measure.most_named]]
    rest = _obligatory(plant)
    return told + ([f"an obligatory {rest}"] if rest else [])


def _reason(kept: Sorted, plant: Needs, part: str) -> str:
    if part == "moisture":
        return f"only {' or '.join(words(one) for one in plant.moisture[GROWTH])}"
    if part == "year":
        regimes = len(kept.bench.regimes)
        return f"fits {round((kept.leeway[plant.id].parts[part] or 0) * regimes)} of {regimes} kinds of year"
    if part == "handling":
        return f"roots of {words(word(plant.profile.claim('roots.sensitivity')))} sensitivity"
    shown = cells.tolerated(plant, kept.bench.axes[part]).shown
    return f"needs water of {shown}" if part == "solids_supply" else f"narrow {PARTS[part]}: {shown}"


def _obligatory(plant: Needs) -> str:
    """The rest that every way has and that must not be left out, or ''."""
    ways = sorted(plant.profile.ways.values(), key=lambda way: (way.effort, way.id))
    needed = [[rest for rest in way.rests.values() if rest.need == "obligatory"] for way in ways]
    return REST_KINDS[needed[0][0].kind] if ways and all(needed) else ""
