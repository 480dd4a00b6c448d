"""What the page on verdicts fills in while it is built: a worked example, the regimes, the axes, the rules by stage."""

from __future__ import annotations

from collections.abc import Sequence

from markupsafe import Markup

from bogwright.judge.ask import AskError, ask_names
from bogwright.judge.share import Shared, arenas
from bogwright.report.site import cells
from bogwright.report.site.markup import Text, bullets, cat, el, joined
from bogwright.report.site.rule_pages import place_of, rule_link, stage_anchor
from bogwright.report.site.sheet import Sheet
from bogwright.report.site.wording import capital, counted, figure, severity, words
from bogwright.sharing.boxes import LADDER
from bogwright.sharing.months import GROWTH, by_month, month_words
from bogwright.sharing.needs import Needs

EXAMPLE = ("Dionaea muscipula", "Drosera capensis", "Drosera adelae")
SETTINGS = ("temperature_day", "temperature_night", "photoperiod")
SHOWN = (*SETTINGS, "humidity")
MIDWINTER, MIDSUMMER = 0, 6
SHARERS = {
    "case": "the whole case",
    "water-unit": "plants that drink from one water",
    "place": "the plants of one place",
}
COUPLINGS = {"difference": "{} less {}", "falling-steps": "{} against {}", "product": "{} times {}"}


def example(sheet: Sheet) -> Markup:
    """The judgement of three plants, stage by stage, as the engine made it for this build."""
    bench = sheet.atlas.bench
    try:
        answer = ask_names(bench, EXAMPLE)
    except AskError:  # a knowledge base of its own, without these plants
        return el("p", f"The example, {joined(EXAMPLE, ', ')}, is not in this knowledge base.")
    shown = answer.main
    assert isinstance(shown, Shared)
    names = joined((_plant(sheet, plant) for plant in shown.plants), ", ")
    steps = [
        cat(el("b", "The names. "), names, "."),
        cat(el("b", "Their years. "), joined((_years(plant) for plant in shown.plants), "; "), "."),
        cat(el("b", "Bounds, narrowed by the swing of the equipment. "), _bounds(sheet, shown.plants)),
        cat(el("b", "Every regime is tried. "), _tried(sheet, shown)),
        cat(el("b", "The window to build. "), _window(sheet, shown)),
        cat(el("b", "Water. "), _beds(shown)),
        cat(el("b", "The rules speak. "), _findings(sheet, shown)),
        cat(el("b", "The verdict. "), el("strong", answer.verdict), ": ", _because(answer.verdict), "."),
    ]
    return el("ol", *(el("li", step) for step in steps), class_="worked")


def _plant(sheet: Sheet, plant: Needs) -> Markup:
    return sheet.entry_link(sheet.atlas.base.entries[plant.id])


def _years(plant: Needs) -> str:
    ways = len(plant.profile.ways)
    return f"{plant.name}: {counted(ways, 'way')}, which make {counted(len(plant.years), 'year')} to choose from"


def _bounds(sheet: Sheet, plants: Sequence[Needs]) -> Markup:
    """Tolerated bands in growth, and what is left of them for a set point."""
    bench = sheet.atlas.bench
    head = el(
        "tr", el("th", "in growth", scope="col"), *(el("th", bench.axes[axis].title, scope="col") for axis in SHOWN)
    )
    rows = []
    for plant in plants:
        box = plant.box(GROWTH, bench.axes, bench.frame, LADDER["full"])
        row = []
        for axis in SHOWN:
            n, unit = bench.frame.order.index(axis), bench.axes[axis].unit
            stated = cells.tolerated(plant, bench.axes[axis]).shown
            left = figure(round(box.lows[n], 1), round(box.highs[n], 1), unit)
            row.append(el("td", f"{stated}; left for a set point: {left}"))
        rows.append(el("tr", el("th", _plant(sheet, plant), scope="row"), *row))
    caption = "Bounds of the worked example"
    return cells.wide(
        caption, el("table", el("caption", caption), el("thead", head), el("tbody", *rows), class_="side")
    )


def _tried(sheet: Sheet, shown: Shared) -> Markup:
    """Which regimes serve all, and which years were taken under the best one."""
    level = shown.level if shown.level in LADDER else "slow"
    ids = [plant.id for plant in shown.plants]
    each = arenas(sheet.atlas.bench, shown.plants, LADDER[level]).each
    tried = [
        f"{arena.regime.title}: {'serves all' if arena.serves(ids) else 'serves not all of them'}" for arena in each
    ]
    parts: list[Text] = [bullets(tried)]
    if shown.fit is not None:
        taken = [
            f"{plant.name}, {plant.profile.ways[year.way].title if year.way in plant.profile.ways else 'no stated way'}"
            + (f" (away in {month_words(year.absent, 12)} in the north)" if year.absent else "")
            for plant, year in zip(shown.plants, shown.fit.years, strict=True)
        ]
        parts.append(el("p", f"Chosen: {shown.fit.regime.title}. Years taken: {'; '.join(taken)}."))
    return cat(*parts)


