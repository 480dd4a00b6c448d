"""Outline tables: every accepted name of a genus with its synonyms, a name a row, as plain CSV (RFC 4180).

A row says who a plant is, never what it needs: its needs are those of its group's profiled members. Rows become the
same shape as a profile that states only its identity, so that everything that reads profiles reads them as well.
"""

from __future__ import annotations

import csv
import re
from collections.abc import Iterable, Iterator
from dataclasses import replace
from pathlib import Path, PurePosixPath
from typing import Any

from .documents import Document, Place, Positions
from .documents import Path as DataPath
from .names import Entry, Name, normal
from .problems import Problem, quoted

COLUMNS = (
    "name",
    "authority",
    "rank",
    "accepted",
    "range",
    "group",
    "elevation_low",
    "elevation_high",
    "source",
    "elevation_source",
    "elevation_as_stated",
    "from_memory",
    "note",
)
RANKS = ("species", "subspecies", "variety", "form", "natural-hybrid")
TAXA = "taxa"
_CELL = re.compile(r'("(?:[^"]|"")*"|[^,]*)(,|$)')


class _Row:
    """One line of a table. cells : by column. places : line and column of each."""

    def __init__(self, line: int, cells: dict[str, str], columns: dict[str, int]) -> None:
        self.line = line
        self.cells = cells
        self.columns = columns

    def __getitem__(self, column: str) -> str:
        return self.cells[column]

    def place(self, column: str) -> Place:
        return self.line, self.columns[column]

    @property
    def slug(self) -> str:
        return normal(self["name"]).partition(" ")[2].replace(" ", "-")

    @property
    def from_memory(self) -> frozenset[str]:
        return frozenset(self["from_memory"].split())


def read_outline(file: str) -> Document:
    """The table as data: ``{"outline": genus, "taxa": {slug: identity-only profile}}``, with the place of each cell.

    Never raises for what is wrong with the file: that is in ``problems``. Rows with a fault are left out.
    """
    try:
        text = Path(file).read_text(encoding="utf-8").removeprefix("\ufeff")
    except (OSError, UnicodeError) as error:
        return _unreadable(file, f"the table cannot be read: {error}", "save it as UTF-8 text")
    lines = text.splitlines()
    if not lines or lines[0].split(",") != list(COLUMNS):
        return _unreadable(file, "the first line does not name the columns", f"write: {','.join(COLUMNS)}")
    problems: list[Problem] = []
    rows = list(_rows(file, lines, problems))
    genus = PurePosixPath(file.replace("\\", "/")).stem
    taxa: dict[str, Any] = {}
    places: dict[DataPath, Place] = {}
    accepted = {row["name"] for row in rows if not row["accepted"]}
    synonyms: dict[str, list[_Row]] = {}
    for row in rows:
        if row["accepted"] in accepted:
            synonyms.setdefault(row["accepted"], []).append(row)
        elif row["accepted"]:
            message = f"the accepted name {quoted(row['accepted'])} has no row of its own"
            problems.append(
                _problem(file, row.place("accepted"), message, "add its row, or correct the name", "name-clash")
            )
    for row in rows:
        if not row["accepted"] and normal(row["name"]).partition(" ")[0] != genus:
            message = f"{quoted(row['name'])} stands in the table of {genus}"
            hint = "move it to the table of its genus; only synonyms may bear another's name"
            problems.append(_problem(file, row.place("name"), message, hint, "file-name"))
        elif not row["accepted"] and row.slug in taxa:
            message = f"{quoted(row['name'])} stands here twice"
            problems.append(_problem(file, row.place("name"), message, "keep one of the rows", "name-clash"))
        elif not row["accepted"]:
            taxa[row.slug] = _taxon(row, synonyms.get(row["name"], []), places)
    data = {"outline": genus, TAXA: taxa}
    return Document(file, data, Positions(data, _flat(data, places)), tuple(sorted(problems)))


def outline_entries(record: str, data: dict[str, Any]) -> list[Entry]:
    """The accepted names of a table, each with its synonyms."""
    found = []
    for slug, taxon in data[TAXA].items():
        names = [Name("accepted", taxon["name"], normal(taxon["name"]))]
        for shown in taxon["identity"].get("synonyms", {}).get("value", ()):
            names.append(Name("synonym", shown, normal(shown)))
        genus = data["outline"]
        group = f"{genus}/_{taxon['group']}" if "group" in taxon else None
        entry = Entry(
            f"{genus}/{slug}",
            "taxon",
            taxon["name"],
            taxon["rank"],
            genus,
            group,
            record,
            None,
            True,
            False,
            tuple(names),
        )
        found.append(entry)
    return found


def without_profiled(entries: Iterable[Entry]) -> list[Entry]:
    """Entries with each name once: a row of a table whose plant has a profile only lends it its synonyms.

    A profile that counts a name among its synonyms has it, whatever the lists hold: names are lumped and split.
    """
    entries = list(entries)
    profiled: dict[str, Entry] = {}
    for kind in ("accepted", "synonym"):
        for entry in entries:
            if entry.kind == "taxon" and not entry.listed:
                for name in entry.names:
                    if name.kind == kind:
                        profiled.setdefault(name.key, entry)
    lent: dict[str, list[Name]] = {}
    kept = []
    for entry in entries:
        plant = profiled.get(entry.names[0].key) if entry.listed else None
        if plant is None:
            kept.append(entry)
        else:
            # a synonym that a profile (of a form, say) has for itself is not lent to another
            lent.setdefault(plant.id, []).extend(name for name in entry.names[1:] if name.key not in profiled)
    return [replace(e, names=(*e.names, *lent[e.id])) if e.id in lent else e for e in kept]


