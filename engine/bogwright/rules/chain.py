"""The same parsed rules on durable-rules 2.0.28, called only in ways that were measured to be safe.

What is peculiar to that library, and why this module looks as it does:

- A fact is matched by walking a tree of tests with a stack of 64 places; what does not fit is refused. Each place on
  the stack leads to a conjunction of its own, so conjunctions are put in groups behind a marker that every fact
  carries, at most 30 behind one marker and 30 markers.
- `1e-05` and `1e16` do not parse, and 1 never equals 1.0: numbers are floats of four decimals within ±1e9, keys are
  strings. Comparisons between two facts other than equality read past the end of an array: there are none.
- An exception in a consequent is stored in the state, not raised; a consequent with two arguments would run later.
  Consequents here take one argument and only append.
- Names of properties and ids of facts are told apart by 32-bit hashes alone (values are not): ids are short numbers
  of our own, and a test holds the names of all declared fields apart.
- Each ruleset costs memory for the life of the process: one a mode, a fresh session id each judgement.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from functools import cache
from typing import Any

from bogwright.rules.derivations import Derivations, Firing, Judgement, Tag
from bogwright.rules.fields import UNKNOWN
from bogwright.rules.meaning import LIMIT, Row, check_rows, end_read, firing, reads, that_fired
from bogwright.rules.model import Leaf, Rule, decimals_fit

GROUP = 30
GROUPS = 30
MAX_TESTS = 12
MAX_CONJUNCTIONS = 16
MAX_CHILDREN = 400
MAX_PROPERTIES = 250

_SYMBOLS = {"below": "$lt", "at-most": "$lte", "at-least": "$gte", "above": "$gt"}
_TAG = "tag"
_CANARY = "canary"


class ChainError(RuntimeError):
    """durable-rules was asked for too much, went wrong inside, or lost a fact."""


@cache
def available() -> bool:
    """Whether durable-rules can be imported (not from Python 3.13 on)."""
    try:
        import durable.engine  # noqa: F401
    except ImportError:
        return False
    return True


class Chain:
    """Rules compiled for one mode. Keep it: its memory is never given back.

    Not for use from several threads. Raises ChainError if the rules exceed what durable-rules stands.
    """

    def __init__(self, rules: Iterable[Rule], possible: bool) -> None:
        self.rules = tuple(rules)
        self.possible = possible
        self._rule = {rule.id: rule for rule in self.rules}
        if len(self._rule) < len(self.rules):
            raise ChainError("two rules have the same id")
        self._reads = reads(self.rules)
        self._tags_read = frozenset(need.tag for rule in self.rules for need in rule.tags)
        self._markers: dict[str, _Markers] = {}
        self._hits: list[tuple[str, Any]] = []
        self._judgements = 0
        definition = self._compile()
        from durable import engine

        self._unread: type[Exception] = engine.MessageNotHandledException
        self._ruleset = engine.Ruleset("bogwright", None, definition)

    def judge(self, rows: Sequence[Row]) -> Derivations:
        """All that fires on rows: mappings with `id`, `kind` and every field of their kind.

        Raises RowError for a bad row, ChainError if something went wrong inside.
        """
        check_rows(rows, self.rules)
        self._judgements += 1
        self._hits.clear()
        session = _Session(self._ruleset, f"j{self._judgements}", self._unread)
        # A session in which no action ever ran crashes when it is deleted.
        session.tell({"kind": _CANARY})
        if [name for name, _ in self._hits] != [_CANARY]:
            raise ChainError("durable-rules ran no action for the canary fact")
        self._hits.clear()
        try:
            fired = self._run(session, rows)
            session.check()
        finally:
            session.close()
        return Derivations(fired)

    def _run(self, session: _Session, rows: Sequence[Row]) -> set[Firing]:
        row_of = {session.tell(self._fact(row)): row for row in rows if row["kind"] in self._reads}
        fired: set[Firing] = set()
        told: set[Tag] = set()
        # The list grows while it is walked: telling a tag adds hits.
        for name, facts in self._hits:
            one = firing(self._rule[name], row_of[facts["row"]["id"]])
            tags = tuple((fact["name"], fact["key"]) for part, fact in sorted(facts.items()) if part != "row")
            if tags != one.premises:
                raise ChainError(f"rule '{name}' fired on row '{one.row}' with the tags {tags}, not {one.premises}")
            fired.add(one)
            if one.concludes and one.concludes not in told and one.concludes[0] in self._tags_read:
                told.add(one.concludes)
                tag, key = one.concludes
                session.tell({"kind": _TAG, "name": tag, "key": key, **self._markers[_TAG].carried})
        return fired

    def _fact(self, row: Row) -> dict[str, Any]:
        fact: dict[str, Any] = {"kind": row["kind"], **self._markers[row["kind"]].carried}
        for name, sort in self._reads[row["kind"]].items():
            if sort == "number":
                fact[_end(name, 0)], fact[_end(name, 1)] = float(row[name][0]), float(row[name][1])
            else:
                fact[_word(name)] = row[name]
        return fact

    def _compile(self) -> dict[str, Any]:
        definition: dict[str, Any] = {_CANARY: {"all": [{"row": {"kind": _CANARY}}], "run": self._recorder(_CANARY)}}
        for rule in self.rules:
            conjunctions = rule.conjunctions
            if len(conjunctions) > MAX_CONJUNCTIONS:
                raise ChainError(f"rule '{rule.id}' has {len(conjunctions)} conjunctions, {MAX_CONJUNCTIONS} at most")
            for index, conjunction in enumerate(conjunctions):
                self._check(rule, conjunction)
                definition[f"{rule.id}~{index}"] = {
                    "all": [self._row_pattern(rule, conjunction), *self._tag_patterns(rule)],
                    "run": self._recorder(rule.id),
                    "dist": 0,
                }
        for kind, read in self._reads.items():
            properties = 2 * len(read) + len(self._markers[kind].carried)
            if properties > MAX_PROPERTIES:
                raise ChainError(
                    f"the rules read too much of {kind}: {properties} properties, {MAX_PROPERTIES} at most"
                )
        return definition

    def _recorder(self, name: str) -> Callable[[Any], None]:
        def record(closure: Any) -> None:
            self._hits.append((name, closure._m))

        return record

    def _check(self, rule: Rule, conjunction: Sequence[Leaf]) -> None:
        if len(conjunction) > MAX_TESTS:
            raise ChainError(f"rule '{rule.id}' has {len(conjunction)} tests in a conjunction, {MAX_TESTS} at most")
        for leaf in conjunction:
            if not (decimals_fit(leaf.bound) and abs(leaf.bound) <= LIMIT):
                raise ChainError(f"rule '{rule.id}': {leaf.bound} is not a number of four decimals within ±1e9")
            if len(leaf.words) >= MAX_CHILDREN:
                raise ChainError(f"rule '{rule.id}' names {len(leaf.words)} words in one test, {MAX_CHILDREN} at most")

    def _row_pattern(self, rule: Rule, conjunction: Sequence[Leaf]) -> dict[str, Any]:
        tests = [test for leaf in conjunction for test in self._tests(leaf)]
        weight = max((len(leaf.words) + 1 for leaf in conjunction), default=1)
        marker = self._markers.setdefault(rule.kind, _Markers(rule.kind)).next(weight)
        return {"row": {"$and": [{"kind": rule.kind}, marker, *tests]}}

    def _tag_patterns(self, rule: Rule) -> list[dict[str, Any]]:
        markers = self._markers.setdefault(_TAG, _Markers(_TAG))
        return [
            {f"t{n}": {"$and": [{"kind": _TAG}, markers.next(1), {"name": need.tag}, {"key": {"row": _word(need.on)}}]}}
            for n, need in enumerate(rule.tags)
        ]

    def _tests(self, leaf: Leaf) -> list[dict[str, Any]]:
        """One test in the library's terms, as tests that hold together."""
        end = end_read(leaf.op, self.possible)
        if end is not None:
            return [{_SYMBOLS[leaf.op]: {_end(leaf.field, end): float(leaf.bound)}}]
        name = _word(leaf.field)
        if leaf.op == "none-of":
            words = leaf.words if self.possible else (*leaf.words, UNKNOWN)
            return [{"$neq": {name: word}} for word in words]
        words = (*leaf.words, UNKNOWN) if self.possible else leaf.words
        return [{name: words[0]}] if len(words) == 1 else [{"$or": [{name: word} for word in words]}]


