"""A plan as objects: case, water units, places, plants, treatments; what a schema cannot check is checked here."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Any

Interval = tuple[float, float]
UNKNOWN: Interval = (-1e9, 1e9)
Year = tuple[Interval, ...]  # January to December
WEEKS_IN_MONTH = 4.35
Path = tuple[str | int, ...]


@dataclass(frozen=True, slots=True)
class WaterUnit:
    """Plants that share water: its level, wetness, supply and where it flows to."""

    id: str
    given: Mapping[str, Any]

    def words(self, key: str) -> tuple[str, ...]:
        return months_of_words(self.given.get(key))

    def year(self, *keys: str) -> Year:
        return monthly(_dig(self.given, keys))

    @property
    def flows_to(self) -> tuple[str, ...]:
        return tuple(self.given.get("flows_to", ()))

    @property
    def exchanged(self) -> str:
        """Whether its water is drained and renewed at least monthly: as stated, or by its flushes."""
        flush = self.given.get("flush")
        if flush is not None and flush["every_weeks"] <= WEEKS_IN_MONTH:
            return "yes"
        return yes_no(self.given.get("exchanged"))


@dataclass(frozen=True, slots=True)
class Place:
    """A spot in the case: its water unit, crown height, medium and light."""

    id: str
    water: str
    given: Mapping[str, Any]

    def year(self, *keys: str) -> Year:
        return monthly(_dig(self.given, keys))

    def words(self, key: str) -> tuple[str, ...]:
        return months_of_words(self.given.get(key))

    @property
    def components(self) -> tuple[str, ...]:
        return tuple(self.given.get("medium", {}).get("components", ()))


@dataclass(frozen=True, slots=True)
class PlantEntry:
    """A plant of the plan. ``removable`` and ``potted`` are "yes", "no" or "?"."""

    id: str
    taxon: str
    place: str
    stage: str
    given: Mapping[str, Any]

    @property
    def potted(self) -> str:
        return yes_no(self.given.get("potted"))

    @property
    def removable(self) -> str:
        return yes_no(self.given.get("removable"))


@dataclass(frozen=True, slots=True)
class Plan:
    """One enclosure. ``case`` is the mapping of the file; conditions not stated are unknown."""

    title: str
    horizon: str
    start: str | None
    latitude: float | None
    case: Mapping[str, Any]
    water_units: Mapping[str, WaterUnit]
    places: Mapping[str, Place]
    plants: tuple[PlantEntry, ...]
    treatments: tuple[Mapping[str, Any], ...]
    room: Mapping[str, Any] = field(default_factory=dict)
    lamps: tuple[Mapping[str, Any], ...] = ()
    window: Mapping[str, Any] = field(default_factory=dict)

    def year(self, *keys: str) -> Year:
        """A condition of the case, month by month; unknown where the plan does not state it."""
        return monthly(_dig(self.case, keys))

    @property
    def midwinter(self) -> int:
        """Calendar month that plays midwinter: the programme's own, else that of the latitude, else December."""
        year = self.case["year"]
        if year["kind"] == "programmed" and "midwinter" in year:
            return int(year["midwinter"])
        return 6 if self.latitude is not None and self.latitude < 0 else 12


def yes_no(value: bool | None) -> str:
    """True, False, None → "yes", "no", "?"."""
    return "?" if value is None else "yes" if value else "no"


def monthly(value: Any) -> Year:
    """One value, [low, high], twelve of either, ``unknown`` or None → twelve intervals."""
    if isinstance(value, list) and len(value) == 12:
        return tuple(_interval(v) for v in value)
    return (_interval(value),) * 12


def months_of_words(value: Any) -> tuple[str, ...]:
    """One word, twelve of them or None → twelve words, ``?`` where unknown."""
    words = value if isinstance(value, list) else [value] * 12
    return tuple("?" if w in (None, "unknown") else w for w in words)


def _interval(value: Any) -> Interval:
    return UNKNOWN if value is None or value == "unknown" else span(value)


