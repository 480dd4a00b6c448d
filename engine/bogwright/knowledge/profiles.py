"""A plant's profile after inheritance: an unchanging view, resolved field by field as it is asked for."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any, TypeVar

from . import inheritance
from .claims import BandClaim, Claim, Cue, Layer, Origin, RangeClaim, SourceRef, ValueClaim
from .fields import Fields
from .names import Entry

_C = TypeVar("_C", BandClaim, RangeClaim, ValueClaim)

STAGES = ("flask", "seedling", "juvenile", "adult")


class Profile:
    """One taxon (or group or genus) with everything it inherits.

    Numbers are in the unit of their field (`claim.field.unit`). Paths of fields are dotted, as in the file:
    ``air.temperature_day``, ``propagation.methods.seed.germination``.
    """

    def __init__(
        self,
        entry: Entry,
        layers: tuple[Layer, ...],
        fields: Fields,
        stage: str = "adult",
        picked: Mapping[str, int] | None = None,
    ) -> None:
        self.entry = entry
        self.stage_name = stage
        self.layers = layers
        self.picked = dict(picked or {})
        self._fields = fields
        self._staged = tuple(found for layer in layers for found in _staged(layer, stage))
        self._all = self._staged + layers
        self._claims: dict[str, Claim | None] = {}

    @property
    def id(self) -> str:
        return self.entry.id

    @property
    def name(self) -> str:
        return self.entry.name

    @property
    def outline(self) -> bool:
        """Only its identity is known; its needs are those of its group's members."""
        return self.entry.outline

    @cached_property
    def climate(self) -> str | None:
        """The method of ``kb/climates.yaml`` by which its temperatures follow from its heights, or None."""
        return next((layer.data["climate"] for layer in self.layers if "climate" in layer.data), None)

    def claim(self, field: str) -> Claim | None:
        """The claim for a field, or None where nobody in its line states one. Raises KeyError for no such field."""
        if field not in self._claims:
            declared = self._fields.get(field)
            if declared is None:
                raise KeyError(f"the profile schema has no field {field!r}")
            found = inheritance.resolve(self._all, field.split("."), declared)
            self._claims[field] = _one_reading(found, self.picked.get(field))
        return self._claims[field]

    def band(self, field: str) -> BandClaim | None:
        """The claim for a ranged need. Raises KeyError if the field holds something else."""
        return _expect(self.claim(field), BandClaim, field)

    def range(self, field: str) -> RangeClaim | None:
        """The claim for a stated range. Raises KeyError if the field holds something else."""
        return _expect(self.claim(field), RangeClaim, field)

    def value(self, field: str) -> Any:
        """The word, words, text, months, count or steps of a field; None where unknown, disputed or not stated."""
        claim = _expect(self.claim(field), ValueClaim, field)
        return None if claim is None else claim.value

    def keys(self, path: str) -> list[str]:
        """Keys of a map such as ``propagation.methods`` or ``health.treatments``, inherited ones included."""
        return inheritance.keys(self._all, path.split("."))

    def cues(self, path: str = "light.cues") -> dict[str, Cue]:
        """Day-length cues, by key."""
        return inheritance.cues(self._all, path.split("."))

    @cached_property
    def ways(self) -> dict[str, Way]:
        """Ways to keep the plant through the year, by id."""
        return {key: _way(self, key) for key in self.keys("year.ways")}

    @cached_property
    def notes(self) -> tuple[str, ...]:
        """Notes for readers, the plant's own first."""
        return tuple(note for layer in self.layers for note in layer.data.get("notes", ()))

    def fields(self) -> Iterator[str]:
        """Path of every field that somebody in the line of inheritance says something about."""
        return self._said(self._all)

    def stage_fields(self) -> Iterator[str]:
        """Path of every field that somebody says something about for this very stage; none of adults."""
        return self._said(self._staged)

    def _said(self, layers: tuple[Layer, ...]) -> Iterator[str]:
        seen: dict[str, None] = {}
        for layer in layers:
            for parts in _claim_paths(layer.data, (), self._fields):
                seen.setdefault(parts)
        return (field for field in seen if self.claim(field) is not None)

    def readings(self) -> dict[str, int]:
        """Disputed fields and how many readings each has; picked ones are no longer disputed."""
        found = {}
        for path in self.fields():
            claim = self.claim(path)
            if isinstance(claim, BandClaim | ValueClaim) and claim.readings:
                found[path] = len(claim.readings)
        return found

    def with_readings(self, picked: Mapping[str, int]) -> Profile:
        """The same plant under one reading for each field named. Raises IndexError on use of a reading not there."""
        return Profile(self.entry, self.layers, self._fields, self.stage_name, {**self.picked, **picked})

    def stage(self, name: str) -> Profile:
        """The same plant at another stage of life: flask, seedling, juvenile or adult. Raises KeyError."""
        if name not in STAGES:
            raise KeyError(f"no stage {name!r}; stages are {', '.join(STAGES)}")
        return self if name == self.stage_name else Profile(self.entry, self.layers, self._fields, name, self.picked)


