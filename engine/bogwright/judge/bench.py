"""Everything a judgement needs, opened once: the knowledge base, axes, regimes, lamps, materials and rules."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from pathlib import Path
from typing import TYPE_CHECKING, Any

from bogwright import data
from bogwright.knowledge.base import KnowledgeBase, KnowledgeError
from bogwright.knowledge.documents import Record
from bogwright.knowledge.problems import Problem
from bogwright.knowledge.profiles import Profile
from bogwright.rules import Fields, Rule, load_fields, parse
from bogwright.sharing.axes import Axes, read_axes
from bogwright.sharing.boxes import regime_of
from bogwright.sharing.groups import Regime
from bogwright.sharing.inference import Inference, climates_of
from bogwright.sharing.needs import Needs, needs_of
from bogwright.sharing.windows import Frame

if TYPE_CHECKING:
    from bogwright.enclosure.tables import Tables


@dataclass
class Bench:
    """The opened knowledge with the tables made from it."""

    base: KnowledgeBase
    _needs: dict[tuple[int, str, str, str], Needs] = field(default_factory=dict, repr=False)

    @classmethod
    def open(cls, kb: Path | None = None) -> Bench:
        """Open the knowledge base. Raises KnowledgeError with every problem of its files."""
        return cls(KnowledgeBase.open(kb))

    def table(self, name: str) -> Mapping[str, Any]:
        """The contents of one of the tables of kb/: axes, regimes, lamps, materials."""
        record = self.base.table(name)
        if record is None:
            raise KnowledgeError(
                [
                    Problem(
                        f"{name}.yaml",
                        1,
                        1,
                        "the table is missing from the knowledge base",
                        "restore it from the repository",
                        "missing-table",
                    )
                ]
            )
        contents: Mapping[str, Any] = record.data
        return contents

    @cached_property
    def axes(self) -> Axes:
        return read_axes(self.table("axes"))

    @cached_property
    def frame(self) -> Frame:
        return Frame.of(self.axes)

    @cached_property
    def lamps(self) -> Mapping[str, Any]:
        lamps: Mapping[str, Any] = self.table("lamps")["lamps"]
        return lamps

    @cached_property
    def known(self) -> Inference:
        """What stands in for figures that profiles leave out. A base without a table of climates derives none."""
        table = self.base.table("climates")
        return Inference(self.lamps, self.base, climates_of(table.data) if table is not None else {})

    @cached_property
    def materials(self) -> Mapping[str, Any]:
        materials: Mapping[str, Any] = self.table("materials")["materials"]
        return materials

    @cached_property
    def tables(self) -> Tables:
        """What a prediction needs beside a plan."""
        from bogwright.enclosure.tables import Tables  # plain names have no need of it

        return Tables(self.table("assumptions")["assumptions"], self.lamps, self.materials)

    @cached_property
    def regimes(self) -> Sequence[Regime]:
        """The years a case can be given, least trouble first."""
        made = [regime_of(key, given, self.frame) for key, given in self.table("regimes")["regimes"].items()]
        return sorted(made, key=lambda r: r.effort)

    @cached_property
    def fields(self) -> Fields:
        return shipped_fields()

    @cached_property
    def rules(self) -> Sequence[Rule]:
        """All rules, in order of their files. Raises KnowledgeError with every fault of their language."""
        rules: list[Rule] = []
        faults: list[Problem] = []
        for record in self.base.rules():
            made, problems = parse(record.data, self.fields, placer(record))
            rules += made
            for one in problems:
                line, column = record.positions.value(one.path)
                faults.append(Problem(record.file, line, column, one.message, one.hint, one.code))
        if faults:
            raise KnowledgeError(faults)
        return rules

    def needs(
        self, profile: Profile, *, id: str, name: str, stage: str = "adult", horizon: str = "indefinitely"
    ) -> Needs:
        """What a plant asks, under the name the grower used."""
        key = (hash(profile), id, stage, horizon)
        if key in self._needs:
            return self._needs[key]
        made = needs_of(profile, self.axes, self.known, id=id, stage=stage, horizon=horizon)
        made.name = name
        self._needs[key] = made  # holds its profile, so that the profile's identity stays taken
        return made


def shipped_fields() -> Fields:
    """The row fields that rules may test."""
    return load_fields(json.loads((data.schemas_folder() / "fields.schema.json").read_text(encoding="utf-8")))


def placer(record: Record) -> Any:
    """``file:line:column`` of a path in a record, for messages about rules."""

    def place(path: tuple[str | int, ...]) -> str:
        line, column = record.positions.value(path)
        return f"{record.file}:{line}:{column}"

    return place