def span(value: float | Sequence[float]) -> Interval:
    """A number or [low, high] → an interval."""
    return (float(value[0]), float(value[1])) if isinstance(value, Sequence) else (float(value), float(value))


def _dig(given: Mapping[str, Any], keys: Sequence[str]) -> Any:
    value: Any = given
    for key in keys:
        value = value.get(key) if isinstance(value, Mapping) else None
    return value


def read_plan(data: Mapping[str, Any]) -> Plan:
    """Build a :class:`Plan` from data that the plan schema has passed and :func:`check_plan` found sound."""
    horizon = data["horizon"]
    return Plan(
        title=data["title"],
        horizon=horizon["for"],
        start=horizon.get("from"),
        latitude=data.get("latitude"),
        case=data["case"],
        water_units={u["id"]: WaterUnit(u["id"], u) for u in data["water_units"]},
        places={p["id"]: Place(p["id"], p["water"], p) for p in data["places"]},
        plants=tuple(PlantEntry(p["id"], p["taxon"], p["place"], p.get("stage", "adult"), p) for p in data["plants"]),
        treatments=tuple(data.get("treatments", ())),
        room=data.get("room", {}),
        lamps=tuple(data.get("lamps", ())),
        window=data.get("window", {}),
    )


def check_lux(data: Mapping[str, Any], say: Callable[[Path, str, str], None], lamps: Mapping[str, Any]) -> None:
    """Report lux given under lamps of which a lux meter tells nothing, through ``say(path, message, hint)``."""
    for n, place in enumerate(data["places"]):
        light = place.get("light", {})
        if "illuminance" in light and "ppfd" not in light and "lux_meter" in lamps.get(light.get("lamp"), {}):
            path = ("places", n, "light", "illuminance")
            say(path, "lux is not valid under this lamp: measure PPFD", "write ppfd instead, measured or the maker's")
    for n, lamp in enumerate(data.get("lamps", ())):
        if "lux_meter" not in lamps.get(lamp["kind"], {}):
            continue
        if "lumens" in lamp and not {"photon_flux", "reading"} & set(lamp):
            hint = "write photon_flux from its data sheet, or leave lumens out: its watts tell it roughly"
            say(("lamps", n, "lumens"), "lumens are not valid for this lamp", hint)
        if "illuminance" in lamp.get("reading", {}) and "ppfd" not in lamp["reading"]:
            path = ("lamps", n, "reading", "illuminance")
            say(path, "lux is not valid under this lamp: measure PPFD", "write ppfd instead")


