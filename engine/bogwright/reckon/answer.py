"""What every reckoning gives back, and how it reads on a terminal and as JSON."""

from __future__ import annotations

import math
import textwrap
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from bogwright.enclosure.plan import Interval
from bogwright.rules.says import interval, number

WIDTH = 100
SMALL = 0.01  # below it three decimals no longer tell a figure
Tables = Mapping[str, Mapping[str, Any]]  # formulas, assumptions and lamps of the knowledge base


class Refused(ValueError):
    """A question that cannot be answered as asked; the message says how to mend it."""


@dataclass(frozen=True)
class Answer:
    """lines: the answer in words. figures: the same for programs, intervals as pairs.

    formulas: functions it rests on, as ``kb/formulas.yaml`` names them. cautions: beyond those of the formulas.
    """

    lines: tuple[str, ...]
    figures: Mapping[str, Any]
    formulas: tuple[str, ...]
    cautions: tuple[str, ...] = field(default=())


def shown(value: Interval, unit: str) -> str:
    """An interval with its unit; an end that is not there is never reached."""
    low, high = value
    if math.isinf(low):
        return "never"
    if math.isinf(high):
        return f"{shown((low, low), unit)} to never"
    if 0 < low < SMALL:
        return f"{low:.2g} {unit}" if low == high else f"{low:.2g}–{figure(high)} {unit}"
    return interval(low, high, unit)


def figure(value: float) -> str:
    """A number to about three figures, small ones to two."""
    return f"{value:.2g}" if 0 < value < SMALL else number(value)


def as_text(answer: Answer, tables: Tables) -> str:
    """The answer, the formulas with their range and weaknesses, the cautions."""
    return "\n".join(line for part in _parts(answer, tables) for line in part)


def _parts(answer: Answer, tables: Tables) -> Iterator[list[str]]:
    for line in answer.lines:
        yield _wrapped(line, "")
    for told in _formulas(answer, tables):
        head = f"by: {told['title']}, {told['formula']} ({told['basis'].replace('-', ' ')})"
        yield _wrapped(f"{head}; holds for {told['range']}. {told['weaknesses']}", "  ")
    for caution in answer.cautions:
        yield _wrapped(f"caution: {caution}", "  ")


def _wrapped(text: str, indent: str) -> list[str]:
    return textwrap.wrap(text, WIDTH, initial_indent=indent, subsequent_indent=indent + "  ", break_on_hyphens=False)


def as_data(answer: Answer, tables: Tables) -> dict[str, Any]:
    """The answer for programs; what has no end is the word "infinite"."""
    keys = ("function", "title", "formula", "range", "basis", "weaknesses")
    return {
        "answer": _finite(answer.figures),
        "formulas": [{key: told[key] for key in keys} for told in _formulas(answer, tables)],
        "cautions": list(answer.cautions),
    }


def _finite(node: Any) -> Any:
    if isinstance(node, Mapping):
        return {key: _finite(part) for key, part in node.items()}
    if isinstance(node, list | tuple):
        return [_finite(part) for part in node]
    return "infinite" if isinstance(node, float) and math.isinf(node) else node


def _formulas(answer: Answer, tables: Tables) -> list[Mapping[str, Any]]:
    known = {told["function"]: told for told in tables["formulas"].values()}
    return [known[function] for function in answer.formulas]
