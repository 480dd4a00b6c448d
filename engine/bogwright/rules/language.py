"""The rule language: parse and check a loaded rule file.

`parse` turns plain data into `Rule` objects and reports every problem at once; a rule with a problem is left out, the
others stand. Checks across rules and files are in `lint`, the meaning of a test in `meaning`.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from math import prod
from typing import Any

from bogwright.rules.fields import Fields, Kind, Path, Problem, closest, load_fields
from bogwright.rules.model import SEVERITIES, Example, Finding, Leaf, Place, Rule, TagOn
from bogwright.rules.reading import Reader, TestsReader, shown
from bogwright.rules.says import slots

__all__ = ["Fields", "Kind", "Problem", "Rule", "load_fields", "parse"]

MAX_RULES = 30
MAX_TESTS = 12
MAX_CONJUNCTIONS = 16
MAX_TAGS = 2

CAPS = ("conditional", "unproven")
IF_UNKNOWN = ("ask", "withhold")
BASES = ("published", "common-practice", "from-memory")

RULE_KEYS = (
    "id", "title", "when", "tags", "finding", "conclude", "if-unknown", "disputed", "dual-of",
    "why", "basis", "sources", "examples",
)  # fmt: skip
REQUIRED = ("id", "title", "when", "why", "basis", "examples")
FINDING_KEYS = ("severity", "axis", "says", "do", "cap")
SOURCE_KEYS = ("id", "locator", "as_stated")
EXAMPLE_KEYS = ("name", "tags")

_AXIS = re.compile(r"[a-z][a-z0-9_]*")


def parse(data: Any, fields: Fields, place: Place | None = None) -> tuple[list[Rule], list[Problem]]:
    """Rules of one loaded file, and all its problems.

    data: {for: KIND, rules: [rule, …]} as read from YAML; place: path → "file:line:column" for the messages.
    """
    problems: list[Problem] = []
    reader = Reader(problems, place or (lambda path: ""))
    if not reader.is_map(data, (), "a rule file", "write for: KIND.TOPIC and rules: [...]"):
        return [], problems
    reader.keys(data, (), ("for", "rules"), ("for", "rules"), "the file")
    kind = fields.kinds.get(str(data.get("for")))
    if "for" in data and kind is None:
        hint = closest(data["for"], fields.kinds) or f"known: {', '.join(fields.kinds)}"
        reader.report(("for",), f"unknown row kind '{data['for']}'", hint, "unknown-kind")
    entries = data.get("rules", [])
    if "rules" in data and not (isinstance(entries, list) and entries):
        reader.report(("rules",), "rules should be a list of at least one rule", "- id: …", "wrong-type")
        return [], problems
    if len(entries) > MAX_RULES:
        message = f"{len(entries)} rules in one file, {MAX_RULES} at most"
        reader.report(("rules", MAX_RULES), message, "split the file by topic", "too-many-rules")
    if kind is None:
        return [], problems
    rules = [_RuleReader(problems, reader.place, kind).rule(entry, ("rules", i)) for i, entry in enumerate(entries)]
    return [rule for rule in rules if rule], problems


class _RuleReader(TestsReader):
    """Reads one rule of a row kind."""

    def rule(self, data: Any, path: Path) -> Rule | None:
        """The rule, or None if it has a problem."""
        before = len(self.problems)
        if not self.is_map(data, path, "a rule", "- id: …"):
            return None
        name = f"rule '{data['id']}'" if isinstance(data.get("id"), str) else "the rule"
        self.keys(data, path, RULE_KEYS, REQUIRED, name)
        self._check_outcome(data, path, name)
        rule = Rule(
            id=self.slug(data["id"], (*path, "id"), "id") if "id" in data else "",
            title=self.text(data["title"], (*path, "title"), "title") if "title" in data else "",
            kind=self.kind.name,
            when=self.when(data["when"], (*path, "when")) if "when" in data else (),
            tags=self._tags(data["tags"], (*path, "tags")) if "tags" in data else (),
            finding=self._finding(data["finding"], (*path, "finding")) if "finding" in data else None,
            conclude=self._tag(data["conclude"], (*path, "conclude")) if "conclude" in data else None,
            if_unknown=self.word_of(data.get("if-unknown", "ask"), (*path, "if-unknown"), IF_UNKNOWN, "if-unknown"),
            disputed=data.get("disputed") is True,
            dual_of=self.slug(data["dual-of"], (*path, "dual-of"), "dual-of") if "dual-of" in data else "",
            why=self.text(data["why"], (*path, "why"), "why") if "why" in data else "",
            basis=self.word_of(data["basis"], (*path, "basis"), BASES, "basis") if "basis" in data else "",
            sources=self._sources(data, path),
            fires=self._examples(data.get("examples"), (*path, "examples"), "fires"),
            near_misses=self._examples(data.get("examples"), (*path, "examples"), "near-miss"),
            path=path,
            place=self.place,
        )
        self._check_together(rule)
        return rule if len(self.problems) == before else None

    def _check_outcome(self, data: Mapping[str, Any], path: Path, name: str) -> None:
        if "finding" in data and "conclude" in data:
            hint = "write two rules: one that concludes, one that reads the tag"
            self.report((*path, "conclude"), f"{name} has a finding and concludes a tag", hint, "two-outcomes")
        if "finding" not in data and "conclude" not in data:
            self.report(path, f"{name} has no outcome", "add finding: or conclude:", "missing-key")
        if "if-unknown" in data and "finding" not in data:
            message = f"{name} has if-unknown but no finding"
            self.report((*path, "if-unknown"), message, "remove it; it belongs to a finding", "idle-if-unknown")
        if data.get("disputed", True) is not True:
            self.report((*path, "disputed"), "disputed can only be true", "remove the line", "wrong-type")

    def _check_together(self, rule: Rule) -> None:
        withheld = (*rule.path, "if-unknown")
        if rule.if_unknown == "withhold" and rule.finding and rule.finding.worst != "blocker":
            message = "withhold is for blockers only, and this rule never blocks"
            self.report(withheld, message, "remove it, or make the severity a blocker", "idle-if-unknown")
        if rule.if_unknown == "withhold" and rule.disputed:
            message = "a disputed rule cannot withhold the verdict: it may decide nothing alone"
            self.report(withheld, message, "remove it, or settle the dispute", "disputed-decides")
        # Counted, not multiplied out: a broken file may have millions of them.
        sizes = [[1] if isinstance(one, Leaf) else list(map(len, one.alternatives)) for one in rule.when]
        count, longest = prod(map(len, sizes)), sum(map(max, sizes))
        if count > MAX_CONJUNCTIONS:
            message = f"the alternatives multiply to {count}, {MAX_CONJUNCTIONS} at most"
            self.report((*rule.path, "when"), message, "split the rule", "too-many-alternatives")
        if longest > MAX_TESTS:
            message = f"{longest} tests must hold together, {MAX_TESTS} at most"
            self.report((*rule.path, "when"), message, "conclude a tag from some of them", "too-many-tests")
        needed = [need.tag for need in rule.tags]
        for example in (*rule.fires, *rule.near_misses):
            for tag in example.tags or ():
                if tag not in needed:
                    hint = closest(tag, needed) or f"reads: {', '.join(needed) or 'none'}"
                    self.report((*example.path, "tags"), f"the rule reads no tag '{tag}'", hint, "unknown-tag")

    def _tags(self, data: Any, path: Path) -> tuple[TagOn, ...]:
        if not (isinstance(data, list) and data):
            self.report(path, f"tags should be a list, not {shown(data)}", "- {tag: NAME, on: KEYFIELD}", "wrong-type")
            return ()
        if len(data) > MAX_TAGS:
            hint = "conclude a tag from two of them"
            self.report(path, f"{len(data)} tags, {MAX_TAGS} at most", hint, "too-many-tags")
        read = [self._tag(item, (*path, index)) for index, item in enumerate(data)]
        return tuple(one for one in read if one)

    def _tag(self, data: Any, path: Path) -> TagOn | None:
        if not self.is_map(data, path, "a tag", "{tag: NAME, on: KEYFIELD}"):
            return None
        self.keys(data, path, ("tag", "on"), ("tag", "on"), "the tag")
        name = self.slug(data["tag"], (*path, "tag"), "a tag") if "tag" in data else ""
        field = self.field(data["on"], (*path, "on")) if "on" in data else None
        if field and field.sort != "key":
            hint = f"keys of {self.kind.name}: {', '.join(self.kind.keys)}"
            self.report((*path, "on"), f"{field.name} is not a key", hint, "not-a-key")
            return None
        return TagOn(name, field.name) if field else None

    def _finding(self, data: Any, path: Path) -> Finding | None:
        before = len(self.problems)
        if not self.is_map(data, path, "a finding", "severity:, says:"):
            return None
        self.keys(data, path, FINDING_KEYS, ("severity", "says"), "the finding")
        severity, by, words = self._severity(data.get("severity", "note"), (*path, "severity"))
        finding = Finding(
            severity=severity,
            says=self._template(data, "says", path),
            axis=self.slug(data["axis"], (*path, "axis"), "axis", _AXIS) if "axis" in data else "",
            do=self._template(data, "do", path),
            cap=self.word_of(data["cap"], (*path, "cap"), CAPS, "cap") if "cap" in data else "",
            by=by,
            words=words,
        )
        return finding if len(self.problems) == before else None

    def _severity(self, data: Any, path: Path) -> tuple[str, str, tuple[tuple[str, str], ...]]:
        if not isinstance(data, dict):
            return self.word_of(data, path, SEVERITIES, "severity"), "", ()
        self.keys(data, path, ("by", "words"), ("by", "words"), "the severity")
        field = self.field(data["by"], (*path, "by")) if "by" in data else None
        words: Any = data.get("words")
        if field is None or "words" not in data or not self.is_map(words, (*path, "words"), "words", "WORD: severity"):
            return "", "", ()
        if field.sort != "word":
            message = f"{field.name} has no closed list of words"
            self.report((*path, "by"), message, "choose a word field", "bad-severity")
            return "", "", ()
        for word, grave in words.items():
            self.word(field, word, (*path, "words", word))
            self.word_of(grave, (*path, "words", word), SEVERITIES, "severity")
        missing = [word for word in field.words if word not in words]
        if missing:
            hint = "say what each word means"
            self.report((*path, "words"), f"no severity for {', '.join(missing)}", hint, "bad-severity")
        return "", field.name, tuple((str(word), str(grave)) for word, grave in words.items())

    def _template(self, data: Mapping[str, Any], key: str, path: Path) -> str:
        path = (*path, key)
        template = self.text(data[key], path, key) if key in data else ""
        try:
            pairs = slots(template)
        except ValueError as error:
            self.report(path, f"{error} in {key}", "write {field} or {field:unit}", "bad-template")
            return template
        for name, unit in pairs:
            field = self.field(name, path)
            if field and unit and unit != field.unit:
                hint = f"write {{{name}:{field.unit}}}" if field.unit else f"write {{{name}}}"
                self.report(path, f"{name} is not in {unit}", hint, "wrong-unit")
        return template

    def _sources(self, data: Mapping[str, Any], path: Path) -> tuple[Mapping[str, str], ...]:
        published, sources = data.get("basis") == "published", data.get("sources")
        if published and "sources" not in data:
            hint = "add sources: [{id, locator, as_stated}], or another basis"
            self.report((*path, "basis"), "a published rule names at least one source that was read", hint, "no-source")
        if "sources" not in data:
            return ()
        path = (*path, "sources")
        if "basis" in data and not published:
            hint = "set basis: published, or remove them"
            self.report(path, "only a published rule carries sources", hint, "idle-source")
        if not (isinstance(sources, list) and sources):
            hint = "- {id, locator, as_stated}"
            self.report(path, f"sources should be a list, not {shown(sources)}", hint, "wrong-type")
            return ()
        for index, source in enumerate(sources):
            here = (*path, index)
            if self.is_map(source, here, "a source", "{id, locator, as_stated}"):
                self.keys(source, here, SOURCE_KEYS, SOURCE_KEYS, "the source")
                if "id" in source:
                    self.slug(source["id"], (*here, "id"), "a source's id")
                for key in ("locator", "as_stated"):
                    if key in source and not (isinstance(source[key], str) and len(source[key]) > 1):
                        hint = "the source's own words, in quotes"
                        self.report(
                            (*here, key), f"{key} should be a text, not {shown(source[key])}", hint, "wrong-type"
                        )
        return tuple(source for source in sources if isinstance(source, dict))

    def _examples(self, data: Any, path: Path, key: str) -> tuple[Example, ...]:
        if data is None:
            return ()
        if key == "fires" and self.is_map(data, path, "examples", "fires: [...], near-miss: [...]"):
            self.keys(data, path, ("fires", "near-miss"), ("fires", "near-miss"), "examples")
        items = data.get(key) if isinstance(data, dict) else None
        if not (isinstance(items, list) and items):
            if isinstance(data, dict) and key in data:
                self.report((*path, key), f"{key} should list at least one example", "- {FIELD: value}", "wrong-type")
            return ()
        return tuple(self._example(item, (*path, key, index)) for index, item in enumerate(items))

    def _example(self, data: Any, path: Path) -> Example:
        values: dict[str, Any] = {}
        if not self.is_map(data, path, "an example", "{FIELD: value}"):
            return Example("", values, None, path)
        for key, value in data.items():
            field = self.field(key, (*path, key)) if key not in EXAMPLE_KEYS else None
            if field and field.sort == "number":
                values[field.name] = self.interval(value, (*path, key))
            elif field and self.word(field, value, (*path, key), unknown=field.sort != "key"):
                values[field.name] = value
        name = self.text(data["name"], (*path, "name"), "name") if "name" in data else str(path[-1])
        tags = data.get("tags")
        if "tags" in data and not (isinstance(tags, list) and all(isinstance(tag, str) for tag in tags)):
            self.report((*path, "tags"), "tags of an example is a list of names", "tags: [NAME]", "wrong-type")
            tags = None
        return Example(name, values, tuple(tags) if tags is not None else None, path)
