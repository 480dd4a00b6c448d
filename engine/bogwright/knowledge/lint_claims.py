"""Checks of the claims one file states: figures against the sources' words, source ids, ranges."""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from typing import Any, NamedTuple

from .claims import LEVELS
from .documents import Document, Path, Record
from .fields import Field, Fields
from .figures import AMBIGUOUS, Figure, agrees, figures
from .problems import Problem, Severity, quoted
from .schema_errors import close
from .seasons import strays, without_half

# A source that says none is needed states the figure 0.
_NONE = re.compile(r"\b(?:no|not|none|without|never|n't)\b|n['’]t\b", re.IGNORECASE)
_CUE_FIELD = Field("cue", "range", "Day length", "h", (0.0, 24.0), ())


class Number(NamedTuple):
    """A number of a claim: where it stands, what it is called in messages."""

    path: Path
    name: str
    value: float


class ClaimChecks:
    """Checks claims file by file.

    sources : CSL items of the bibliography by id. Files that do not fit their schema are checked as far as
    their claims can be made out.
    """

    def __init__(self, fields: Fields, sources: Mapping[str, Mapping[str, Any]]) -> None:
        self.fields = fields
        self.sources = sources

    def check(self, document: Document | Record) -> Iterator[Problem]:
        """Everything wrong with the claims of a profile; for other files, with the sources they name."""
        for path, node in _mappings(document.data, ()):
            if isinstance(node.get("sources"), list):
                yield from self._sources(document, path, node)
        for root, data in _profiles(document.data):
            for path, node, field in self._claims(data, ()):
                yield from _numbers_in_range(document, (*root, *path), node, field)
                if node.get("basis") == "published":
                    yield from _season(document, (*root, *path), node, field)
                    yield from _figures(document, (*root, *path), node, field)

    def _claims(self, node: Any, path: Path) -> Iterator[tuple[Path, dict[str, Any], Field]]:
        """Every mapping that may state numbers (a level, a range, a value, a reading, a cue), with its field."""
        if not isinstance(node, dict):
            return
        field = self.fields.get(".".join(map(str, path)))
        if field is not None:
            yield from _parts(node, path, field)
        elif path and len(path) > 1 and path[-2] == "cues":
            yield path, node, _CUE_FIELD
        else:
            for key, part in node.items():
                yield from self._claims(part, (*path, key))

    def _sources(self, document: Document | Record, path: Path, node: dict[str, Any]) -> Iterator[Problem]:
        ids = [ref.get("id") if isinstance(ref, dict) else ref for ref in node["sources"]]
        for index, source in enumerate(ids):
            if isinstance(source, str) and source not in self.sources:
                meant = close(source, self.sources)
                hint = f"did you mean '{meant}'?" if meant else "add it to a file in sources/, or correct the id"
                place = (*path, "sources", index, *(("id",) if isinstance(node["sources"][index], dict) else ()))
                yield _problem(document, place, f"no source has the id {quoted(source)}", hint, "unknown-source")
        if len(ids) == 1 and _standing(self.sources, ids[0]) == "casual" and node.get("basis") == "published":
            message = f"{_called(path)} rests on one casual source"
            hint = "look for a second source"
            line, column = document.positions.key(path)
            yield Problem(document.file, line, column, message, hint, "casual-source", "warning")


def _profiles(data: Any) -> Iterator[tuple[Path, dict[str, Any]]]:
    """What of a file has the shape of a profile: the file itself, or the rows of an outline table."""
    if isinstance(data, dict) and "profile" in data:
        yield (), data
    if isinstance(data, dict) and "outline" in data:
        for slug, row in data["taxa"].items():
            yield ("taxa", slug), row


def _standing(sources: Mapping[str, Mapping[str, Any]], source: Any) -> Any:
    custom = sources.get(source, {}).get("custom") if isinstance(source, str) else None
    return custom.get("standing") if isinstance(custom, dict) else None


def _mappings(node: Any, path: Path) -> Iterator[tuple[Path, dict[str, Any]]]:
    if isinstance(node, dict):
        yield path, node
        for key, part in node.items():
            yield from _mappings(part, (*path, key))
    elif isinstance(node, list):
        for index, part in enumerate(node):
            yield from _mappings(part, (*path, index))


def _parts(node: dict[str, Any], path: Path, field: Field) -> Iterator[tuple[Path, dict[str, Any], Field]]:
    sides = node.get("disputed")
    for index, side in enumerate(sides if isinstance(sides, list) else ()):
        if isinstance(side, dict):
            yield from _parts(side, (*path, "disputed", index), field)
    if field.kind != "band":
        yield path, node, field
        return
    for level in LEVELS:
        if isinstance(node.get(level), dict):
            yield (*path, level), node[level], field


def _stated_numbers(node: dict[str, Any], path: Path, field: Field) -> Iterator[Number]:
    band = node.get("band")
    if isinstance(band, list) and len(band) == 2:
        for index, name in enumerate(("low", "high")):
            yield Number((*path, "band", index), name, band[index])
    for name in ("low", "high", "below", "above"):
        if name in node:
            yield Number((*path, name), name, node[name])
    if field.kind == "count" and "value" in node:
        yield Number((*path, "value"), "count", node["value"])
    if field.kind == "steps":
        for row, pair in enumerate(node.get("value") or ()):
            for index, name in enumerate(("night", "day")):
                if isinstance(pair, list) and len(pair) == 2:
                    yield Number((*path, "value", row, index), name, pair[index])


