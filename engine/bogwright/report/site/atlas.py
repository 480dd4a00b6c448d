"""The opened knowledge as the site sees it: who has a page, at which address, and what cites what."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, NamedTuple

from bogwright.judge.bench import Bench, placer
from bogwright.knowledge import Entry, KnowledgeBase, Problem, Profile
from bogwright.knowledge.documents import Record
from bogwright.report.site.charts.pairs import Pairs
from bogwright.report.site.charts.scales import Scales
from bogwright.report.site.markup import slug
from bogwright.report.site.needs import Sorted
from bogwright.report.site.share_data import ShareData
from bogwright.report.site.spoken import Spoken, spoken
from bogwright.rules import Rule, parse

Path = tuple[str | int, ...]
_LEVELS = frozenset({"prefers", "tolerates", "survives", "outside", "disputed"})
# tables of the knowledge that have a page with an anchor for each row
TABLE_PAGES = {"formulas.yaml": "numbers/", "assumptions.yaml": "numbers/"}
_CARE_LEVELS = frozenset({"prefers", "tolerates", "survives"})


@dataclass(frozen=True)
class Page:
    """A page to be built. url : with a slash at its end, from the root of the site; the home page is not one of them.

    section : the address of the index it belongs to. crumbs : (text, url, anchor) of the pages above it.
    toc : (text, anchor) of its parts.
    """

    url: str
    title: str
    body: str = field(repr=False)
    section: str
    description: str = ""
    crumbs: tuple[tuple[str, str, str], ...] = ()
    toc: tuple[tuple[str, str], ...] = ()

    @property
    def file(self) -> str:
        return f"{self.url}index.md"


class Citation(NamedTuple):
    """A claim that cites a source. entry, rule : id of the profile or rule it stands in; what : the claim in words."""

    entry: str | None
    rule: str | None
    file: str
    what: str
    anchor: str
    locator: str
    as_stated: str


class Counts(NamedTuple):
    """Stated claims of all profiles; care : bands that say what plants prefer, tolerate or survive, by basis."""

    claims: int
    care: Mapping[str, int]


class Atlas:
    """Everything pages are made from. faults : rules that could not be read, which have no page.

    repository : address of the folder of the sources on the web, '' where none is configured.
    """

    def __init__(self, bench: Bench, repository: str = "") -> None:
        self.bench = bench
        self.repository = repository
        self.base: KnowledgeBase = bench.base
        self.faults: list[Problem] = []
        self._pairs: dict[str, Pairs] = {}

    @classmethod
    def open(cls, repository: str = "") -> Atlas:
        """Raises KnowledgeError with every problem of the knowledge base."""
        return cls(Bench.open(), repository)

    @cached_property
    def sorted(self) -> Sorted:
        """The profiled plants by the classes of their needs."""
        return Sorted(self.bench)

    @cached_property
    def share(self) -> dict[str, Any]:
        """The data of the share check, made once."""
        return ShareData(self.bench, self.url).whole()

    @cached_property
    def spoken(self) -> Spoken:
        """Which rules speak of which plants."""
        return spoken(self.share)

    def url(self, entry: Entry) -> str:
        """Address of the page of a taxon, group or genus."""
        if entry.kind == "genus":
            return f"plants/{entry.genus}/"
        if entry.kind == "group":
            return f"groups/{entry.id.replace('/_', '/')}/"
        if entry.listed:
            return f"plants/{entry.genus}/"
        return f"plants/{entry.id}/"

    @cached_property
    def genera(self) -> list[str]:
        """Folder names of all genera, with a profile of their own or not."""
        return sorted({entry.genus for entry in self.base.entries.values()})

    def genus(self, genus: str) -> Entry | None:
        """The profile of a genus, or None if it has none."""
        return self.base.entries.get(f"{genus}/_genus")

    def genus_name(self, genus: str) -> str:
        entry = self.genus(genus)
        return entry.name if entry else genus.capitalize()

    def forms(self, species: Entry) -> list[Entry]:
        """Subspecies, forms and cultivars inside the file of a species."""
        return [entry for entry in self.base.taxa() if entry.record == species.record and entry.form is not None]

    def species_of(self, form: Entry) -> Entry:
        return self.base.entries[form.id.removesuffix(f"/{form.form}")]

    @cached_property
    def scales(self) -> Scales:
        """Scales of the pictures, made once for all pages."""
        return Scales(self.base, self.bench.axes)

    def pairs(self, genus: str) -> Pairs:
        """Which plants of a genus can share a case, judged once for all pages."""
        if genus not in self._pairs:
            plants = [taxon for taxon in self.base.taxa() if taxon.genus == genus]
            self._pairs[genus] = Pairs(self.bench, plants)
        return self._pairs[genus]

    @cached_property
    def rules(self) -> dict[str, tuple[Rule, Record]]:
        """Rules by id, in order of their files. What is wrong with the others is in `faults`."""
        found = {}
        for record in self.base.rules():
            made, problems = parse(record.data, self.bench.fields, placer(record))
            found.update({rule.id: (rule, record) for rule in made})
            for one in problems:
                self.faults.append(
                    Problem(record.file, *record.positions.value(one.path), one.message, one.hint, one.code)
                )
        return found

    @cached_property
    def _field_order(self) -> dict[str, int]:
        return {one.path: place for place, one in enumerate(self.base.fields.below(""))}

    def in_order(self, profile: Profile, paths: Iterable[str]) -> list[str]:
        """Paths of fields in the order of the schema, those of a map by key."""

        def place(path: str) -> tuple[int, str]:
            claim = profile.claim(path)
            return (self._field_order.get(claim.field.path, 0) if claim else 0, path)

        return sorted(paths, key=place)

    @cached_property
    def citations(self) -> dict[str, list[Citation]]:
        """Who cites a source, by its id: each claim once, where it is stated."""
        found: dict[str, list[Citation]] = {source: [] for source in self.base.sources()}
        for record in self.base.records.values():
            if record.name.startswith(("profiles/", "sources/", "rules/")):
                continue
            if record.name.startswith("outline/"):
                self._cite_names(found, record)
                continue
            for path, node in _claims(record.data, ()):
                what = " ".join(str(part).replace("-", " ") for part in path if isinstance(part, str))
                anchor = ""
                if record.name in TABLE_PAGES:
                    what, anchor = node["title"], row_of_table(str(path[0]), str(path[1]))
                _cite(found, node, None, record, what, anchor)
        for entry, record, data in self._profiles():
            for path, node in _claims(data, ()):
                what, anchor = self._named(path)
                _cite(found, node, entry.id, record, what, anchor)
        for rule, record in self.rules.values():
            for ref in rule.sources:
                found.setdefault(ref["id"], []).append(
                    Citation(None, rule.id, f"kb/{record.name}", rule.title, "", ref["locator"], ref["as_stated"])
                )
        return found

    def _cite_names(self, found: dict[str, list[Citation]], record: Record) -> None:
        """An outline table cites a list of names once, with how many it takes from it; heights one by one."""
        names: dict[str, int] = {}
        for row in record.data["taxa"].values():
            for key, claim in row["identity"].items():
                if key == "elevation":
                    _cite(found, claim, None, record, f"height of {row['name']}", "")
            for source in row["sources"]:
                names[source] = names.get(source, 0) + 1
        for source, number in names.items():
            what = f"{number} names of {record.data['outline'].capitalize()}"
            found.setdefault(source, []).append(
                Citation(None, None, f"kb/{record.name}", what, "", "list of names", "")
            )

    @cached_property
    def counts(self) -> Counts:
        """What is stated in the profiles, each claim counted where it stands, so nothing inherited or derived."""
        claims = 0
        care: dict[str, int] = {"published": 0, "common-practice": 0, "from-memory": 0}
        for _, _, data in self._profiles():
            for path, node in _claims(data, ()):
                if "basis" in node:
                    claims += 1
                    if path[-1] in _CARE_LEVELS and path[0] not in ("identity", "law"):
                        care[node["basis"]] += 1
        return Counts(claims, care)

    def _profiles(self) -> Iterator[tuple[Entry, Record, dict[str, Any]]]:
        """Every profile with its own section of its file, forms apart from their species."""
        for entry in self.base.entries.values():
            if entry.listed:
                continue
            record = self.base.records[entry.record]
            if entry.form is not None:
                yield entry, record, record.data["forms"][entry.form]
            else:
                yield entry, record, {key: part for key, part in record.data.items() if key != "forms"}

    def _named(self, path: Path) -> tuple[str, str]:
        """A claim in words, and the anchor of its row on the page."""
        keys = [part for part in path if isinstance(part, str)]
        stage = keys[:2] if keys[0] == "stages" else []
        rest = keys[len(stage) :]
        for end in range(1, len(rest) + 1):
            known = self.base.fields.get(".".join(rest[:end]))
            if known:
                title, shown, level = known.title, rest[:end], [part for part in rest[end:] if part in _LEVELS]
                break
        else:
            title, shown, level = rest[-1].replace("-", " "), rest, []
        if "rests" in shown:
            title += f", {shown[4].replace('-', ' ')} rest of the way “{shown[2].replace('-', ' ')}”"
        if len(stage) == 2:
            title += f", {stage[1]}"
        words = f"{title} ({', '.join(level)})" if level else title
        return words, slug(".".join([*stage, *shown]))


def row_of_table(table: str, key: str) -> str:
    """Where a row of a table of the knowledge stands on the page of that table."""
    return slug(f"{table}.{key}")


def _claims(node: Any, path: Path) -> Iterator[tuple[Path, dict[str, Any]]]:
    """Every map that carries a basis or sources, with its path."""
    if isinstance(node, dict):
        if "basis" in node or "sources" in node:
            yield path, node
        for key, part in node.items():
            if key != "sources":
                yield from _claims(part, (*path, str(key)))
    elif isinstance(node, list):
        for index, part in enumerate(node):
            yield from _claims(part, (*path, index))


def _cite(
    found: dict[str, list[Citation]], node: dict[str, Any], entry: str | None, record: Record, what: str, anchor: str
) -> None:
    for ref in node.get("sources", ()):
        source, locator, stated = (
            (ref["id"], ref["locator"], ref.get("as_stated", "")) if isinstance(ref, dict) else (ref, "", "")
        )
        found.setdefault(source, []).append(Citation(entry, None, f"kb/{record.name}", what, anchor, locator, stated))