@dataclass(frozen=True)
class Rest:
    """One rest of a way. winters_skipped : rests in a row that may be left out, by stage."""

    id: str
    path: str
    kind: str
    where: str
    origin: Origin
    winters_skipped: dict[str, ValueClaim]
    profile: Profile = field(repr=False)

    def own(self, field: str) -> Claim | None:
        """What is stated for the rest itself, or None: ``weeks``, ``air.temperature_day`` and so on."""
        return self.profile.claim(f"{self.path}.{field}")

    def claim(self, field: str) -> Claim | None:
        """What holds in the rest: its own claim, else that of growth, field by field."""
        own = self.own(field)
        return self.profile.claim(field) if own is None and "." in field else own

    @property
    def need(self) -> str | None:
        """obligatory, helpful or none; None where unknown or disputed."""
        word: str | None = self._value("need")
        return word

    @property
    def weeks(self) -> tuple[float | None, float | None]:
        """The least it must last and the most it may, in weeks."""
        claim = self.own("weeks")
        if not isinstance(claim, RangeClaim):
            return None, None
        return (claim.low.value if claim.low else None), (claim.high.value if claim.high else None)

    @property
    def may(self) -> tuple[int, ...]:
        """Months it may lie in, 0 to 11 from the month of the local winter solstice; empty where not stated."""
        return self._value("may") or ()

    def _value(self, field: str) -> Any:
        claim = self.own(field)
        return claim.value if isinstance(claim, ValueClaim) else None


@dataclass(frozen=True)
class Way:
    """One way to keep a plant through the year.

    effort : 0 none to 4 sown again yearly. renewed : kept by resowing. in_ground : not for pots.
    """

    id: str
    title: str
    effort: int
    renewed: bool
    in_ground: bool
    rests: dict[str, Rest]
    basis: str | None
    sources: tuple[SourceRef, ...]
    note: str | None
    origin: Origin


def _way(profile: Profile, key: str) -> Way:
    path = f"year.ways.{key}"
    said = list(inheritance.stated(profile.layers, path.split(".")))
    based: dict[str, Any] = next((found.node for found in said if "basis" in found.node), {})
    rests = {rest: _rest(profile, f"{path}.rests.{rest}", rest) for rest in profile.keys(f"{path}.rests")}
    return Way(
        key,
        _first(said, "title", key),
        _first(said, "effort", 0),
        _first(said, "renewed", False),
        _first(said, "in_ground", False),
        rests,
        based.get("basis"),
        inheritance.sources_of(based),
        based.get("note"),
        inheritance.origin_of(said[0]),
    )


def _rest(profile: Profile, path: str, key: str) -> Rest:
    said = list(inheritance.stated(profile.layers, path.split(".")))
    skipped = {}
    for stage in profile.keys(f"{path}.winters_skipped"):
        claim = profile.claim(f"{path}.winters_skipped.{stage}")
        if isinstance(claim, ValueClaim):
            skipped[stage] = claim
    kind, where = _first(said, "kind", "slow"), _first(said, "where", "in-case")
    return Rest(key, path, kind, where, inheritance.origin_of(said[0]), skipped, profile)


def _first(said: list[inheritance.Stated], name: str, default: Any) -> Any:
    """What the nearest layer that has this key says."""
    return next((found.node[name] for found in said if name in found.node), default)


def _staged(layer: Layer, stage: str) -> Iterator[Layer]:
    data = layer.data.get("stages", {}).get(stage)
    if data:
        yield Layer(layer.profile, layer.record, (*layer.root, "stages", stage), data, layer.inherited)


def _claim_paths(node: Any, path: tuple[str, ...], fields: Fields) -> Iterator[str]:
    """Paths of the claims a file states, without those of its stages and forms."""
    for key, part in node.items():
        if not path and key in ("stages", "forms"):
            continue
        here = ".".join((*path, key))
        if fields.get(here):
            yield here
        elif isinstance(part, dict):
            yield from _claim_paths(part, (*path, key), fields)


def _one_reading(claim: Claim | None, index: int | None) -> Claim | None:
    if index is None or claim is None or isinstance(claim, RangeClaim) or not claim.readings:
        return claim
    return claim.readings[index].claim


def _expect(claim: Claim | None, kind: type[_C], field: str) -> _C | None:
    if claim is None or isinstance(claim, kind):
        return claim
    raise KeyError(f"the field {field!r} holds a {type(claim).__name__}, not a {kind.__name__}")
