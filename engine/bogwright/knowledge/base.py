"""The knowledge base: everything in kb/, found by name, resolved when asked for."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cached_property
from pathlib import Path
from typing import Any

from .. import data
from .claims import BandClaim, Layer
from .documents import Record
from .fields import Fields
from .names import Entry, Match, NameProblem, Names
from .outline import without_profiled
from .problems import Problem, count, one_line
from .profiles import Profile
from .snapshot import open_snapshot


class KnowledgeError(Exception):
    """The files of the knowledge base have errors; all of them are in `problems`."""

    def __init__(self, problems: Iterable[Problem]) -> None:
        self.problems = sorted(problems)
        super().__init__(f"the knowledge base cannot be read: {count(self.problems)}\n{one_line(self.problems)}")


class KnowledgeBase:
    """Profiles, sources, rules and tables.

    records : checked source files by their name inside the kb folder. entries : the profiles among them.
    """

    def __init__(self, records: Mapping[str, Record], entries: Iterable[Entry], fields: Fields) -> None:
        self.records = records
        self.fields = fields
        self._names = Names(without_profiled(entries))
        self._profiles: dict[str, Profile] = {}

    @classmethod
    def open(cls, kb: Path | None = None, schemas: Path | None = None, cache: Path | None = None) -> KnowledgeBase:
        """Read the knowledge base, from the snapshot where it is fresh.

        kb, schemas, cache : folders; by default those that `bogwright.data` and the user's cache give.
        Raises KnowledgeError listing every error of every file, DataNotFound if a folder is missing.
        """
        kb = (kb or data.kb_folder()).resolve()
        schemas = schemas or data.schemas_folder()
        snapshot = open_snapshot(kb, schemas, cache)
        base = cls(snapshot, snapshot.entries(), Fields.load(schemas))
        problems = snapshot.problems + base.missing_groups()
        if any(problem.severity == "error" for problem in problems):
            raise KnowledgeError(problems)
        return base

    def missing_groups(self) -> list[Problem]:
        """Profiles that name a group which has no profile."""
        found = []
        known = self.entries
        for entry in known.values():
            if entry.group and entry.group not in known and entry.form is None:
                record = self.records[entry.record]
                place = record.positions.value((*entry.root, "group"))
                message = f"the group '{entry.group.partition('/_')[2]}' has no profile"
                hint = f"write profiles/{entry.group}.yaml, or correct the name"
                found.append(Problem(record.file, *place, message, hint, "unknown-group"))
        return found

    @property
    def entries(self) -> dict[str, Entry]:
        """All profiles by id: genera, groups, species and forms."""
        return self._names.entries

    def taxa(self) -> list[Entry]:
        """Profiled species, hybrids, forms and cultivars, by id."""
        return [entry for entry in self._of_kind("taxon") if not entry.listed]

    def listed(self) -> list[Entry]:
        """Plants of which an outline table knows the name and no profile more, by id."""
        return [entry for entry in self._of_kind("taxon") if entry.listed]

    def groups(self) -> list[Entry]:
        """Horticultural groups, by id."""
        return self._of_kind("group")

    def genera(self) -> list[Entry]:
        """Genera that have a profile, by id."""
        return self._of_kind("genus")

    def members(self, group: str) -> list[Entry]:
        """Taxa of a group or, given the id of a genus profile, of the genus; forms included."""
        if group.endswith("/_genus"):
            return [taxon for taxon in self.taxa() if f"{taxon.genus}/_genus" == group]
        return [taxon for taxon in self.taxa() if taxon.group == group]

    def find(self, name: str) -> Match | NameProblem:
        """The taxon that a grower means by this name, or what stands in the way, with suggestions."""
        return self._names.find(name)

    def differing_forms(self, taxon: str) -> tuple[str, ...]:
        """Ids to judge one by one for a bare species name; empty unless its forms differ in year or temperatures."""
        return self._names.differing_forms(taxon)

    def profile(self, taxon: str) -> Profile:
        """The profile with everything it inherits. Raises KeyError for an id that is not there."""
        if taxon not in self._profiles:
            entry = self.entries[taxon]
            self._profiles[taxon] = Profile(entry, tuple(self._line(entry)), self.fields)
        return self._profiles[taxon]

    def hull(self, group: str, field: str, level: str, end: str) -> tuple[float, float] | None:
        """Least and greatest value of a band's end over the profiled members of a group, or None if none has one.

        What an outline name, of which only the identity is known, is taken to need.
        """
        spans = []
        for member in self.members(group):
            if not member.outline:
                claim = self.profile(member.id).claim(field)
                span = claim.hull(level, end) if isinstance(claim, BandClaim) else None
                spans += [span] if span else []
        return (min(low for low, _ in spans), max(high for _, high in spans)) if spans else None

    @cached_property
    def _sources(self) -> dict[str, dict[str, Any]]:
        names = [name for name in self.records if name.startswith("sources/")]
        return {source["id"]: source for name in names for source in self.records[name].data}

    def sources(self) -> dict[str, dict[str, Any]]:
        """The bibliography: CSL items by id."""
        return self._sources

    def rules(self) -> list[Record]:
        """The rule files, by name."""
        return [self.records[name] for name in self.records if name.startswith("rules/")]

    def table(self, name: str) -> Record | None:
        """The file axes, regimes, materials or lamps, or None if there is none."""
        return self.records.get(f"{name}.yaml")

    def _of_kind(self, kind: str) -> list[Entry]:
        return sorted((entry for entry in self.entries.values() if entry.kind == kind), key=lambda entry: entry.id)

    def _line(self, entry: Entry) -> Iterable[Layer]:
        """The profiles a taxon inherits from, nearest first: form, species, group, genus."""
        record = self.records[entry.record]
        if entry.root:
            data = record.data
            for part in entry.root:
                data = data[part]
            yield Layer(entry.id, record, entry.root, data)
        if not entry.listed:
            species = entry.id.removesuffix(f"/{entry.form}") if entry.form else entry.id
            yield Layer(species, record, (), record.data, inherited=species != entry.id)
        for ancestor in (entry.group, f"{entry.genus}/_genus"):
            above = self.entries.get(ancestor) if ancestor and ancestor != entry.id else None
            if above:
                shared = self.records[above.record]
                yield Layer(above.id, shared, (), shared.data, inherited=True)
