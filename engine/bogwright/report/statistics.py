"""Statistics of the knowledge base and figures for review, for the terminal."""

from __future__ import annotations

import sys
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, TextIO

from bogwright.knowledge.outliers import Outlier
from bogwright.report.terminal import bold
from bogwright.rules.says import number

BASIS_WORDS = {"published": "published", "common-practice": "common practice", "from-memory": "from memory"}
SETS = {
    "species_care_bands": "care bands that plants state themselves",
    "care_bands": "care bands, groups and genera included",
    "all": "claims on care of every kind",
}


def show_statistics(made: Mapping[str, Any], out: TextIO | None = None) -> None:
    """Print what `statistics` counted."""
    out = out or sys.stdout
    out.write("\n".join(_lines(made, out)) + "\n")


def _lines(made: Mapping[str, Any], out: TextIO) -> Iterator[str]:
    taxa = made["taxa"]
    yield bold("Plants", out)
    yield (
        f"  {taxa['profiled']} profiled plants in {len(taxa['by_genus'])} genera and {taxa['groups']} groups; "
        f"{taxa['by_name_only']} more known by name"
    )
    yield f"  by rank: {', '.join(f'{count} {rank}' for rank, count in taxa['by_rank'].items())}"
    width = max(map(len, taxa["by_genus"]))
    for genus, counts in taxa["by_genus"].items():
        profiled, named, groups = counts["profiled"], counts["by_name"], counts["groups"]
        yield f"  {genus:{width}}  {profiled:4} profiled  {named:4} by name  {groups:3} groups"
    yield ""
    yield bold("Standing", out)
    for key, title in SETS.items():
        held = made["claims"][key]
        parts = ", ".join(f"{share(held[basis], held['total'])} {word}" for basis, word in BASIS_WORDS.items())
        yield f"  {title}: {held['total']}; {parts}"
    yield ""
    yield bold("Sources", out)
    cited, entered = made["sources"]["cited_by_claims"], made["sources"]["all"]
    tables = made["sources"]["cited_by_tables"]
    yield f"  {cited} sources are cited for care, {tables} for formulas and materials, {entered} are entered in all"
    total = sum(made["sources"]["by_standing"].values())
    claims = sum(made["claims_by_standing"].values())
    for standing, count in made["sources"]["by_standing"].items():
        best = made["claims_by_standing"][standing]
        held = f"best standing of {best:5} claims ({share(best, claims)})"
        yield f"  {standing:9} {count:5} sources ({share(count, total)}), {held}"
    yield ""
    yield bold("By field", out)
    width = max(map(len, made["fields"]))
    for field, counts in made["fields"].items():
        total = sum(counts.values())
        yield f"  {field:{width}}  {total:4}, {share(counts['published'], total)} published"
    yield ""
    yield bold("Gaps worth a contribution", out)
    yield "  remembered limits on which most plants rest; one good page mends many profiles"
    for gap in made["gaps"]:
        yield f"  {gap['plants']:4} plants: {gap['field']} {gap['level']} [{gap['file']}:{gap['line']}]"


def share(part: int, whole: int) -> str:
    """A part in per cent, rounded."""
    return f"{100 * part / whole:.0f} %" if whole else "none"


def show_outliers(found: Sequence[Outlier], out: TextIO | None = None) -> None:
    """Print figures far from their genus, farthest first."""
    out = out or sys.stdout
    for one in found:
        figure = " ".join(filter(None, (one.level, one.end, number(one.value))))
        middle = f"its genus has {number(one.median)} in the middle"
        out.write(f"{one.file}:{one.line}: {one.name}: {one.field} {figure}, {middle} (score {one.score:+g})\n")
    if not found:
        out.write("no figure stands apart from its genus\n")
