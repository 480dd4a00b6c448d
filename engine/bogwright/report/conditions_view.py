"""Conditions on the terminal: the year at a glance, each part, what it rests on, what is wanted for the rest."""

from __future__ import annotations

import sys
from collections.abc import Mapping, Sequence
from typing import Any, TextIO

from bogwright.enclosure.moisture import MOISTURE
from bogwright.report import conditions
from bogwright.report.conditions import alike, cells, class_words, in_words, rows_of, span_of
from bogwright.report.terminal import WIDTH, bold, wrap
from bogwright.sharing.months import NAMES

MEASURED = "*"
HEADS = {q.key: q.head for q in (*conditions.CASE, *conditions.WATER, *conditions.PLACE)}
LEGEND = (
    "(VPD: how hard the air dries, 0 where it is saturated. PPFD: light while it shines; DLI: light of the whole day. "
    "At the roots: before a flush, or after a year without any)"
)
GLANCE = ("temperature_day", "temperature_night", "humidity", "photoperiod")
Column = tuple[str, Sequence[str]]  # head, twelve cells


def show_conditions(made: Mapping[str, Any], out: TextIO | None = None, *, everything: bool = False) -> None:
    """Print what :func:`conditions.conditions_content` made."""
    out = out or sys.stdout
    lines = [bold("Conditions", out) + f": {made['conditions']}", *wrap(_count(made), "  ")]
    lines += ["", bold("The year at a glance", out), *_glance(made)]
    for part in made["parts"]:
        lines += ["", bold(conditions.heading(part, made), out), *_table(part)]
    if any(row["how"] != "unknown" for part in made["parts"] for row in part["rows"]):
        lines += ["", *wrap(LEGEND, "  ")]
    lines += _failures(made, out, everything)
    lines += _resting(made, out, everything)
    if made["needs"]:
        lines += ["", bold("Not predicted", out)]
        for one in made["needs"]:
            shown = one["for"] if everything else one["for"][:3]
            more = f" and {len(one['for']) - len(shown)} more" if len(one["for"]) > len(shown) else ""
            lines += wrap(f"{', '.join(shown)}{more}: needs {one['needs']}", "  ", "    ")
    unknown = [p["unknown"] for p in made["plants"] if "unknown" in p]
    if unknown:
        lines += ["", bold("Plants nobody here knows", out), *(line for u in unknown for line in wrap(u, "  ", "    "))]
    out.write("\n".join(line.rstrip() for line in lines) + "\n")


def _count(made: Mapping[str, Any]) -> str:
    hows = [row["how"] for part in made["parts"] for row in part["rows"]]
    counts = {how: hows.count(how) for how in ("predicted", "measured", "unknown")}
    return (
        f"{counts['predicted']} conditions predicted, {counts['measured']} measured (marked {MEASURED}), "
        f"{counts['unknown']} not predicted. Each is a range: what it may be, given all this rests on."
    )


def _glance(made: Mapping[str, Any]) -> list[str]:
    """The case, the hull of light and moisture over all places, dew, refilling and what gathers."""
    case = rows_of(made["parts"][0])
    columns = [_column(case[key]) for key in GLANCE if case[key]["how"] != "unknown"]
    places = [rows_of(part) for part in made["parts"] if part["part"] == "place"]
    light = [p["dli"] for p in places if p["dli"]["how"] != "unknown"]
    if light:
        columns.append((_head(light), [in_words(pair) for pair in span_of(light)]))
    wet = [p["moisture"] for p in places if "words" in p["moisture"]]
    if wet:
        columns.append((_head(wet), [class_words(_widest([w["words"][m] for w in wet])) for m in range(12)]))
    lines = tabled(columns)
    for said in conditions.dew(made):
        lines += wrap(said, "  ")
    for part in made["parts"]:
        water = rows_of(part)
        refill = water.get("days_to_refill")
        if refill is not None and refill["how"] != "unknown":
            lines += wrap(f"Refill {part['id']} every {conditions.year_in_words(refill)}.", "  ", "    ")
    return lines or ["  nothing is stated or can be predicted yet"]


def _widest(pairs: Sequence[Sequence[str]]) -> tuple[str, str]:
    known = [p for p in pairs if p[0] in MOISTURE]
    if len(known) < len(pairs):
        return ("?", "?")
    return max((p[0] for p in known), key=MOISTURE.index), min((p[1] for p in known), key=MOISTURE.index)


