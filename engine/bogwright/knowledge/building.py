"""From the YAML parser's events to plain data and the place of everything in it."""

from __future__ import annotations

import re
from typing import Any

import yaml

from .documents import Place
from .problems import Problem, Problems, quoted
from .scalars import Plain, Refusal, plain_value

DEEPEST = 40  # collections inside one another
MOST_ALIASES = 50
MOST_ALIASED = 5_000  # values that aliases may stand for in all
TOO_DEEP = (f"more than {DEEPEST} levels inside one another", "flatten it", "too-deep")

# Half of a character: PyYAML's own parser lets it through, libyaml does not, and it cannot be written out again.
_SURROGATE = re.compile("[\ud800-\udfff]")


class Stop(Exception):
    """Nothing further in this file can be read."""


class _Open:
    """A collection that is being filled."""

    __slots__ = ("anchor", "container", "key", "key_place", "length", "start")

    def __init__(self, container: dict[str, Any] | list[Any], anchor: str | None, start: int) -> None:
        self.container = container
        self.anchor = anchor
        self.start = start  # where its places begin in the flat list
        self.key: str | None = None  # of a mapping: the key whose value comes next
        self.key_place: Place = (1, 1)
        self.length = start  # of the flat list before the entry that is being read


class Builder:
    """Turns parser events into data. Works on a stack of its own: deep nesting cannot exhaust Python's."""

    def __init__(self, file: str, problems: Problems) -> None:
        self.file = file
        self.problems = problems
        self.data: Any = None
        self.flat: list[int] = []
        self.documents = 0
        self.stack: list[_Open] = []
        self.anchors: dict[str, tuple[Any, list[int]] | None] = {}
        self.aliases = self.aliased = 0

    def take(self, event: Any) -> None:
        kind = type(event)
        if kind is yaml.ScalarEvent:
            self._scalar(event)
        elif kind is yaml.MappingStartEvent or kind is yaml.SequenceStartEvent:
            self._start(event, {} if kind is yaml.MappingStartEvent else [])
        elif kind is yaml.MappingEndEvent or kind is yaml.SequenceEndEvent:
            self._end()
        elif kind is yaml.AliasEvent:
            self._alias(event)
        elif kind is yaml.DocumentStartEvent:
            self.documents += 1
            if self.documents > 1:
                self._say(
                    event,
                    "a second document starts here",
                    "one document a file: remove the '---' or split the file",
                    "several-documents",
                )
                raise Stop

    def _say(self, event: Any, message: str, hint: str, code: str) -> None:
        mark = event.start_mark
        self.problems.add(Problem(self.file, mark.line + 1, mark.column + 1, message, hint, code))

    def _scalar(self, event: Any) -> None:
        self._check_tag(event)
        value: Any = event.value
        plain = event.style is None or event.style == ""
        top = self.stack[-1] if self.stack else None
        is_key = top is not None and isinstance(top.container, dict) and top.key is None
        if plain and event.tag is None:
            if is_key and value == "<<":
                self._say(event, "the merge key '<<' is not used here", "write the entries out", "merge-key")
                self._open_key(event, value)
                return
            value = plain_value(value)
            if isinstance(value, Refusal):
                value = self._refused(event, value, is_key)
        if is_key:
            if not isinstance(value, str):
                self._say(
                    event, f"the key {quoted(event.value)} is not a text", f'quote it: "{event.value}"', "key-not-text"
                )
            self._open_key(event, event.value)
            return
        if isinstance(value, str) and not value.isascii() and _SURROGATE.search(value):
            self._say(event, "an escaped character is not valid", "write the character itself", "syntax")
        start = len(self.flat)
        self.flat += (event.start_mark.line + 1, event.start_mark.column + 1)
        self._remember(event.anchor, value, start)
        self._put(value)

    def _refused(self, event: Any, refusal: Refusal, is_key: bool) -> Plain:
        if is_key:
            self._say(event, refusal.message, f'quote it: "{event.value}"', "ambiguous-word")
            return str(event.value)
        top = self.stack[-1] if self.stack else None
        if not event.value and top is not None and isinstance(top.container, dict):
            # An empty value has no place of its own worth pointing at.
            self.problems.add(
                Problem(self.file, *top.key_place, f"{quoted(top.key)} has no value", refusal.hint, "no-value")
            )
        else:
            self._say(
                event, refusal.message, refusal.hint, "ambiguous-word" if refusal.meant is not None else "no-value"
            )
        return refusal.meant

    def _open_key(self, event: Any, key: str) -> None:
        top = self.stack[-1]
        if event.anchor:
            self._say(event, "an anchor on a key is not used here", f"remove '&{event.anchor}'", "anchor")
        mark = event.start_mark
        top.key, top.key_place, top.length = key, (mark.line + 1, mark.column + 1), len(self.flat)
        self.flat += top.key_place

    def _start(self, event: Any, container: dict[str, Any] | list[Any]) -> None:
        self._check_tag(event)
        if len(self.stack) >= DEEPEST:
            self._say(event, *TOO_DEEP)
            raise Stop
        top = self.stack[-1] if self.stack else None
        if top is not None and isinstance(top.container, dict) and top.key is None:
            self._say(event, "a list or mapping stands where a key belongs", "a key is a text", "key-not-text")
            raise Stop
        start = len(self.flat)
        self.flat += (event.start_mark.line + 1, event.start_mark.column + 1)
        if event.anchor:
            self.anchors[event.anchor] = None  # not complete yet: an alias to it inside itself is refused
        self.stack.append(_Open(container, event.anchor, start))

    def _end(self) -> None:
        done = self.stack.pop()
        self._remember(done.anchor, done.container, done.start)
        self._put(done.container)

    def _remember(self, anchor: str | None, value: Any, start: int) -> None:
        if anchor:
            self.anchors[anchor] = (value, self.flat[start:])

    def _alias(self, event: Any) -> None:
        top = self.stack[-1] if self.stack else None
        if top is not None and isinstance(top.container, dict) and top.key is None:
            self._say(event, "an alias stands where a key belongs", "write the key out", "alias")
            raise Stop
        known = self.anchors.get(event.anchor)
        if known is None:
            wrong = "stands inside what it names" if event.anchor in self.anchors else "names nothing above it"
            self._say(event, f"the alias '*{event.anchor}' {wrong}", "write the value out", "alias")
            known = (None, [event.start_mark.line + 1, event.start_mark.column + 1])
        value, places = known
        self.aliases += 1
        self.aliased += len(places) // 2
        if self.aliases > MOST_ALIASES or self.aliased > MOST_ALIASED:
            self._say(event, "too many aliases", f"at most {MOST_ALIASES} in a file; write the values out", "alias")
            raise Stop
        self.flat += places
        self._put(value)

    def _put(self, value: Any) -> None:
        if not self.stack:
            self.data = value
            return
        top = self.stack[-1]
        if isinstance(top.container, list):
            top.container.append(value)
            return
        key, top.key = top.key or "", None
        if key in top.container:
            place = top.key_place
            hint = "keep one of the two; the first is used for the other checks"
            self.problems.add(
                Problem(self.file, *place, f"the key {quoted(key)} stands here twice", hint, "duplicate-key")
            )
            del self.flat[top.length :]
        else:
            top.container[key] = value

    def _check_tag(self, event: Any) -> None:
        if event.tag is not None:
            shown = quoted(event.tag.replace("tag:yaml.org,2002:", "!!"))
            self._say(
                event, f"the tag {shown} is not used here", "remove it; quote a text that looks like a number", "tag"
            )
