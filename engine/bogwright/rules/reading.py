"""Reading plain data with good manners: every helper reports what is wrong, where, and how to mend it, and goes on.

`Reader` checks maps, keys and texts; `TestsReader` reads conditions, words and numbers against a row kind.
"""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from typing import Any

from bogwright.rules.fields import UNKNOWN, Field, Kind, Path, Problem, choices, closest
from bogwright.rules.model import ORDERINGS, AnyOf, Condition, Leaf, Place, decimals_fit

WORD_TESTS = ("is-not", "one-of", "none-of")

SLUG = re.compile(r"[a-z0-9]+(-[a-z0-9]+)*")


class Reader:
    """Collects problems with their places."""

    def __init__(self, problems: list[Problem], place: Place) -> None:
        self.problems = problems
        self.place = place

    def report(self, path: Path, message: str, hint: str, code: str) -> None:
        self.problems.append(Problem(path, message, hint, code, self.place(path)))

    def is_map(self, value: Any, path: Path, what: str, hint: str) -> bool:
        if isinstance(value, dict):
            return True
        self.report(path, f"{what} should be a map, not {shown(value)}", hint, "wrong-type")
        return False

    def keys(
        self, value: Mapping[str, Any], path: Path, known: Sequence[str], needed: Sequence[str], what: str
    ) -> None:
        """Report unknown and missing keys; a misspelt one once, as unknown."""
        missing = [key for key in needed if key not in value]
        for key in value:
            if key in known:
                continue
            hint = closest(key, [one for one in known if one not in value])
            missing = [one for one in missing if f"'{one}'" not in hint]
            hint = hint or f"known: {', '.join(known)}"
            self.report((*path, key), f"unknown key '{key}' in {what}", hint, "unknown-key")
        for key in missing:
            self.report(path, f"{what} lacks '{key}'", f"add {key}:", "missing-key")

    def text(self, value: Any, path: Path, what: str) -> str:
        if isinstance(value, str) and len(value) >= 3:
            return value
        hint = "write a sentence, in quotes if need be"
        self.report(path, f"{what} should be a text, not {shown(value)}", hint, "wrong-type")
        return ""

    def word_of(self, value: Any, path: Path, options: tuple[str, ...], what: str) -> str:
        if isinstance(value, str) and value in options:
            return value
        hint = closest(value, options) or choices(options)
        self.report(path, f"{what} cannot be {shown(value)}", hint, "unknown-word")
        return ""

    def slug(self, value: Any, path: Path, what: str, form: re.Pattern[str] = SLUG) -> str:
        if isinstance(value, str) and form.fullmatch(value):
            return value
        joint = "hyphens" if form is SLUG else "_"
        self.report(path, f"{what} cannot be {shown(value)}", f"lower-case words joined by {joint}", "bad-id")
        return ""


