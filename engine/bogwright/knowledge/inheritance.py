"""How claims inherit: the nearest profile wins, for bands level by level and end by end."""

from __future__ import annotations

from collections.abc import Collection, Iterable, Iterator, Sequence
from typing import Any, NamedTuple

from .claims import (
    LEVELS,
    BandClaim,
    BandReading,
    Claim,
    Cue,
    End,
    Layer,
    Level,
    Origin,
    Outcome,
    RangeClaim,
    SourceRef,
    ValueClaim,
    ValueReading,
)
from .documents import Path
from .fields import Field


class Stated(NamedTuple):
    """What one layer says at a path. node : the data there. path : from the top of its file."""

    layer: Layer
    path: Path
    node: Any


def stated(layers: Iterable[Layer], parts: Sequence[str]) -> Iterator[Stated]:
    """What each layer says at a path, nearest first; a layer that removes an entry on the way ends the search."""
    for layer in layers:
        node: Any = layer.data
        for part in parts:
            node = node.get(part) if isinstance(node, dict) else None
            if node is None:
                break
            if isinstance(node, dict) and node.get("removed") is True:
                return
        else:
            yield Stated(layer, (*layer.root, *parts), node)


def keys(layers: Iterable[Layer], parts: Sequence[str]) -> list[str]:
    """Keys of a map over all layers, without those removed, nearest layer's order first."""
    decided: dict[str, bool] = {}
    for found in stated(layers, parts):
        for key, node in found.node.items():
            decided.setdefault(key, not (isinstance(node, dict) and node.get("removed") is True))
    return [key for key, kept in decided.items() if kept]


def resolve(layers: Iterable[Layer], parts: Sequence[str], field: Field) -> Claim | None:
    """The claim for a field after inheritance, or None if no layer says anything."""
    said = stated(layers, parts)
    if field.kind == "band":
        return _band(said, field)
    if field.kind == "range":
        return _range(said, field)
    return _value(next(said, None), field)


def cues(layers: Iterable[Layer], parts: Sequence[str]) -> dict[str, Cue]:
    """Day-length cues of a map; each comes whole from the nearest layer that states it."""
    layers = tuple(layers)
    found = {}
    for key in keys(layers, parts):
        said = next(stated(layers, (*parts, key)))
        node = said.node
        found[key] = Cue(
            key,
            node["event"],
            node["basis"],
            origin_of(said),
            node.get("below"),
            node.get("above"),
            node.get("rising", False),
            node.get("falling", False),
            tuple(node.get("months", ())),
            sources_of(node),
            node.get("note"),
        )
    return found


def sources_of(node: dict[str, Any]) -> tuple[SourceRef, ...]:
    """The sources a claim lists."""
    return tuple(SourceRef(ref["id"], ref["locator"], ref["as_stated"]) for ref in node.get("sources", ()))


def origin_of(said: Stated, *more: str | int) -> Origin:
    """Where this was stated, or where something further down in it was."""
    return Origin(said.layer.profile, said.layer.record, (*said.path, *more), said.layer.inherited)


class _Ends:
    """The ends and outcomes of a band as they are gathered, nearest first; what is there is not replaced."""

    def __init__(self, other: _Ends | None = None) -> None:
        self.ends: dict[tuple[str, str], End] = dict(other.ends) if other else {}
        self.outcomes: dict[str, Outcome] = dict(other.outcomes) if other else {}

    def take(self, said: Stated, node: dict[str, Any], *more: str | int, but: Collection[object] = ()) -> None:
        """What the node states, but for some ends and outcomes."""
        for level in LEVELS:
            if level in node:
                for end, value in _numbers(node[level]):
                    if (level, end) not in self.ends and (level, end) not in but:
                        self.ends[level, end] = _end(said, node[level], value, *more, level)
        outside = node.get("outside", {})
        for end in ("low", "high"):
            if end in outside and end not in self.outcomes and end not in but:
                origin = origin_of(said, *more, "outside")
                note = outside.get("note")
                self.outcomes[end] = Outcome(outside[end], outside["basis"], sources_of(outside), note, origin)

    def claim(self, field: Field, **more: Any) -> BandClaim:
        levels = {
            level: Level(self.ends.get((level, "low")), self.ends.get((level, "high")))
            for level in LEVELS
            if (level, "low") in self.ends or (level, "high") in self.ends
        }
        return BandClaim(field, levels, self.outcomes.get("low"), self.outcomes.get("high"), **more)


