"""From the errors of JSON Schema to what a writer of the file needs to hear: one fault for each mistake."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from typing import Any

from .documents import Path
from .problems import quoted

_KINDS = {
    "object": "a mapping",
    "array": "a list",
    "string": "a text",
    "number": "a number",
    "integer": "a whole number",
    "boolean": "true or false",
    "null": "nothing",
}
_MOST_WORDS = 24


@dataclass(frozen=True)
class Fault:
    """One mistake. path : of the value. key : of an entry of that value, if one of its keys is meant.

    firm : the hint tells of this very value, so it goes before the hint of the schema.
    """

    path: Path
    message: str
    hint: str
    code: str
    key: str | None = None
    missing: tuple[str, ...] = ()
    allowed: tuple[str, ...] = ()
    conditions: tuple[tuple[Path, frozenset[str], str], ...] = ()
    firm: bool = False


def explain(errors: list[Any]) -> list[Fault]:
    """The faults behind the errors of one validation, without repetitions and echoes."""
    faults: dict[tuple[Path, str | None, str, str], Fault] = {}
    for error in errors:
        for fault in _faults(error, ()):
            faults.setdefault((fault.path, fault.key, fault.code, fault.message), fault)
    return _without_echoes(_paired(list(faults.values())))


def _faults(error: Any, inherited: tuple[tuple[Path, frozenset[str], str], ...]) -> Iterator[Fault]:
    path = tuple(error.absolute_path)
    here = tuple((path[: len(path) - depth], keys, branch) for depth, keys, branch in getattr(error, "conditions", ()))
    if error.validator in ("anyOf", "oneOf") and error.context:
        yield from _alternatives(error, here + inherited)
        return
    named = "propertyNames" in error.absolute_schema_path
    write = _property_names if named else _WRITERS.get(error.validator, _other)
    for fault in write(error, path):
        hint = fault.hint if fault.firm else _own_hint(error, fault.hint)
        yield replace(fault, hint=hint, conditions=here + inherited)


def _own_hint(error: Any, default: str) -> str:
    own = error.schema.get("x-hint") if isinstance(error.schema, dict) else None
    return str(own) if own else default


def _alternatives(error: Any, conditions: tuple[tuple[Path, frozenset[str], str], ...]) -> Iterator[Fault]:
    """Errors of the alternative that was most likely meant: the one with the least wrong at its top."""
    branches: dict[int, list[Any]] = {}
    for inner in error.context:
        branches.setdefault(inner.schema_path[0], []).append(inner)
    path = tuple(error.absolute_path)
    shallow = [inner for inner in error.context if len(inner.path) == 0]
    if len(shallow) == len(error.context) and all(inner.validator == "required" for inner in shallow):
        keys = tuple(dict.fromkeys(key for inner in shallow for key in _absent(inner)))
        message = f"{_where(path)}needs one of {_listed(keys)}"
        hint = _own_hint(error, "add one of them")
        yield Fault(path, message, hint, "missing-key", missing=keys, conditions=conditions)
        return
    if len(shallow) == len(error.context) and all(inner.validator == "type" for inner in shallow):
        wanted = " or ".join(dict.fromkeys(_wanted(inner.validator_value) for inner in shallow))
        message = f"{_where(path)}must be {wanted}, not {_shown(error.instance)}"
        yield Fault(path, message, _own_hint(error, f"write {wanted}"), "wrong-type", conditions=conditions)
        return

    def badness(inner: list[Any]) -> tuple[int, int]:
        weights = {"type": 100, "required": 3, "additionalProperties": 2}
        at_top = sum(weights.get(error.validator, 1) for error in inner if len(error.path) == 0)
        return at_top, len(inner)

    for inner in min(branches.values(), key=badness):
        yield from _faults(inner, conditions)


def _where(path: Path) -> str:
    return f"{_name(path) or 'the file'} "


def _in(path: Path) -> str:
    name = _name(path)
    return f" in {name}" if name else ""


def _name(path: Path) -> str:
    names = [part for part in path if isinstance(part, str)]
    if names:
        return quoted(".".join(names[-2:]))
    return f"entry {int(path[0]) + 1}" if path else ""


def _shown(value: Any) -> str:
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, dict):
        return "a mapping"
    if isinstance(value, list):
        return "a list"
    if isinstance(value, str):
        return f"the text {quoted(value)}"
    return f"the number {value}"


def _wanted(types: Any) -> str:
    names = [types] if isinstance(types, str) else types
    return " or ".join(_KINDS.get(name, name) for name in names)


def _listed(words: Any, most: int = _MOST_WORDS) -> str:
    shown = [str(word) for word in list(words)[:most]]
    return ", ".join(shown) + (", …" if len(words) > most else "")


def close(word: str, words: Any) -> str | None:
    """The word of the list that was probably meant. difflib is imported only here, on the way to an error."""
    import difflib

    lower = {str(known).casefold().replace("_", "-"): str(known) for known in words}
    plain = word.casefold().replace("_", "-")
    found = difflib.get_close_matches(plain, lower, n=1, cutoff=0.7)
    found = found or [known for known in lower if len(plain) > 2 and known.startswith(plain)]
    return lower[found[0]] if found else None


def choice(word: str, words: Any) -> str:
    """The hint for a word that is not among those known: the one that was probably meant, and all of them."""
    meant = close(word, words)
    listed = f"one of: {_listed(words)}"
    return f"did you mean '{meant}'? {listed}" if meant else listed


def _absent(error: Any) -> list[str]:
    return [key for key in error.validator_value if key not in error.instance]


def _type(error: Any, path: Path) -> Iterator[Fault]:
    wanted = _wanted(error.validator_value)
    message, meant = f"{_where(path)}must be {wanted}, not {_shown(error.instance)}", None
    if isinstance(error.instance, str):
        meant = _figures(error.instance, error.validator_value)
    yield Fault(path, message, meant or f"write {wanted}", "wrong-type", firm=meant is not None)


def _figures(text: str, wanted: Any) -> str | None:
    """What to write in place of figures with their unit: '30 cm', '80x40x45', '20-25 °C'."""
    found = re.findall(r"(?<![0-9.])(?:(?<!\w)-)?[0-9]+(?:\.[0-9]+)?", text)
    if not found or not re.match(r"\s*[-~<>=]?\s*[0-9]", text) or text.endswith("S"):  # south is negative
        return None
    if wanted == "array" or len(found) > 1:
        return f"write [{', '.join(found)}]" if wanted in ("array", "figure") and len(found) > 1 else None
    return f"write {found[0]} alone: the unit is fixed" if wanted in ("number", "integer", "figure") else None


def _enum(error: Any, path: Path) -> Iterator[Fault]:
    words = error.validator_value
    message = f"{_shown(error.instance)} is not a word for {_where(path).strip()}"
    yield Fault(path, message, choice(str(error.instance), words), "unknown-word")


def _const(error: Any, path: Path) -> Iterator[Fault]:
    wanted = _shown(error.validator_value)
    if error.validator_value == "unknown":  # a text where a figure or this one word may stand
        message = f"{_where(path)}must be a figure or the word 'unknown', not {_shown(error.instance)}"
        meant = _figures(str(error.instance), "figure")
        yield Fault(path, message, meant or "write a number, or unknown", "unknown-word", firm=meant is not None)
        return
    yield Fault(path, f"{_where(path)}can only be {wanted}", f"write {wanted}, or leave the key out", "unknown-word")


def _required(error: Any, path: Path) -> Iterator[Fault]:
    # jsonschema gives one error a missing key, all with the whole list: the last word of its message is the key.
    keys = tuple(key for key in _absent(error) if repr(key) in error.message)
    properties = error.schema.get("properties", {})
    for key in keys:
        words = properties.get(key, {}).get("enum")
        hint = f"add {key}: with one of {_listed(words)}" if words else f"add {key}:"
        yield Fault(path, f"missing key '{key}'{_in(path)}", hint, "missing-key", missing=(key,))


def _additional(error: Any, path: Path) -> Iterator[Fault]:
    properties = tuple(error.schema.get("properties", {}))
    patterns = tuple(error.schema.get("patternProperties", {}))
    for key in error.instance:
        if key not in properties and not any(re.search(pattern, key) for pattern in patterns):
            yield _unknown_key(key, path, properties, error.instance)


def _unknown_key(key: str, path: Path, allowed: tuple[str, ...], instance: Any) -> Fault:
    free = tuple(name for name in allowed if name not in instance)
    meant = close(key, free)
    hint = f"did you mean '{meant}'?" if meant else f"allowed here: {_listed(allowed)}"
    return Fault(path, f"unknown key {quoted(key)}{_in(path)}", hint, "unknown-key", key=key, allowed=free)


def _property_names(error: Any, path: Path) -> Iterator[Fault]:
    """Errors inside propertyNames come one by one with the key as their instance."""
    key = str(error.instance)
    if error.validator == "enum":
        conditions = getattr(error, "conditions", ())
        beside = next((keys for _, keys, branch in conditions if branch == "then"), None)
        if beside:
            message = f"{quoted(key)} cannot stand beside {_listed(sorted(beside))}{_in(path)}"
            yield Fault(path, message, "keep one of the two", "not-together", key=key)
        else:
            yield _unknown_key(key, path, tuple(error.validator_value), ())
    else:
        yield Fault(
            path, f"the key {quoted(key)}{_in(path)} is not written as it should be", "rename it", "wrong-form", key=key
        )


def _pattern(error: Any, path: Path) -> Iterator[Fault]:
    hint = f"the form is {error.validator_value}"
    yield Fault(path, f"{_where(path)}is not written as it should be: {quoted(error.instance)}", hint, "wrong-form")


def _count(word: str, noun: str, verb: str) -> Callable[[Any, Path], Iterator[Fault]]:
    def write(error: Any, path: Path) -> Iterator[Fault]:
        number = error.validator_value
        plural = "y" if noun == "entr" and number == 1 else "ies" if noun == "entr" else "" if number == 1 else "s"
        found = len(error.instance)
        message = f"{_where(path)}needs {word} {number} {noun}{plural}, and has {found}"
        if not found:
            message = f"{_where(path)}is empty"
        yield Fault(path, message, verb, "wrong-count")

    return write


def _bound(relation: str, hint: str) -> Callable[[Any, Path], Iterator[Fault]]:
    def write(error: Any, path: Path) -> Iterator[Fault]:
        message = f"{_where(path)}is {error.instance}, {relation} {error.validator_value}"
        yield Fault(path, message, hint, "out-of-range")

    return write


def _unique(error: Any, path: Path) -> Iterator[Fault]:
    yield Fault(path, f"{_where(path)}lists an entry twice", "remove the repetition", "repeated-entry")


def _not(error: Any, path: Path) -> Iterator[Fault]:
    keys = [key for part in error.validator_value.get("anyOf", ()) for key in part.get("required", ())]
    if keys and isinstance(error.instance, dict):
        present = [key for key in keys if key in error.instance]
        message = f"{_listed(present)} cannot stand here as well{_in(path)}"
        yield Fault(path, message, "keep one of them", "not-together", key=present[0] if present else None)
        return
    yield Fault(path, f"{_where(path)}does not belong here", "remove it", "not-together")


def _one_of(error: Any, path: Path) -> Iterator[Fault]:
    yield Fault(path, f"{_where(path)}can be read in two ways", "remove what does not belong", "not-together")


def _other(error: Any, path: Path) -> Iterator[Fault]:
    yield Fault(
        path, f"{_where(path)}does not fit the schema ({error.validator})", "compare a neighbouring file", "schema"
    )


_WRITERS: dict[str, Callable[[Any, Path], Iterator[Fault]]] = {
    "type": _type,
    "enum": _enum,
    "const": _const,
    "required": _required,
    "additionalProperties": _additional,
    "pattern": _pattern,
    "minItems": _count("at least", "entr", "add what is missing"),
    "maxItems": _count("at most", "entr", "remove what is too much"),
    "minLength": _count("at least", "character", "write more"),
    "maxLength": _count("at most", "character", "write less"),
    "minProperties": _count("at least", "entr", "fill it, or leave the key out"),
    "minimum": _bound("below the least allowed,", "check the number and its unit"),
    "maximum": _bound("above the most allowed,", "check the number and its unit"),
    "exclusiveMinimum": _bound("and must be above", "check the number and its unit"),
    "exclusiveMaximum": _bound("and must be below", "check the number and its unit"),
    "uniqueItems": _unique,
    "not": _not,
    "oneOf": _one_of,
}


def _paired(faults: list[Fault]) -> list[Fault]:
    """A misspelt key arrives as one unknown and one missing key: keep the unknown one, with the suggestion."""
    gone: set[int] = set()
    out: list[Fault] = []
    for fault in faults:
        if fault.code == "unknown-key" and fault.key is not None:
            for index, other in enumerate(faults):
                if other.missing and other.path == fault.path and index not in gone:
                    meant = close(fault.key, other.missing)
                    if meant:
                        gone.add(index)
                        fault = replace(fault, hint=f"did you mean '{meant}'?")
                        break
        out.append(fault)
    return [fault for index, fault in enumerate(out) if index not in gone]


def _without_echoes(faults: list[Fault]) -> list[Fault]:
    """Drop what follows from another fault: branches chosen by a wrong key, several faults of one value."""
    kept = []
    typed = {fault.path for fault in faults if fault.code == "wrong-type"}
    worded: set[Path] = set()
    for fault in faults:
        if fault.path in typed and fault.code != "wrong-type":
            continue
        if any(_doubtful(condition, fault, faults) for condition in fault.conditions):
            continue
        if fault.code == "unknown-word":
            if fault.path in worded:
                continue
            worded.add(fault.path)
        kept.append(fault)
    return kept


def _doubtful(condition: tuple[Path, frozenset[str], str], fault: Fault, faults: list[Fault]) -> bool:
    """Whether a key that decided the branch is itself at fault."""
    path, keys, _ = condition
    for other in faults:
        if other is fault:
            continue
        if other.path == path:
            if keys.intersection(other.missing):
                return True
            if other.code == "unknown-key" and other.key is not None and close(other.key, keys):
                return True
        elif len(other.path) == len(path) + 1 and other.path[:-1] == path and other.path[-1] in keys:
            return True
    return False