def _window(sheet: Sheet, shown: Shared) -> Markup:
    if not shown.windows:
        return cat("There is none: no year serves all.")
    axes = sheet.atlas.bench.axes
    lines = []
    for month, title in ((MIDWINTER, "midwinter"), (MIDSUMMER, "midsummer")):
        window = shown.windows[month]
        bounds = [
            f"{axes[axis].title} {figure(window.low[axis], window.high[axis], axes[axis].unit)}" for axis in SHOWN
        ]
        points = [figure(window.set_point[axis], window.set_point[axis], axes[axis].unit) for axis in SHOWN]
        lines.append(f"{title}: {'; '.join(bounds)}. A set point that was checked: {', '.join(points)}")
    return bullets(lines)


def _beds(shown: Shared) -> str:
    names = {plant.id: plant.name for plant in shown.plants}
    return " ".join(
        f"Bed {n}: {', '.join(names[plant] for plant in bed.plants)}." for n, bed in enumerate(shown.beds, 1)
    )


def _findings(sheet: Sheet, shown: Shared) -> Markup:
    return bullets(
        cat(severity(one.severity), " ", "certain" if one.certain else "possible", ": ", one.says, " Rule: ",
            rule_link(sheet, one.rule), ".")
        for one in shown.findings
    )  # fmt: skip


def _because(verdict: str) -> str:
    return {
        "sound": "no certain or possible blocker and no condition was found",
        "conditional": "no blocker, but conditions to keep",
        "unproven": "what would decide is not known",
        "unsound": "a certain blocker was found",
    }[verdict]


def regimes(sheet: Sheet) -> Markup:
    """The years a case can be given, month by month where they differ from the rest of the year."""
    axes = sheet.atlas.bench.axes
    parts = []
    for given in sheet.atlas.bench.table("regimes")["regimes"].values():
        months: dict[tuple[tuple[float, float], ...], list[int]] = {}
        for month in range(12):
            months.setdefault(tuple(by_month(given[axis], month) for axis in SETTINGS), []).append(month)
        rows = [
            el(
                "tr",
                el("th", month_words(held, 12), scope="row"),
                *(el("td", figure(*band, axes[axis].unit)) for axis, band in zip(SETTINGS, bands, strict=True)),
            )
            for bands, held in months.items()
        ]
        head = el(
            "tr",
            el("th", "months, north", scope="col"),
            *(el("th", axes[axis].title, scope="col") for axis in SETTINGS),
        )
        title = capital(given["title"])
        caption = f"{title} (trouble {given['effort']})"
        parts.append(
            cells.wide(
                title, el("table", el("caption", caption), el("thead", head), el("tbody", *rows), class_="side told")
            )
        )
    return cat(*parts)


def axes(sheet: Sheet) -> Markup:
    """What is compared, who shares it, and how much of a band the equipment's swing takes."""
    known = sheet.atlas.bench.axes
    rows = []
    for axis in known.by_id.values():
        swing = [f"± {figure(axis.control_error, axis.control_error, axis.unit)}"] if axis.control_error else []
        swing += [f"± {100 * axis.relative_error:g} %"] if axis.relative_error else []
        if axis.coupling is not None:
            pair = (known[axis.coupling.left].title, known[axis.coupling.right].title)
            swing.append(f"follows from {COUPLINGS[axis.coupling.kind].format(*pair)}")
        rows.append(
            el(
                "tr",
                el("th", axis.title, scope="row"),
                el("td", SHARERS[axis.shared_by]),
                el("td", " and ".join(swing) or "none"),
                el("td", words(axis.outside)),
            )
        )
    titles = ("axis", "shared by", "swing of the equipment", "beyond what is tolerated, where a profile does not say")
    head = el("tr", *(el("th", title, scope="col") for title in titles))
    table = el("table", el("caption", "Axes"), el("thead", head), el("tbody", *rows), class_="side")
    order = ", ".join(map(words, known.moisture_order))
    wet = f"Moisture has classes instead: {order}. One bed offers {known.bed_span} neighbouring ones at a time."
    return cat(cells.wide("Axes and their swing", table), el("p", wet))


def rule_stages(sheet: Sheet) -> Markup:
    """The rules by the stage they speak at, with links."""
    stages: dict[str, dict[str, int]] = {}
    for _, record in sheet.atlas.rules.values():
        stage, topic = place_of(record)
        stages.setdefault(stage, {}).setdefault(topic, 0)
        stages[stage][topic] += 1
    lines = []
    for stage, topics in stages.items():
        told = ", ".join(f"{topic} ({number})" for topic, number in topics.items())
        lines.append(cat(sheet.link(stage.capitalize(), "rules/", stage_anchor(stage)), f": {told}"))
    return bullets(lines)


SLOTS = {"example": example, "regimes": regimes, "axes": axes, "rule-stages": rule_stages}