def _band(said: Iterator[Stated], field: Field) -> BandClaim | None:
    gathered = _Ends()
    note: str | None = None
    origin: Origin | None = None
    for found in said:
        node = found.node
        origin = origin or origin_of(found)
        note = note or node.get("note")
        if node.get("unknown"):
            return gathered.claim(field, note=note, origin=origin, unknown=not gathered.ends)
        if "disputed" in node:
            return _disputed(gathered, found, said, field, note, origin)
        gathered.take(found, node)
    return gathered.claim(field, note=note, origin=origin) if origin else None


def _disputed(
    nearer: _Ends, found: Stated, above: Iterator[Stated], field: Field, note: str | None, origin: Origin
) -> BandClaim:
    """Each reading under what nearer profiles state; if those leave no difference the dispute is settled.

    What no reading speaks of is taken from the profiles above, up to one that disputes the matter itself.
    """
    sides = []
    for index, reading in enumerate(found.node["disputed"]):
        ends = _Ends(nearer)
        ends.take(found, reading, "disputed", index)
        sides.append((reading["reading"], ends))
    spoken_of = {key for _, ends in sides for key in (*ends.ends, *ends.outcomes)}
    for further in above:
        if further.node.get("unknown") or "disputed" in further.node:
            break
        for _, ends in sides:
            ends.take(further, further.node, but=spoken_of)
    agreed = _Ends(nearer)
    first = sides[0][1]
    for key, end in first.ends.items():
        if all(key in ends.ends and ends.ends[key].value == end.value for _, ends in sides):
            agreed.ends.setdefault(key, end)
    for name, outcome in first.outcomes.items():
        if all(name in ends.outcomes and ends.outcomes[name].value == outcome.value for _, ends in sides):
            agreed.outcomes.setdefault(name, outcome)
    settled = all(
        ends.ends.keys() == agreed.ends.keys() and ends.outcomes.keys() == agreed.outcomes.keys() for _, ends in sides
    )
    readings = (
        ()
        if settled
        else tuple(BandReading(title, ends.claim(field, note=note, origin=origin)) for title, ends in sides)
    )
    return agreed.claim(field, note=note, origin=origin, readings=readings)


def _range(said: Iterator[Stated], field: Field) -> RangeClaim | None:
    ends: dict[str, End] = {}
    note: str | None = None
    origin: Origin | None = None
    for found in said:
        if len(ends) == 2:
            break  # both ends are stated nearer, and a note further up speaks of other figures
        origin = origin or origin_of(found)
        note = note or found.node.get("note")
        if found.node.get("unknown"):
            return RangeClaim(field, ends.get("low"), ends.get("high"), not ends, note, origin)
        for end, value in _numbers(found.node):
            if end not in ends:
                ends[end] = _end(found, found.node, value)
    return RangeClaim(field, ends.get("low"), ends.get("high"), False, note, origin) if origin else None


def _value(found: Stated | None, field: Field) -> ValueClaim | None:
    if found is None:
        return None
    node = found.node
    sides = tuple(
        ValueReading(side["reading"], _value_of(found, side, field, "disputed", index))
        for index, side in enumerate(node.get("disputed", ()))
    )
    unknown = bool(node.get("unknown"))
    if sides or unknown:
        return ValueClaim(field, None, None, (), node.get("note"), origin_of(found), unknown, sides)
    return _value_of(found, node, field)


def _value_of(found: Stated, node: dict[str, Any], field: Field, *more: str | int) -> ValueClaim:
    origin = origin_of(found, *more)
    value = _season(node["value"]) if field.kind == "season" else _frozen(node["value"])
    return ValueClaim(field, value, node["basis"], sources_of(node), node.get("note"), origin)


def _season(value: Any) -> Any:
    """Months of a run as they follow each other; the word of one that keeps to no season as it is."""
    if isinstance(value, str):
        return value
    first, last = value["from"], value["to"]
    return tuple((first + step) % 12 for step in range((last - first) % 12 + 1))


def _frozen(value: Any) -> Any:
    return tuple(map(_frozen, value)) if isinstance(value, list) else value


def _numbers(node: dict[str, Any]) -> Iterator[tuple[str, float]]:
    """The ends a level or range states: both of a band, or `low`, or `high`."""
    if "band" in node:
        yield "low", node["band"][0]
        yield "high", node["band"][1]
    for end in ("low", "high"):
        if end in node:
            yield end, node[end]


def _end(said: Stated, node: dict[str, Any], value: float, *more: str | int) -> End:
    hours = node.get("hours")
    if hours is not None:
        hours = (float(hours[0]), float(hours[1])) if isinstance(hours, list) else (float(hours), float(hours))
    return End(
        value,
        node["basis"],
        sources_of(node),
        node.get("note"),
        origin_of(said, *more),
        node.get("for_days"),
        hours,
        node.get("lamp"),
    )