def _numbers(node: dict[str, Any], path: Path, field: Field) -> list[Number]:
    return [n for n in _stated_numbers(node, path, field) if isinstance(n.value, int | float) and n.value is not True]


def _numbers_in_range(document: Document | Record, path: Path, node: dict[str, Any], field: Field) -> Iterator[Problem]:
    numbers = _numbers(node, path, field)
    for number in numbers if field.bounds else ():
        least, most = field.bounds or (0.0, 0.0)
        if not least <= number.value <= most:
            message = f"{_called(path)} {number.name} is {number.value:g} {field.unit or ''}".rstrip()
            hint = f"it must lie from {least:g} to {most:g}; check the figure and its unit"
            yield _problem(document, number.path, message, hint, "out-of-range")
    ends = {number.name: number for number in numbers}
    if "low" in ends and "high" in ends and ends["low"].value > ends["high"].value:
        message = f"{_called(path)} runs from {ends['low'].value:g} down to {ends['high'].value:g}"
        yield _problem(document, ends["low"].path, message, "write the lower number first", "band-order")


def _season(document: Document | Record, path: Path, node: dict[str, Any], field: Field) -> Iterator[Problem]:
    """Both ends of a published season must be months that its sources name, where they name months."""
    value = node.get("value")
    if field.kind != "season" or not isinstance(value, dict):
        return
    said = [ref["as_stated"] for ref in node.get("sources") or () if isinstance(ref, dict) and _is_text(ref)]
    for text in without_half(said):
        message = f"{_called(path)} does not say of which half of the world its source speaks: {quoted(text, 80)}"
        hint = "add [north] or [south] to as_stated"
        yield _problem(document, (*path, "sources", 0, "as_stated"), message, hint, "no-half")
    for end in strays(value, said):
        shown = " | ".join(quoted(text, 80) for text in said)
        message = f"{_called(path)} {end} is {value.get(end)}, and its source names no such month: {shown}"
        hint = "count months from the local midwinter, 0 being December in the north and June in the south"
        yield _problem(document, (*path, "value", end), message, hint, "season-differs")


def _figures(document: Document | Record, path: Path, node: dict[str, Any], field: Field) -> Iterator[Problem]:
    """Every number of a published claim must be found in what one of its sources says."""
    numbers = _numbers(node, path, field)
    said = [ref["as_stated"] for ref in node.get("sources") or () if isinstance(ref, dict) and _is_text(ref)]
    if any(_NONE.search(text) for text in said):
        numbers = [number for number in numbers if number.value != 0]
    if not numbers or not said:
        return
    stated = [figure for text in said for figure in figures(text)]
    shown = " | ".join(quoted(text, 80) for text in said)
    if not stated:
        message = f"{_called(path)} is published, and its source states no figure: {shown}"
        hint = "quote the figure with its unit in as_stated, or choose another basis"
        yield _problem(document, (*path, "sources", 0, "as_stated"), message, hint, "no-figure")
        return
    for number in numbers:
        yield from _figure(document, number, stated, path, field, shown)


def _figure(
    document: Document | Record, number: Number, stated: list[Figure], path: Path, field: Field, shown: str
) -> Iterator[Problem]:
    unit = "mg/L as CO2" if field.path == "water.co2" else field.unit
    value = f"{number.value:g} {unit or ''}".rstrip()
    with_unit = [figure for figure in stated if figure.unit is not None]
    # A water table above the crown is a negative depth below it, and sources give it without the sign.
    amount = abs(number.value) if field.unit == "cm" else number.value
    if agrees(amount, with_unit if unit else stated, unit):
        return
    bare = [Figure(figure.value, "deg") for figure in stated if figure.unit is None]
    if unit not in ("degC", "K"):
        bare = [figure._replace(unit=None) for figure in bare]
    if agrees(amount, bare, unit):
        if unit != "pH":
            message = f"{_called(path)} {number.name} is {value}, and the source's figure has no unit: {shown}"
            hint = "add the unit in square brackets, as in '60 [F]'"
            yield _problem(document, number.path, message, hint, "no-unit", "warning")
        return
    if any(figure.unit in AMBIGUOUS for figure in stated):
        message = f"{_called(path)} {number.name} is {value}, and the source states a conductivity: {shown}"
        hint = "conductivity has no fixed factor to mg/L; quote a figure in ppm or mg/L, or choose another basis"
        yield _problem(document, number.path, message, hint, "ambiguous-figure")
        return
    message = f"{_called(path)} {number.name} is {value}, which is in none of: {shown}"
    hint = "correct the number or as_stated, or give this end a basis of its own"
    yield _problem(document, number.path, message, hint, "figure-differs")


def _is_text(ref: dict[str, Any]) -> bool:
    return isinstance(ref.get("as_stated"), str)


def _called(path: Path) -> str:
    names = [str(part) for part in path if isinstance(part, str) and part != "disputed"]
    if names[:1] == ["rules"]:
        return "the rule"
    return quoted(".".join(names[-2:]))


def _problem(
    document: Document | Record, path: Path, message: str, hint: str, code: str, severity: Severity = "error"
) -> Problem:
    line, column = document.positions.value(path)
    return Problem(document.file, line, column, message, hint, code, severity)
