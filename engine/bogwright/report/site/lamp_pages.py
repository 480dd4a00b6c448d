"""Pages of the lamps: lux to photons, light for power, heat, decline, and an index of all."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from bogwright.enclosure.plan import span
from bogwright.physics.light import photon_flux
from bogwright.report.site.atlas import Atlas, Page
from bogwright.report.site.founded import facts, measured, shown, weakest
from bogwright.report.site.markup import Text, cat, el, grid
from bogwright.report.site.sheet import Sheet
from bogwright.report.site.wording import capital, figure, sentence

FOLDER = "lamps/"
NOT_VALID = "Lux is not valid under this lamp: measure PPFD."
PER_PPFD = "lx for 1 µmol/m²/s"
# figures of a lamp: key, title, unit, what the figure is multiplied with
FIGURES = (
    ("efficacy", "Light for its power", "lm/W", 1.0),
    ("ppf_per_watt", "Photons for its power, 400–700 nm", "µmol/J", 1.0),
    ("radiant_share", "Share of its power that leaves as light, 400–700 nm", "%", 100.0),
    ("decline", "Light lost in a year of 12 hours a day", "%", 100.0),
)
SAMPLE = 10_000  # lx, shown as photons on the page of a lamp


def pages(atlas: Atlas) -> Iterator[Page]:
    """The index, then every lamp."""
    yield _index(atlas)
    for key, lamp in atlas.bench.lamps.items():
        yield _page(atlas, key, lamp)


def _index(atlas: Atlas) -> Page:
    sheet = Sheet(atlas, FOLDER)
    none = el("span", "no figure", class_="dim")
    rows = []
    for key, lamp in atlas.bench.lamps.items():
        constant, power = lamp.get("lux_per_ppfd"), lamp.get("efficacy") or lamp.get("ppf_per_watt")
        share = lamp.get("radiant_share")
        unit = "lm/W" if "efficacy" in lamp else "µmol/J"
        rows.append(
            (
                sheet.link(lamp["title"], f"{FOLDER}{key}/"),
                cat(figure(*span(constant), ""), " ", weakest([lamp])) if constant is not None else "lux not valid",
                cat(figure(*span(power["value"]), unit), " ", weakest([power])) if power else none,
                cat(_percent(share), " ", weakest([share])) if share else none,
            )
        )
    told = (
        "Lux per photon flux, light for the power, and the share of the power that leaves as light; the rest is heat."
    )
    heads = ("lamp", PER_PPFD, "light for its power", "leaves as light")
    body = cat(el("header", el("h1", "Lamps"), el("p", told), class_="title"), grid(heads, rows, "Lamps"))
    return Page(sheet.here, "Lamps", body, FOLDER, told)


def _percent(claim: Mapping[str, Any]) -> str:
    low, high = span(claim["value"])
    return figure(round(100 * low, 4), round(100 * high, 4), "%")


def _page(atlas: Atlas, key: str, lamp: Mapping[str, Any]) -> Page:
    sheet = Sheet(atlas, f"{FOLDER}{key}/")
    title = capital(lamp["title"])
    lead: list[Text] = []
    if "lux_meter" in lamp:
        lead.append(el("p", el("b", NOT_VALID), class_="callout"))
    if "note" in lamp:
        lead.append(el("p", sheet.prose(sentence(lamp["note"]))))
    head = el("header", el("h1", title), *lead, class_="title")
    table = facts(f"Figures: {title}", _rows(sheet, lamp))
    section = sheet.section("Figures", "figures", table, sheet.evidence())
    line = atlas.base.records["lamps.yaml"].positions.key(("lamps", key))[0]
    mend = sheet.link("How to correct it", "correcting/")
    foot = el("p", "This page is built from ", sheet.file("lamps.yaml", line), ". ", mend, ".", class_="mend")
    about = f"{title}: lux to photons, light and heat for its power, with every source."
    return Page(sheet.here, title, cat(head, section, foot), FOLDER, about, (("Lamps", FOLDER, ""),), tuple(sheet.toc))


def _rows(sheet: Sheet, lamp: Mapping[str, Any]) -> Iterator[tuple[str, Text]]:
    if "lux_per_ppfd" in lamp:
        low, high = span(lamp["lux_per_ppfd"])
        # the note of the lamp stands above the table
        claim = {name: lamp[name] for name in ("basis", "method", "sources") if name in lamp}
        yield "Lux for a photon flux", shown(sheet, claim, figure(low, high, PER_PPFD))
        photons = figure(round(photon_flux(SAMPLE, high)), round(photon_flux(SAMPLE, low)), "µmol/m²/s")
        derived = {"basis": "derived", "method": "lux divided by the figure above"}
        yield "10 000 lx are", shown(sheet, derived, photons)
    for key, title, unit, scale in FIGURES:
        if key in lamp:
            yield title, measured(sheet, lamp[key], unit, scale)
