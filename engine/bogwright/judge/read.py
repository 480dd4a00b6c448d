"""A plan file, read with positions: every fault of it at once, or a plan that can be judged."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from bogwright import data as folders
from bogwright.enclosure.fitting import check_fit
from bogwright.enclosure.plan import Path, Plan, check_lux, check_plan, read_plan
from bogwright.judge.ask import AskError, resolve
from bogwright.judge.bench import Bench
from bogwright.knowledge.documents import Document
from bogwright.knowledge.problems import Problem


class PlanError(Exception):
    """A plan that cannot be judged; all its problems, with their places."""

    def __init__(self, problems: Sequence[Problem]) -> None:
        self.problems = sorted(problems)
        super().__init__("\n".join(map(str, self.problems)))


@dataclass(frozen=True, slots=True)
class LoadedPlan:
    """A sound plan with the document it came from."""

    plan: Plan
    data: Mapping[str, Any]
    document: Document

    def say_name(self, n: int, message: str) -> Problem:
        """The problem of the n-th plant's name, at its place in the file."""
        return _name_problem(self.document, n, message)


def load_plan(bench: Bench, path: str) -> LoadedPlan:
    """Read, validate and check a plan file. Raises PlanError with everything that is wrong."""
    # yaml and jsonschema cost start-up time that plain names need not pay
    from bogwright.knowledge.reading import read
    from bogwright.knowledge.schema_errors import choice
    from bogwright.knowledge.validating import Schemas

    document = read(path)
    problems = list(document.problems)
    if not problems:
        if not isinstance(document.data, dict) or document.data.get("plan") != "enclosure":
            kind = (
                document.data.get("plan") or document.data.get("profile") if isinstance(document.data, dict) else None
            )
            what = f"this file is no enclosure plan{f' but a {kind!r} file' if kind else ''}"
            raise PlanError([Problem(document.file, 1, 1, what, "a plan starts with 'plan: enclosure'", "not-a-plan")])
        problems += Schemas(folders.schemas_folder()).check(document, "plan")
    if problems:
        raise PlanError(problems)

    def say(path: Path, message: str, hint: str) -> None:
        line, column = document.positions.value(path) if _there(document.data, path) else (1, 1)
        problems.append(Problem(document.file, line, column, message, hint, "plan"))

    check_plan(document.data, say, sorted(bench.materials), sorted(bench.lamps), choice)
    check_fit(document.data, say)
    check_lux(document.data, say, bench.lamps)
    if problems:
        raise PlanError(problems + _unknown_names(bench, document))
    return LoadedPlan(read_plan(document.data), document.data, document)


def _unknown_names(bench: Bench, document: Document) -> list[Problem]:
    """Plants nobody knows, told with the other faults of a plan so that all are mended at once."""
    found = []
    for n, plant in enumerate(document.data["plants"]):
        try:
            resolve(bench, plant["taxon"])
        except AskError as error:
            found.append(_name_problem(document, n, error.problems[0]))
    return found


def _name_problem(document: Document, n: int, message: str) -> Problem:
    line, column = document.positions.value(("plants", n, "taxon"))
    text, _, hint = message.partition(" — ")
    hint = hint or "look the name up with 'bogwright plant NAME'"
    return Problem(document.file, line, column, text, hint, "unknown-plant")


def _there(data: Any, path: Path) -> bool:
    for step in path:
        try:
            data = data[step]
        except (KeyError, IndexError, TypeError):
            return False
    return True