class _Markers:
    """Deals out the markers behind which the conjunctions of one kind stand in groups."""

    def __init__(self, kind: str) -> None:
        self.kind = kind
        self.carried: dict[str, str] = {}
        self._in_group = self._weight = 0

    def next(self, weight: int) -> dict[str, str]:
        """Marker test for one more conjunction that has at most weight branches at any depth."""
        if not self.carried or self._in_group == GROUP or self._weight + weight > MAX_CHILDREN:
            self._in_group = self._weight = 0
            self.carried[f"G{len(self.carried)}"] = "y"
            if len(self.carried) > GROUPS:
                raise ChainError(f"too many tests of {self.kind}: {GROUP * GROUPS} conjunctions at most")
        self._in_group += 1
        self._weight += weight
        return {f"G{len(self.carried) - 1}": "y"}


class _Session:
    """One judgement's facts inside a ruleset. Counts what it tells and holds the library to it."""

    def __init__(self, ruleset: Any, sid: str, unread: type[Exception]) -> None:
        self._ruleset = ruleset
        self._sid = sid
        self._unread_error = unread
        self._told = self._unread = 0

    def tell(self, fact: dict[str, Any]) -> str:
        """Assert a fact and run what it sets off; returns the fact's id in this session."""
        number = f"f{self._told}"
        self._told += 1
        outcome: list[Any] = []
        try:
            handle = self._ruleset.assert_fact({"sid": self._sid, "id": number, **fact})
            self._ruleset.do_actions(handle, lambda error, _: outcome.append(error))
        except self._unread_error:
            self._unread += 1
            return number
        except Exception as error:
            raise ChainError(f"durable-rules refused a fact: {getattr(error, 'message', error)}") from error
        if outcome != [None]:
            raise ChainError(f"durable-rules did not complete its actions: {outcome or 'no word of them'}")
        return number

    def check(self) -> None:
        """Raise ChainError if an action failed or a fact was lost."""
        state = self._ruleset.get_state(self._sid)
        if "exception" in state:
            raise ChainError(f"an action failed: {re.sub(', traceback .*', '', str(state['exception']), flags=re.S)}")
        held = len(self._ruleset.get_facts(self._sid))
        if held + self._unread != self._told:
            message = f"{self._told} facts were told, {held} are held and {self._unread} are read by nobody"
            raise ChainError(f"durable-rules lost facts: {message}")

    def close(self) -> None:
        """Forget the session."""
        self._ruleset.delete_state(self._sid)


_compiled: dict[tuple[int, ...], tuple[Chain, Chain]] = {}


def judge(rows: Sequence[Row], rules: Sequence[Rule]) -> Judgement:
    """Both modes on durable-rules; only rows that fire possibly are tried for certain.

    The rules are compiled once a process and kept. Raises RowError and ChainError.
    """
    key = tuple(map(id, rules))
    if key not in _compiled:
        _compiled[key] = Chain(rules, True), Chain(rules, False)
    possible, certain = _compiled[key]
    may = possible.judge(rows)
    return Judgement(certain.judge(that_fired(rows, may)), may)


def _end(name: str, end: int) -> str:
    # Capitals keep the names of columns apart from each other: fields are lower-case.
    return f"{'LH'[end]}_{name}"


def _word(name: str) -> str:
    return f"W_{name}"