class TestsReader(Reader):
    """Reads tests and values against the fields of one row kind."""

    def __init__(self, problems: list[Problem], place: Place, kind: Kind) -> None:
        super().__init__(problems, place)
        self.kind = kind

    def when(self, data: Any, path: Path) -> tuple[Condition, ...]:
        if not (isinstance(data, list) and data):
            self.report(path, f"when should be a list of conditions, not {shown(data)}", "- FIELD: test", "wrong-type")
            return ()
        read = [self._condition(item, (*path, index)) for index, item in enumerate(data)]
        return tuple(one for one in read if one)

    def _condition(self, data: Any, path: Path) -> Condition | None:
        if not (isinstance(data, dict) and "any" in data):
            return self._leaf(data, path)
        if len(data) > 1:
            self.report(path, "any stands beside other tests", "make it an item of its own", "two-in-one")
        ways = data["any"]
        if not (isinstance(ways, list) and len(ways) > 1 and all(isinstance(way, list) and way for way in ways)):
            hint = "any: [[{FIELD: test}], [{FIELD: test}, {FIELD: test}]]"
            self.report((*path, "any"), "any should be two or more lists of tests", hint, "wrong-type")
            return None
        read = [
            [self._leaf(item, (*path, "any", index, place)) for place, item in enumerate(way)]
            for index, way in enumerate(ways)
        ]
        return AnyOf(tuple(tuple(leaf for leaf in way if leaf) for way in read))

    def _leaf(self, data: Any, path: Path) -> Leaf | None:
        hint = "- FIELD: test; one field an item"
        if not self.is_map(data, path, "a condition", hint):
            return None
        if len(data) != 1:
            hint = "write an item for each"
            self.report(path, f"a condition tests one field, this one {len(data)}", hint, "two-in-one")
            return None
        name, test = next(iter(data.items()))
        if name == "any":
            self.report((*path, "any"), "any inside any", "write the alternatives out, or conclude a tag", "nested-any")
            return None
        field = self.field(name, (*path, name))
        return self._test(field, test, (*path, name)) if field else None

    def field(self, name: Any, path: Path) -> Field | None:
        field = self.kind.fields.get(name) if isinstance(name, str) else None
        if field is None:
            hint = closest(name, self.kind.fields) or f"known: {', '.join(self.kind.fields)}"
            self.report(path, f"{self.kind.name} has no field '{name}'", hint, "unknown-field")
        return field

    def _test(self, field: Field, test: Any, path: Path) -> Leaf | None:
        if field.sort == "key":
            message = f"{field.name} is a key and cannot be tested"
            self.report(path, message, "test a trait of it, or join a tag on it", "key-tested")
            return None
        if isinstance(test, dict) and len(test) == 1:
            op, value = next(iter(test.items()))
        else:
            op, value = "is", test
        if field.sort == "number":
            return self._ordering(field, op, value, path)
        return self._words(field, op, value, path)

    def _ordering(self, field: Field, op: str, value: Any, path: Path) -> Leaf | None:
        if op not in ORDERINGS:
            hint = closest(op, ORDERINGS) or f"{field.name}: {{at-least: 3}}; {choices(ORDERINGS)}; no equality"
            self.report(path, f"{field.name} is a number and cannot be tested with {shown(op)}", hint, "bad-test")
            return None
        if not self.bound(value, (*path, op)):
            return None
        return Leaf(field.name, op, bound=float(value))

    def bound(self, value: Any, path: Path) -> bool:
        """Whether value is a number that a test or an example may hold; reports why not."""
        if isinstance(value, bool) or not isinstance(value, int | float):
            self.report(path, f"{shown(value)} is not a number", "write digits, without quotes or unit", "not-a-number")
        elif not abs(value) < 1e9:
            self.report(path, f"{value} is out of range", "between -1e9 and 1e9", "not-a-number")
        elif not decimals_fit(value):
            self.report(path, f"{value} has more than four decimals", "round it", "not-a-number")
        else:
            return True
        return False

    def _words(self, field: Field, op: str, value: Any, path: Path) -> Leaf | None:
        if op != "is" and op not in WORD_TESTS:
            hint = closest(op, WORD_TESTS) or f"{field.name}: WORD; or {choices(WORD_TESTS)}"
            self.report(path, f"{field.name} holds words and cannot be tested with {shown(op)}", hint, "bad-test")
            return None
        path = path if op == "is" else (*path, op)
        many = op in ("one-of", "none-of")
        if many and not (isinstance(value, list) and value):
            self.report(path, f"{op} needs a list of words, not {shown(value)}", f"{op}: [WORD, WORD]", "wrong-type")
            return None
        words = value if many else [value]
        good = [self.word(field, word, (*path, i) if many else path) for i, word in enumerate(words)]
        if not all(good):
            return None
        if len(set(words)) < len(words):
            self.report(path, "a word stands twice", "remove one", "idle-test")
        if field.words and set(words) == set(field.words):
            hint = "remove the test; it tells nothing apart"
            self.report(path, f"these are all the words of {field.name}", hint, "idle-test")
        return Leaf(field.name, "none-of" if op in ("is-not", "none-of") else "one-of", words=tuple(words))

    def word(self, field: Field, word: Any, path: Path, unknown: bool = False) -> bool:
        """Whether word is one of the field's; "?" only where unknown is true. Reports why not."""
        if word == UNKNOWN:
            if not unknown:
                hint = "certain and possible take care of unknowns"
                self.report(path, 'a rule cannot test for "?"', hint, "tests-unknown")
            return unknown
        if not isinstance(word, str) or not word:
            hint = "a word, in quotes if YAML alters it"
            self.report(path, f"{field.name} holds words, not {shown(word)}", hint, "wrong-type")
        elif field.words and word not in field.words:
            hint = closest(word, field.words) or choices(field.words)
            self.report(path, f"{field.name} cannot be '{word}'", hint, "unknown-word")
        else:
            return True
        return False

    def interval(self, value: Any, path: Path) -> tuple[float, float] | None:
        ends = value if isinstance(value, list) and len(value) == 2 else [value, value]
        if not self.bound(ends[0], path) or not self.bound(ends[1], path):
            return None
        if ends[0] > ends[1]:
            self.report(path, f"{ends[0]} to {ends[1]} runs backwards", "[low, high]", "not-a-number")
            return None
        return float(ends[0]), float(ends[1])


def shown(value: Any) -> str:
    if value is None:
        return "nothing"
    if isinstance(value, bool):
        return "true" if value else "false"
    text = f"'{value}'" if isinstance(value, str) else str(value)
    return text if len(text) <= 40 else f"{text[:37]}…"
