"""Row kinds and their fields, read from `schemas/fields.schema.json`; and the problem that every check reports.

A row stands for one plant, pair, month … and holds a value for every field of its kind: an interval for a number, a
word or "?", or a key. The schema file is the one truth for names, units and words; this is its plain reading, so that
a judgement needs no JSON Schema library.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any

Path = tuple[str | int, ...]

SUBJECTS = ("plant", "pair", "place", "month", "case", "work", "remedy")
KIND = re.compile(rf"({'|'.join(SUBJECTS)})\.[a-z][a-z0-9-]*")
NAME = re.compile(r"[a-z][a-z0-9_]*")
RESERVED = frozenset({"id", "kind", "name", "tags", "any"})
UNKNOWN = "?"


@dataclass(frozen=True)
class Problem:
    """Something wrong in a knowledge file, as finished help.

    path: keys and indexes from the top of the file; place: "file:line:column", empty where nobody knew it;
    code: stable id of the check; level: "error" or "warning".
    """

    path: Path
    message: str
    hint: str
    code: str
    place: str = ""
    level: str = "error"

    def __str__(self) -> str:
        where = f"{self.place}: " if self.place else ""
        warning = "warning: " if self.level == "warning" else ""
        hint = f" — {self.hint}" if self.hint else ""
        return f"{where}{warning}{self.message}{hint} ({self.code})"


@dataclass(frozen=True)
class Field:
    """One field of a row kind. sort: number, word, free-word or key; words: the closed list, without "?".

    measure: what a grower would state or measure to know it; empty where it is no condition of an enclosure.
    """

    name: str
    sort: str
    unit: str = ""
    title: str = ""
    words: tuple[str, ...] = ()
    measure: str = ""


@dataclass(frozen=True)
class Kind:
    """A row kind `KIND.TOPIC`. of: what one row stands for; fields by name, in the order of the file."""

    name: str
    title: str
    of: str
    fields: Mapping[str, Field]

    @property
    def keys(self) -> tuple[str, ...]:
        """Names of the key fields."""
        return tuple(name for name, one in self.fields.items() if one.sort == "key")


@dataclass(frozen=True)
class Fields:
    """All declared row kinds by name."""

    kinds: Mapping[str, Kind] = field(default_factory=dict)


class FieldsError(ValueError):
    """The fields file cannot be read. `problems` lists all that is wrong with it."""

    def __init__(self, problems: list[Problem]) -> None:
        super().__init__("\n".join(map(str, problems)))
        self.problems = problems


def closest(word: object, options: Iterable[str]) -> str:
    """'did you mean "…"?' for the option nearest to word, or ''."""
    import difflib

    found = difflib.get_close_matches(str(word), [str(option) for option in options], n=1, cutoff=0.6)
    return f"did you mean '{found[0]}'?" if found else ""


def choices(options: Iterable[str]) -> str:
    """'a, b or c'."""
    *most, last = options
    return f"{', '.join(most)} or {last}" if most else last


def load_fields(document: Mapping[str, Any]) -> Fields:
    """Read the loaded `fields.schema.json`.

    Entries of `$defs` with a dot in the name are row kinds; the others are value types.
    Raises FieldsError with everything that is wrong.
    """
    problems: list[Problem] = []
    kinds = {}
    for name, entry in document.get("$defs", {}).items():
        if "." in name:
            kinds[name] = _kind(name, entry, problems)
    if problems:
        raise FieldsError(problems)
    return Fields(kinds)


def _kind(name: str, entry: Mapping[str, Any], problems: list[Problem]) -> Kind:
    path: Path = ("$defs", name)
    properties = entry.get("properties", {})
    if not KIND.fullmatch(name):
        hint = f"{choices(SUBJECTS)}, a dot and a topic"
        problems.append(Problem(path, f"'{name}' is not a row kind", hint, "bad-kind"))
    if entry.get("additionalProperties") is not False or set(entry.get("required", ())) != set(properties):
        hint = "set additionalProperties: false and list every field under required"
        problems.append(Problem(path, f"row kind '{name}' is not closed", hint, "open-kind"))
    fields = {one: _field(one, entry, (*path, "properties", one), problems) for one, entry in properties.items()}
    return Kind(name, entry.get("x-title", ""), entry.get("x-of", ""), fields)


def _field(name: str, entry: Mapping[str, Any], path: Path, problems: list[Problem]) -> Field:
    if not NAME.fullmatch(name) or name in RESERVED:
        hint = f"lower-case letters, digits and _; not {choices(sorted(RESERVED))}"
        problems.append(Problem(path, f"'{name}' cannot name a field", hint, "bad-field-name"))
    sort = "word" if "enum" in entry else str(entry.get("$ref", "")).rpartition("/")[2]
    unit, title = entry.get("x-unit", ""), entry.get("x-title", "")
    if sort not in ("number", "word", "free-word", "key"):
        hint = "$ref: number, key or free-word of $defs, or an enum of words"
        problems.append(Problem(path, f"field '{name}' is of no known sort", hint, "bad-field-sort"))
    if sort == "number" and not unit:
        hint = 'give x-unit; "1" for a bare number'
        problems.append(Problem(path, f"number '{name}' has no unit", hint, "no-unit"))
    words = tuple(word for word in entry.get("enum", ()) if word != UNKNOWN)
    if sort == "word":
        _check_words(name, words, entry["enum"], path, problems)
    return Field(name, sort, unit, title, words, entry.get("x-measure", ""))


def _check_words(name: str, words: tuple[Any, ...], listed: list[Any], path: Path, problems: list[Problem]) -> None:
    texts = {word for word in listed if isinstance(word, str)}
    if not words or UNKNOWN not in texts or len(texts) != len(listed):
        hint = 'each word once, and "?" for unknown'
        problems.append(Problem(path, f"the words of '{name}' are not a closed list", hint, "bad-words"))