def _head(rows: Sequence[Mapping[str, Any]]) -> str:
    measured = all(row["how"] == "measured" for row in rows)
    return HEADS[rows[0]["key"]] + (MEASURED if measured else "")


def _column(row: Mapping[str, Any]) -> Column:
    return _head([row]), cells(row)


def _table(part: Mapping[str, Any]) -> list[str]:
    known = [row for row in part["rows"] if row["how"] != "unknown"]
    missing = [row["title"] for row in part["rows"] if row["how"] == "unknown"]
    lines = tabled([_column(row) for row in known])
    if missing:
        lines += wrap(f"not predicted: {', '.join(missing)}", "  ", "    ")
    return lines


def tabled(columns: Sequence[Column]) -> list[str]:
    """Columns with months alike on one line; those that find no room follow below."""
    if not columns:
        return []
    widths = [max(len(head), *map(len, cells)) for head, cells in columns]
    months = max(len(label) for label, _ in alike([tuple(cells[m] for _, cells in columns) for m in range(12)]))
    blocks: list[tuple[int, int]] = []
    start, used = 0, 0
    for n, width in enumerate(widths):
        if n > start and 2 + months + used + 2 + width > WIDTH:
            blocks.append((start, n))
            start, used = n, 0
        used += 2 + width
    blocks.append((start, len(columns)))
    made = [
        (part, alike([tuple(cells[m] for _, cells in columns[slice(*part)]) for m in range(12)])) for part in blocks
    ]
    first = max(len(label) for _, groups in made for label, _ in groups)
    lines = []
    for part, groups in made:
        lines.append(f"  {'':<{first}}  " + _spread([head for head, _ in columns[slice(*part)]], widths[slice(*part)]))
        lines += [f"  {label:<{first}}  " + _spread(row, widths[slice(*part)]) for label, row in groups]
    return lines


def _spread(texts: Sequence[str], widths: Sequence[int]) -> str:
    return "  ".join(f"{text:<{width}}" for text, width in zip(texts, widths, strict=True))


def _failures(made: Mapping[str, Any], out: TextIO, everything: bool) -> list[str]:
    """How long it holds out: one line for what is alike, the first plant to give out else."""
    if not made["holds_out"]:
        return []
    lines = ["", bold("If something fails: until a plant in growth is beyond what it survives", out)]
    for failure in (conditions.COLD, conditions.HOT):
        for words, ones in conditions.fates(made, failure).items():
            plants = [f"{one['plant']}{conditions.limit_words(one) if everything else ''}" for one in ones]
            who = ", ".join(plants) if everything or len(plants) < 4 else f"{plants[0]} and {len(plants) - 1} more"
            lines += wrap(f"{failure}: {words} — {who}", "  ", "    ")
    return [*lines, *wrap("(counted: water and stated panes; not: evaporation, medium, draughts)", "  ")]


def _resting(made: Mapping[str, Any], out: TextIO, everything: bool) -> list[str]:
    if not made["rests_on"]:
        return []
    lines = ["", bold("What this rests on", out)]
    granted = [one for one in made["rests_on"] if not one["stated"] and (everything or conditions.wide(one))]
    stated = [one for one in made["rests_on"] if one["stated"]]
    for one in granted:
        ask = f". Better: {one['ask']}" if one["ask"] else ""
        lines += wrap(f"taken for granted: {_figure(one)}{ask}", "  ", "    ")
        if everything:
            lines += wrap(f"bears on {', '.join(one['bears_on'])}", "    ", "      ")
    if everything:
        for one in stated:
            lines += wrap(f"you state: {_figure(one)}", "  ", "    ")
            lines += wrap(f"bears on {', '.join(one['bears_on'])}", "    ", "      ")
    elif stated:
        lines += wrap(f"you state: {'; '.join(one['title'] for one in stated)}", "  ", "    ")
    return lines


def _figure(one: Mapping[str, Any]) -> str:
    """Title and range of an input; of a year that varies its least and greatest."""
    return f"{one['title']} {conditions.year_in_words(one)}" if len(alike(one["months"])) < 3 else _spanned(one)


def _spanned(one: Mapping[str, Any]) -> str:
    return f"{one['title']} {in_words(conditions.year_span(one), one['unit'])} ({NAMES[0]}–{NAMES[-1]})"
