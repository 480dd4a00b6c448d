"""The page that counts: plants, claims and their standing, sources, fields, and gaps worth a contribution."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from markupsafe import Markup

from bogwright.knowledge.fields import Field
from bogwright.knowledge.statistics import BASES, statistics
from bogwright.report.site.atlas import Atlas, Page
from bogwright.report.site.markup import Text, cat, el, scientific
from bogwright.report.site.sheet import Sheet
from bogwright.report.site.wording import standing, thousands
from bogwright.report.statistics import SETS, share


def page(atlas: Atlas) -> Page:
    """What the knowledge base holds."""
    sheet = Sheet(atlas, "statistics/")
    made = statistics(atlas.base)
    told = "Counted from the files. A care band is a level of a ranged need as a file states it, not inherited."
    parts: list[Text] = [el("header", el("h1", "Statistics"), el("p", told), class_="title")]
    genera = (
        (
            sheet.link(scientific(atlas.genus_name(genus)), f"plants/{genus}/"),
            *map(thousands, (counts["profiled"], counts["by_name"], counts["groups"])),
        )
        for genus, counts in made["taxa"]["by_genus"].items()
    )
    parts.append(sheet.section("Plants", "plants", table(("genus", "profiled", "by name only", "groups"), genera)))
    sets = (
        (title, thousands(made["claims"][key]["total"]), *_shares(made["claims"][key])) for key, title in SETS.items()
    )
    heads = ("claims", "number", *(standing(basis) for basis in BASES))
    parts.append(sheet.section("Standing", "standing", table(heads, sets)))
    total = sum(made["sources"]["by_standing"].values())
    claims = sum(made["claims_by_standing"].values())
    sources = (
        (word, thousands(count), share(count, total), share(made["claims_by_standing"][word], claims))
        for word, count in made["sources"]["by_standing"].items()
    )
    heads = ("standing", "sources", "share of sources", "best standing of claims")
    told = "Those that a claim on care cites; names, ranges and rules cite more."
    parts.append(sheet.section("Sources", "sources", el("p", told), table(heads, sources)))
    fields = (
        (_field(field), thousands(sum(counts.values())), *_shares({**counts, "total": sum(counts.values())}))
        for field in atlas.base.fields.below("")
        if (counts := made["fields"].get(field.path))
    )
    heads = ("field", "claims", *(standing(basis) for basis in BASES))
    parts.append(sheet.section("By field", "fields", table(heads, fields)))
    gaps = (
        (
            f"{gap['field']} {gap['level']}",
            thousands(gap["plants"]),
            sheet.file(gap["file"].removeprefix("kb/"), gap["line"]),
        )
        for gap in made["gaps"]
    )
    lead = el("p", "Remembered limits on which most plants rest: one good page mends many profiles.")
    parts.append(
        sheet.section("Gaps worth a contribution", "gaps", lead, table(("limit", "plants", "where it stands"), gaps))
    )
    about = "Plants, claims, standing, sources, and gaps worth a contribution."
    return Page(sheet.here, "Statistics", Markup("").join(parts), "statistics/", about, (), tuple(sheet.toc))


def _field(field: Field) -> Markup:
    """A field by its title, with its path as the files have it."""
    return cat(field.title, " ", el("code", field.path))


def _shares(counts: dict[str, int]) -> list[str]:
    return [share(counts[basis], counts["total"]) for basis in BASES]


def table(heads: Sequence[Text], rows: Iterable[Sequence[Text]]) -> Markup:
    """Rows with a name each, which become cards on a phone."""
    names = [el("th", head, scope="col") for head in heads]
    body = (
        el(
            "tr",
            el("th", row[0], scope="row"),
            *(el("td", cell) for cell in row[1:]),
        )
        for row in rows
    )
    return el("table", el("thead", el("tr", *names)), el("tbody", *body), class_="tally")
