"""``bogwright lint``: the files of the knowledge base, and the rules' own language, examples and chains."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from pathlib import Path

from bogwright import data
from bogwright.judge.bench import Bench, placer, shipped_fields
from bogwright.judge.native import check_native
from bogwright.judge.share import arenas
from bogwright.knowledge.base import KnowledgeError
from bogwright.knowledge.lint import lint
from bogwright.knowledge.problems import Problem, Problems
from bogwright.knowledge.snapshot import open_snapshot
from bogwright.rules import Problem as RuleProblem
from bogwright.rules import Rule, check, parse, run_examples
from bogwright.sharing.boxes import LADDER


def check_knowledge(paths: Sequence[str]) -> list[Problem]:
    """Every problem of the files named, or of the whole knowledge base. Raises DataNotFound."""
    wanted = [Path(p) for p in paths]
    found = Problems()
    found.extend(lint(wanted))
    if not wanted or any("rules" in p.resolve().parts for p in wanted):
        found.extend(_rule_problems(wanted))
    if not wanted:
        found.extend(_judged())
    return list(found)


def _judged() -> Iterator[Problem]:
    """What only a judgement finds; nothing where the base cannot be opened, which is told already."""
    try:
        bench = Bench.open()
    except KnowledgeError:
        return
    yield from check_native(bench)
    yield from _alone(bench)


def _alone(bench: Bench) -> Iterator[Problem]:
    """Plants that no enclosure could serve even alone, since their own figures exclude one another."""
    for entry in bench.base.taxa():
        needs = bench.needs(bench.base.profile(entry.id), id=entry.id, name=entry.name)
        if not arenas(bench, [needs], LADDER["slow"]).serves([entry.id]):
            record = bench.base.records[entry.record]
            line, column = record.positions.key((*entry.root, "name"))
            message = f"no enclosure could serve {entry.name} even alone: its figures exclude one another"
            hint = "see 'bogwright plant' for all of them, inherited ones as well; correct what clashes"
            yield Problem(record.file, line, column, message, hint, "cannot-live")


def _rule_problems(wanted: Sequence[Path]) -> list[Problem]:
    """Faults of the rule language; of ids, tags, duals and aggregates over all files; and examples that do not hold."""
    fields = shipped_fields()
    rules: list[Rule] = []
    faults: list[RuleProblem] = []
    snapshot = open_snapshot(data.kb_folder().resolve(), data.schemas_folder(), None)
    for name in sorted(n for n in snapshot if n.startswith("rules/")):
        made, problems = parse(snapshot[name].data, fields, placer(snapshot[name]))
        rules += made
        faults += problems
    faults += [*check(rules), *run_examples(rules, fields)]
    inside = [p.resolve() for p in wanted]
    return [
        one
        for one in map(_placed, faults)
        if not inside or any(Path(one.file).resolve() == p or p in Path(one.file).resolve().parents for p in inside)
    ]


def _placed(fault: RuleProblem) -> Problem:
    file, _, rest = fault.place.rpartition(":")
    file, _, line = file.rpartition(":")
    severity = "warning" if fault.level == "warning" else "error"
    return Problem(file, int(line or 0), int(rest or 0), fault.message, fault.hint, fault.code, severity)  # type: ignore[arg-type]