def check_plan(
    data: Mapping[str, Any],
    say: Callable[[Path, str, str], None],
    materials: Sequence[str],
    lamps: Sequence[str],
    choose: Callable[[str, Sequence[str]], str],
) -> None:
    """Report what a schema cannot see through ``say(path, message, hint)``:

    references, orders, flow cycles, contradictions. choose(name, names): the hint for a name that is not among names.
    """
    known = {key: [item["id"] for item in data[key]] for key in ("water_units", "places", "plants")}
    for key, ids in known.items():
        for n, one in enumerate(ids):
            if one in ids[:n]:
                say((key, n, "id"), f"the id {one!r} is used twice", f"give every entry of {key} its own id")

    def refer(path: Path, name: str, choices: Sequence[str], what: str) -> None:
        if name not in choices:
            say(path, f"{name!r} is not {what} of this plan", choose(name, choices))

    for n, place in enumerate(data["places"]):
        refer(("places", n, "water"), place["water"], known["water_units"], "a water unit")
        for k, part in enumerate(place.get("medium", {}).get("components", ())):
            if part not in materials:
                say(
                    ("places", n, "medium", "components", k),
                    f"unknown material {part!r}",
                    choose(part, materials),
                )
        for k, layer in enumerate(place.get("medium", {}).get("layers", ())):
            for part in layer.get("mix", {layer.get("material"): 1}):
                if part not in materials:
                    path = ("places", n, "medium", "layers", k, *(("mix", part) if "mix" in layer else ("material",)))
                    say(path, f"unknown material {part!r}", choose(part, materials))
        lamp = place.get("light", {}).get("lamp")
        if lamp is not None and lamp not in lamps:
            say(("places", n, "light", "lamp"), f"unknown lamp {lamp!r}", choose(lamp, lamps))
    for n, lamp in enumerate(data.get("lamps", ())):
        if lamp["kind"] not in lamps:
            say(("lamps", n, "kind"), f"unknown lamp {lamp['kind']!r}", choose(lamp["kind"], lamps))
        if lamp["id"] in [other["id"] for other in data["lamps"][:n]]:
            say(("lamps", n, "id"), f"the id {lamp['id']!r} is used twice", "give every lamp its own id")
    for n, unit in enumerate(data["water_units"]):
        for k, target in enumerate(unit.get("flows_to", ())):
            refer(("water_units", n, "flows_to", k), target, known["water_units"], "a water unit")
    _flow_cycles(data["water_units"], say)
    for n, plant in enumerate(data["plants"]):
        refer(("plants", n, "place"), plant["place"], known["places"], "a place")
        if plant.get("removable") and plant.get("potted") is False:
            say(
                ("plants", n, "removable"),
                "a plant that is not potted cannot be lifted out",
                "set potted: true, or removable: false",
            )
    for n, treatment in enumerate(data.get("treatments", ())):
        for k, target in enumerate(treatment["on"]):
            if not any(target in ids for ids in known.values()):
                say(
                    ("treatments", n, "on", k),
                    f"{target!r} is no plant, place or water unit of this plan",
                    "use an id of the plan",
                )
    for path, low, high in _ranges(data, ()):
        if low > high:
            say(path, f"the range [{low:g}, {high:g}] runs backwards", "write [low, high]")
    for part in ("case", "room"):
        _ordered(part, data.get(part, {}), say)


def _flow_cycles(units: Sequence[Mapping[str, Any]], say: Callable[[Path, str, str], None]) -> None:
    flows = {u["id"]: u.get("flows_to", []) for u in units}
    for n, unit in enumerate(units):
        seen, todo = set(), list(flows[unit["id"]])
        while todo:
            one = todo.pop()
            if one == unit["id"]:
                say(
                    ("water_units", n, "flows_to"),
                    f"the water of {one!r} flows back into itself",
                    "units that mix both ways are one unit: merge them",
                )
                break
            if one not in seen:
                seen.add(one)
                todo += flows.get(one, [])


def _ranges(value: Any, path: Path) -> Iterator[tuple[Path, float, float]]:
    """Every two-number range below ``value``; sizes are not ranges."""
    if isinstance(value, Mapping):
        for key, inner in value.items():
            if not key.endswith("_cm"):
                yield from _ranges(inner, (*path, key))
    elif isinstance(value, list):
        if len(value) == 2 and all(isinstance(v, int | float) for v in value):
            yield path, value[0], value[1]
        else:
            for n, inner in enumerate(value):
                yield from _ranges(inner, (*path, n))


def _ordered(part: str, case: Mapping[str, Any], say: Callable[[Path, str, str], None]) -> None:
    """A peak below the usual high, a lowest above the usual low, a night warmer than the day."""
    day, night = monthly(_dig(case, ("temperature_day", "usual"))), monthly(_dig(case, ("temperature_night", "usual")))
    peak, lowest = (
        monthly(_dig(case, ("temperature_day", "peak"))),
        monthly(_dig(case, ("temperature_night", "lowest"))),
    )
    for month in range(12):
        if peak[month][1] < day[month][0]:
            say(
                (part, "temperature_day", "peak"),
                f"the peak of month {month + 1} lies below its usual day",
                "peak is the hottest expected, usual the usual high",
            )
            break
    for month in range(12):
        if lowest[month][0] > night[month][1]:
            say(
                (part, "temperature_night", "lowest"),
                f"the lowest of month {month + 1} lies above its usual night",
                "lowest is the coldest expected, usual the usual low",
            )
            break
    for month in range(12):
        if night[month][0] > day[month][1]:
            say(
                (part, "temperature_night", "usual"),
                f"the night of month {month + 1} is warmer than its day",
                "check that day and night are not exchanged",
            )
            break
