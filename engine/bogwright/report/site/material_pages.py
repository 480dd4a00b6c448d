"""Pages of the substrate components: what each holds, weighs and gives to the water, and an index of all."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from markupsafe import Markup

from bogwright.enclosure.plan import span
from bogwright.report.site.atlas import Atlas, Page
from bogwright.report.site.charts import retention
from bogwright.report.site.founded import facts, measured, shown, weakest
from bogwright.report.site.markup import Text, bullets, cat, el, grid
from bogwright.report.site.sheet import Sheet
from bogwright.report.site.wording import capital, figure, sentence, standing

FOLDER = "materials/"
LIME = {
    "none": "gives no lime",
    "some": "may give some lime or salts",
    "carbonate": "gives lime and alkalinity",
    "sulphate": "gives calcium without alkalinity",
}
# figures of a material: key, title, unit, what the figure is multiplied with
FIGURES = (
    ("bulk_density", "Weight when dry", "kg/m³", 1.0),
    ("porosity", "Pores", "% of the volume", 100.0),
    ("water_by_dry_weight", "Water it takes up when soaked", "times its dry weight", 1.0),
    ("ph", "pH", "pH", 1.0),
    ("life_months", "Until it has broken down", "months", 1.0),
)
BREAK = "A layer of it works as a capillary break: it lifts next to no water."


def pages(atlas: Atlas) -> Iterator[Page]:
    """The index, then every material."""
    yield _index(atlas)
    for key, material in atlas.bench.materials.items():
        yield _page(atlas, key, material)


def link(sheet: Sheet, key: str, text: Text = "") -> Markup:
    """A link to the page of a material."""
    return sheet.link(text or sheet.atlas.bench.materials[key]["title"], f"{FOLDER}{key}/")


def _index(atlas: Atlas) -> Page:
    sheet = Sheet(atlas, FOLDER)
    rows = []
    for key, material in atlas.bench.materials.items():
        given, density = material["retention"], material.get("bulk_density")
        held = retention.water(given, retention.SUCTIONS[0])
        sets = given if isinstance(given, list) else [given]
        weight = figure(*span(density["value"]), "kg/m³") if density else ""
        rows.append(
            (
                link(sheet, key),
                cat(retention.percent(held), " ", weakest(sets)) if held else el("span", "not predicted", class_="dim"),
                cat(weight, " ", weakest([density])) if density else el("span", "no figure", class_="dim"),
                "yes" if "coarse" in material else "no",
                LIME[material["lime"]],
            )
        )
    told = "What substrates are made of: water held at 10 cm of suction, dry weight, and what they give to the water."
    heads = ("material", "water at 10 cm", "dry weight", "capillary break", "lime")
    body = cat(el("header", el("h1", "Materials"), el("p", told), class_="title"), grid(heads, rows, "Materials"))
    return Page(sheet.here, "Materials", body, FOLDER, told)


def _page(atlas: Atlas, key: str, material: Mapping[str, Any]) -> Page:
    sheet = Sheet(atlas, f"{FOLDER}{key}/")
    title = capital(material["title"])
    lead: list[Text] = [el("p", f"{LIME[material['lime']].capitalize()}. ", standing(material["basis"]))]
    if "coarse" in material:
        lead.append(el("p", BREAK, " ", standing(material["basis"])))
    if "note" in material:
        lead.append(el("p", sheet.prose(sentence(material["note"]))))
    parts: list[Text] = [el("header", el("h1", title), *lead, class_="title")]
    parts.append(sheet.section("Water it holds", "water", *_water(sheet, material), sheet.evidence()))
    rows = list(_rows(sheet, material))
    if rows:
        parts.append(sheet.section("Figures", "figures", facts(f"Figures: {title}", rows), sheet.evidence()))
    if "cautions" in material:
        parts.append(sheet.section("Cautions", "cautions", bullets(material["cautions"])))
    line = atlas.base.records["materials.yaml"].positions.key(("materials", key))[0]
    mend = sheet.link("How to correct it", "correcting/")
    parts.append(
        el("p", "This page is built from ", sheet.file("materials.yaml", line), ". ", mend, ".", class_="mend")
    )
    about = f"{title}: water held against suction, weight, and what it gives to the water, with every source."
    return Page(sheet.here, title, cat(*parts), FOLDER, about, (("Materials", FOLDER, ""),), tuple(sheet.toc))


def _water(sheet: Sheet, material: Mapping[str, Any]) -> Iterator[Text]:
    given = material["retention"]
    if isinstance(given, Mapping) and "not_predicted" in given:
        yield el("p", el("b", "Not predicted: "), sheet.prose(given["not_predicted"]), ".", class_="callout")
        return
    yield retention.picture(material["title"], given)
    yield el(
        "p",
        f"Suction is the height above the water that a layer stands in: {retention.told(given)}",
        class_="dim",
    )
    if isinstance(given, Mapping):
        rows = [
            (f"at {suction} cm", shown(sheet, given, retention.percent(span(at)))) for suction, at in _classes(given)
        ]
        rows.append(("pores", shown(sheet, given, retention.percent(span(given["porosity"])))))
        yield facts("Water it holds, % of the volume", rows)
        return
    yield grid(
        ("curve", "residual", "saturated", "alpha, 1/cm", "n", "conductivity when saturated, cm/day"),
        [_set(sheet, one) for one in given],
        "Fitted curves of van Genuchten",
    )


def _classes(given: Mapping[str, Any]) -> list[tuple[str, list[float]]]:
    return sorted(given["holds_at"].items(), key=lambda one: float(one[0]))


def _set(sheet: Sheet, one: Mapping[str, Any]) -> tuple[Text, ...]:
    passes = f"{one['ks']:g}" if "ks" in one else el("span", "not for conductivity", class_="dim")
    numbers = (f"{one[key]:g}" for key in ("theta_r", "theta_s", "alpha", "n"))
    return (shown(sheet, one, one["name"]), *numbers, passes)


def _rows(sheet: Sheet, material: Mapping[str, Any]) -> Iterator[tuple[str, Text]]:
    for key, title, unit, scale in FIGURES:
        if key in material:
            yield title, measured(sheet, material[key], unit, scale)
    for suction, at in sorted(material.get("conductivity", {}).get("at", {}).items(), key=lambda one: float(one[0])):
        passes = figure(*span(at), "cm/day")
        yield f"Conductivity at {suction} cm of suction", shown(sheet, material["conductivity"], passes)
    if "minerals" in material:
        yield "What it gives to the water", shown(sheet, material["minerals"], material["minerals"]["value"])
