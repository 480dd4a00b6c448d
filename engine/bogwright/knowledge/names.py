"""Plant names: which profiles there are, and finding one by any name a grower may write."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from functools import cached_property
from pathlib import PurePosixPath
from typing import Any, Literal, NamedTuple

from .problems import quoted

_RANKS = frozenset(
    {
        "subsp",
        "ssp",
        "var",
        "f",
        "fo",
        "forma",
        "cv",
        "x",
        "×",
        "subspecies",
        "variety",
        "form",
        "nothosubsp",
        "nothovar",
    }
)
_OUTLINE_KEYS = frozenset({"profile", "name", "rank", "group", "identity", "notes", "forms"})
_OWN_FORM_KEYS = frozenset({"name", "rank", "identity", "notes"})
_TEMPERATURES = ("temperature_day", "temperature_night")
_MOST_LISTED = 12


class Name(NamedTuple):
    """A name of a taxon as written, and as compared."""

    kind: Literal["accepted", "synonym", "common"]
    shown: str
    key: str


@dataclass(frozen=True, slots=True)
class Entry:
    """One profile of the knowledge base.

    id : its path without ``profiles/`` and ``.yaml``; a form adds its key (``sarracenia/purpurea/venosa``).
    group : id of its group's profile, or None. record : file inside the kb folder. form : key inside `forms`, or None.
    outline : only its identity is known. differs : a form whose year or temperatures are not its species'.
    """

    id: str
    kind: Literal["genus", "group", "taxon"]
    name: str
    rank: str | None
    genus: str
    group: str | None
    record: str
    form: str | None
    outline: bool
    differs: bool
    names: tuple[Name, ...]

    @property
    def listed(self) -> bool:
        """It stands in an outline table, not in a profile of its own."""
        return self.record.startswith("outline/")

    @property
    def root(self) -> tuple[str, ...]:
        """Where in its file it starts."""
        if self.listed:
            return ("taxa", self.id.partition("/")[2])
        return ("forms", self.form) if self.form else ()


@dataclass(frozen=True)
class Match:
    """A taxon that was found. forms : ids to judge, more than one where the forms of a bare species name differ."""

    id: str
    forms: tuple[str, ...]


@dataclass(frozen=True)
class NameProblem:
    """A name that gives no single taxon.

    kind : unknown, ambiguous (candidates fit equally), genus or group (candidates are its known species).
    candidates : ids, best first. message, hint : for the reader.
    """

    name: str
    kind: Literal["unknown", "ambiguous", "genus", "group"]
    message: str
    hint: str
    candidates: tuple[str, ...] = ()

    def __str__(self) -> str:
        return f"{self.message} — {self.hint}"


def normal(name: str) -> str:
    """A name as compared: small letters without accents, quotes, rank words and hybrid signs."""
    plain = unicodedata.normalize("NFKD", name).casefold()
    words = re.findall(r"[^\W_]+", "".join(c for c in plain if not unicodedata.combining(c) and c not in "'’‘`\""))
    kept = [word.removeprefix("×") for word in words[1:] if word not in _RANKS]
    return " ".join([*words[:1], *kept])


def entries(record: str, data: dict[str, Any]) -> list[Entry]:
    """The profiles in one file: a genus, a group, or a species followed by its forms."""
    path = PurePosixPath(record).with_suffix("")
    own = "/".join(path.parts[1:])
    genus = path.parts[1] if len(path.parts) > 2 else path.name
    group = f"{genus}/_{data['group']}" if "group" in data else None
    outline = not data.keys() - _OUTLINE_KEYS
    name, rank = data["name"], data.get("rank")
    names = tuple(_names(name, data))
    found = [Entry(own, data["profile"], name, rank, genus, group, record, None, outline, False, names)]
    for key, form in data.get("forms", {}).items():
        bare = outline and not form.keys() - _OWN_FORM_KEYS
        by_key = Name("synonym", form["name"], normal(f"{name} {key}"))
        names = (*_names(form["name"], form), by_key)
        entry = Entry(
            f"{own}/{key}", "taxon", form["name"], form["rank"], genus, group, record, key, bare, _differs(form), names
        )
        found.append(entry)
    return found


def _differs(form: dict[str, Any]) -> bool:
    return "year" in form or any(key in form.get("air", {}) for key in _TEMPERATURES)


def _names(name: str, data: dict[str, Any]) -> Iterator[Name]:
    yield Name("accepted", name, normal(name))
    cultivar = re.search(r"['‘](.+)['’]\s*$", name)
    if cultivar:
        yield Name("accepted", name, normal(f"{name.split()[0]} {cultivar[1]}"))
        yield Name("common", cultivar[1], normal(cultivar[1]))
    identity = data.get("identity", {})
    for field, kind in (("synonyms", "synonym"), ("common_names", "common")):
        value = identity.get(field, {}).get("value", ())
        for shown in [value] if isinstance(value, str) else value:
            yield Name("synonym" if kind == "synonym" else "common", shown, normal(shown))


class Names:
    """Finds taxa among the entries of a knowledge base."""

    def __init__(self, known: Iterable[Entry]) -> None:
        self.entries = {entry.id: entry for entry in known}

    @cached_property
    def _by_key(self) -> dict[str, dict[str, str]]:
        """Compared name → {taxon id: kind of name}."""
        found: dict[str, dict[str, str]] = {}
        for entry in self._taxa:
            for name in entry.names:
                found.setdefault(name.key, {}).setdefault(entry.id, name.kind)
        return found

    @cached_property
    def _taxa(self) -> list[Entry]:
        return [entry for entry in self.entries.values() if entry.kind == "taxon"]

    def find(self, name: str) -> Match | NameProblem:
        """The taxon of this name, or what stands in the way."""
        entry = self.entries.get(name)
        if entry and entry.kind == "taxon":
            return self._match(entry.id)
        key = normal(name)
        if not key:
            return NameProblem(name, "unknown", "no name is given", "write the name of a plant")
        found = self._best(self._by_key.get(key, {})) or self._abbreviated(name, key) or self._only_member(key)
        if len(found) == 1:
            return self._match(found[0])
        if found:
            shown = self._shown(found)
            return NameProblem(
                name, "ambiguous", f"{quoted(name)} may be any of {shown}", "write one of them in full", tuple(found)
            )
        return self._collective(name, key) or self._misspelt(name, key)

    def differing_forms(self, taxon: str) -> tuple[str, ...]:
        """Ids to judge for a bare species name: empty unless its forms differ in year or temperatures.

        The species itself stays among them unless every one of two or more subspecies or varieties differs.
        """
        entry = self.entries[taxon]
        if entry.form is not None:
            return ()
        forms = [other for other in self._taxa if other.record == entry.record and other.form is not None]
        differing = [form.id for form in forms if form.differs]
        if not differing:
            return ()
        parts = [form for form in forms if form.rank in ("subspecies", "variety")]
        covered = len(parts) > 1 and all(form.differs for form in parts)
        return tuple(differing if covered else [taxon, *differing])

    def _match(self, taxon: str) -> Match:
        return Match(taxon, self.differing_forms(taxon) or (taxon,))

    def _best(self, ids: dict[str, str]) -> list[str]:
        """An accepted name goes before synonyms, and those before common names."""
        for kind in ("accepted", "synonym", "common"):
            found = sorted(taxon for taxon, held in ids.items() if held == kind)
            if found:
                return found
        return []

    def _abbreviated(self, name: str, key: str) -> list[str]:
        """``D. capensis``: a genus cut to its first letters before a dot, or to one letter."""
        start, _, rest = key.partition(" ")
        if not rest or not (len(start) == 1 or re.match(rf"\W*{re.escape(start)}\.", name.casefold())):
            return []
        ids: dict[str, str] = {}
        for full, held in self._by_key.items():
            genus, _, others = full.partition(" ")
            if others == rest and genus.startswith(start):
                for taxon, kind in held.items():
                    if kind != "common":
                        ids.setdefault(taxon, kind)
        return self._best(ids)

    def _only_member(self, key: str) -> list[str]:
        """A genus with one known species, or a common name of a genus or group (Venus flytrap), means that species."""
        for entry in self.entries.values():
            kinds = ("accepted", "synonym", "common") if entry.kind == "genus" else ("common",)
            if entry.kind != "taxon" and any(name.key == key and name.kind in kinds for name in entry.names):
                members = self._members(entry)
                return members if len(members) == 1 else []
        return []

    def _collective(self, name: str, key: str) -> NameProblem | None:
        """A genus or a group stands for its species, which are listed."""
        for entry in self.entries.values():
            if entry.kind == "taxon":
                continue
            keys = {shown.key for shown in entry.names}
            if entry.kind == "genus":
                keys.add(normal(entry.genus))
            else:
                short = normal(entry.id.rpartition("/_")[2])
                keys |= {short, f"{entry.genus} {short}", f"{short} {entry.genus}"}
            if key in keys:
                return self._known(name, entry.kind, self._members(entry))
        members = [taxon.id for taxon in self._taxa if taxon.genus == key and taxon.form is None]
        return self._known(name, "genus", members) if members else None

    def _members(self, entry: Entry) -> list[str]:
        """Plants of a genus or group, those with a profile first."""
        taxa = (taxon for taxon in self._taxa if taxon.form is None)
        kept = [t for t in taxa if (t.genus == entry.genus if entry.kind == "genus" else t.group == entry.id)]
        return [taxon.id for taxon in sorted(kept, key=lambda taxon: taxon.listed)]

    def _known(self, name: str, kind: Literal["genus", "group"], members: list[str]) -> NameProblem:
        hint = f"name a species; known: {self._shown(members)}" if members else "no species of it is known yet"
        word = "genus" if kind == "genus" else "group"
        return NameProblem(name, kind, f"{quoted(name)} is a {word}, not one plant", hint, tuple(members))

    def _misspelt(self, name: str, key: str) -> NameProblem:
        import difflib

        start, _, rest = key.partition(" ")
        epithets = {full.partition(" ")[2]: full for full in self._by_key}
        near = difflib.get_close_matches(key, self._by_key, n=3, cutoff=0.72)
        if rest and not near:
            near = [
                epithets[e]
                for e in difflib.get_close_matches(rest, epithets, n=3, cutoff=0.8)
                if epithets[e][:1] == start[:1]
            ]
        if not near:
            near = [full for full in self._by_key if full.endswith(f" {key}")][:3]
        ids = tuple(dict.fromkeys(taxon for full in near for taxon in self._best(self._by_key[full])))[:5]
        hint = (
            f"did you mean {self._shown(ids)}?"
            if ids
            else "check the spelling, or list the known plants with 'bogwright plant'"
        )
        return NameProblem(name, "unknown", f"no plant {quoted(name)} is known", hint, ids)

    def _shown(self, ids: Iterable[str]) -> str:
        names = [self.entries[taxon].name for taxon in ids]
        more = f" and {len(names) - _MOST_LISTED} more" if len(names) > _MOST_LISTED else ""
        return ", ".join(names[:_MOST_LISTED]) + more