def _rows(file: str, lines: list[str], problems: list[Problem]) -> Iterator[_Row]:
    for number, text in enumerate(lines[1:], start=2):
        starts = [match.start() + 1 for match in _CELL.finditer(text)][: len(COLUMNS)]
        try:
            cells = next(csv.reader([text]), [])
        except csv.Error as error:
            problems.append(_problem(file, (number, 1), f"the row cannot be read: {error}", "write it anew", "cells"))
            continue
        if len(cells) != len(COLUMNS):
            message = f"the row has {len(cells)} cells, not {len(COLUMNS)}"
            problems.append(_problem(file, (number, 1), message, "quote cells that hold a comma", "cells"))
            continue
        row = _Row(
            number, dict(zip(COLUMNS, map(str.strip, cells), strict=True)), dict(zip(COLUMNS, starts, strict=True))
        )
        faults = [_problem(file, row.place(column), *fault) for column, *fault in _faults(row)]
        problems += faults
        if not faults:
            yield row


def _faults(row: _Row) -> Iterator[tuple[str, str, str, str]]:
    """Column, message, hint and code of everything wrong with one row by itself."""
    if len(row["name"].split()) < 2:
        yield "name", f"{quoted(row['name'])} is not the name of a plant", "write genus and epithet", "name"
    if row["rank"] not in RANKS:
        yield "rank", f"{quoted(row['rank'])} is no rank", f"write one of {', '.join(RANKS)}", "rank"
    for column in ("elevation_low", "elevation_high"):
        if row[column] and not row[column].lstrip("-").replace(".", "", 1).isdigit():
            yield column, f"{quoted(row[column])} is not a height in metres", "write a number or nothing", "number"
    if (row["elevation_low"] or row["elevation_high"]) and not (row["elevation_source"] and row["elevation_as_stated"]):
        yield (
            "elevation_source",
            "a height is given without its source",
            "name the source's id and quote its figure, or leave the height out",
            "no-source",
        )
    unknown = row.from_memory - {*COLUMNS, "status"}
    if unknown:
        yield "from_memory", f"{quoted(sorted(unknown)[0])} is no column", "name columns, a space between", "column"
    if not row["source"] and "name" not in row.from_memory:
        yield "source", "the name has no source", "name one, or write name into from_memory", "no-source"


def _taxon(row: _Row, synonyms: list[_Row], places: dict[DataPath, Place]) -> dict[str, Any]:
    """An identity-only profile, with the lists that have the name; `places` takes the place of each part."""
    top: DataPath = (TAXA, row.slug)
    places[top] = row.place("name")
    identity: dict[str, Any] = {}
    if row["authority"]:
        identity["authority"] = _claim(row, "authority", row["authority"])
    if synonyms:
        shown = [other["name"] for other in synonyms]
        memory = any("status" in other.from_memory for other in synonyms)
        ids = sorted({source for other in synonyms for source in other["source"].split()})
        identity["synonyms"] = _based(shown, ids if not memory else [], ", ".join(shown))
        places[(*top, "identity", "synonyms")] = synonyms[0].place("name")
    if row["range"]:
        identity["range"] = _claim(row, "range", row["range"].split())
    ends = {end: float(row[f"elevation_{end}"]) for end in ("low", "high") if row[f"elevation_{end}"]}
    if ends:
        numbers = {"band": [ends["low"], ends["high"]]} if len(ends) == 2 else ends
        source = {"id": row["elevation_source"], "locator": "height", "as_stated": row["elevation_as_stated"]}
        identity["elevation"] = {**numbers, "basis": "published", "sources": [source]}
        places[(*top, "identity", "elevation")] = row.place("elevation_low")
    for column in ("authority", "range"):
        places[(*top, "identity", column)] = row.place(column)
    made: dict[str, Any] = {"profile": "taxon", "name": row["name"], "rank": row["rank"]}
    if row["group"]:
        made["group"] = row["group"]
        places[(*top, "group")] = row.place("group")
    made["identity"] = identity
    made["sources"] = sorted({source for one in (row, *synonyms) for source in one["source"].split()})
    places[(*top, "sources")] = row.place("source")
    if row["note"]:
        made["notes"] = [row["note"]]
    return made


def _claim(row: _Row, column: str, value: Any) -> dict[str, Any]:
    ids = [] if column in row.from_memory else row["source"].split()
    return _based(value, ids, row[column])


def _based(value: Any, sources: list[str], stated: str) -> dict[str, Any]:
    if not sources:
        return {"value": value, "basis": "from-memory"}
    listed = [{"id": source, "locator": "list of names", "as_stated": stated} for source in sources]
    return {"value": value, "basis": "published", "sources": listed}


def _flat(data: Any, places: dict[DataPath, Place]) -> list[int]:
    """Places in the order that Positions wants: before each value of a mapping its key's, then its own."""
    flat: list[int] = []

    def walk(node: Any, path: DataPath, place: Place) -> None:
        place = places.get(path, place)
        flat.extend(place)
        if isinstance(node, dict):
            for key, part in node.items():
                flat.extend(places.get((*path, key), place))
                walk(part, (*path, key), place)
        elif isinstance(node, list):
            for index, part in enumerate(node):
                walk(part, (*path, index), place)

    walk(data, (), (1, 1))
    return flat


def _problem(file: str, place: Place, message: str, hint: str, code: str) -> Problem:
    return Problem(file, *place, message, hint, code)


def _unreadable(file: str, message: str, hint: str) -> Document:
    problem = Problem(file, 1, 1, message, hint, "outline")
    return Document(file, None, Positions(None, [1, 1]), (problem,), readable=False)
