"""Published growers' statements as plans: what a statement leaves open stays unknown, nothing is added.

Keys of a statement beyond its prose: ``conditions`` (figures it gives), ``case``, ``spots`` and ``waters`` (by place)
and a plant's ``plan`` (plan fields that its words or its place imply; ``implied`` says which words or which climate
record). ``climate`` takes the months of a station of outdoor-climates.yaml (``outdoors``), ``indoors: home`` those of
a heated room; what the statement itself says (``conditions``, then ``case``) goes before both; ``latitude`` alone
gives the length of the day. ``shared_water`` names places on one water. ``judged: false`` marks statements whose
deciding condition nobody can know from them (``judged_why``).
"""

from __future__ import annotations

import math
import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import yaml

FILE = Path(__file__).with_name("enclosures.yaml")
HELD_OUT = Path(__file__).with_name("enclosures-heldout.yaml")
BREADTH = Path(__file__).with_name("enclosures-breadth.yaml")
CLIMATES = yaml.safe_load(Path(__file__).with_name("outdoor-climates.yaml").read_text(encoding="utf-8"))
# group names used in the statements → members of the knowledge base that stand for them; all are judged
MEMBERS = {
    "Nepenthes (highland)": ["Nepenthes sanguinea", "Nepenthes villosa"],
    "Drosera (pygmy)": ["Drosera pulchella", "Drosera scorpioides"],
    "Drosera (tuberous)": ["Drosera auriculata", "Drosera erythrorhiza"],
    "Drosera (South African winter-grower)": ["Drosera cistiflora"],
    "Utricularia (epiphyte)": ["Utricularia alpina"],
    "Sphagnum (live)": ["Sphagnum (live)"],
    "Genlisea": ["Genlisea hispidula", "Genlisea violacea"],
    "Pinguicula vulgaris": ["Pinguicula grandiflora"],
    "Pinguicula planifolia": ["Pinguicula primuliflora"],  # nearest kin with a profile
}
SOUTH = re.compile(r"Australia|Tasmania|New Zealand|South Africa")
WINTER = {False: (11, 12, 1, 2), True: (5, 6, 7, 8)}  # calendar months that statements call winter, north and south
OPEN_LOW, OPEN_HIGH = -40.0, 60.0
NEAR, FAR = 3, 12  # K between a month's mean low (high) and its coldest night (hottest day), where no record is known
GLASS_DAY, GLASS_NIGHT = 10, 3  # K that unheated glass is warmer than outdoors, at most
MID_MONTH = (15, 46, 74, 105, 135, 166, 196, 227, 258, 288, 319, 349)  # day of the year


def load(file: Path = FILE) -> list[dict[str, Any]]:
    """All statements of the file, in its order."""
    return list(yaml.safe_load(file.read_text(encoding="utf-8")))


def slug(text: str) -> str:
    """Lower-case words joined by hyphens, as ids of a plan are."""
    return re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")


def span(value: Any, low: float = OPEN_LOW, high: float = OPEN_HIGH) -> Any:
    """A number, or [low, high] with the end that was not stated open."""
    if not isinstance(value, list):
        return value
    a, b = value
    return [low if a is None else a, high if b is None else b]


def pair(value: Any) -> tuple[float, float]:
    """A number or [low, high] as two numbers."""
    return (value[0], value[1]) if isinstance(value, list) else (value, value)


def day_length(latitude: float) -> list[float]:
    """Hours from sunrise to sunset at mid-month (FAO-56, equations 24, 25 and 34)."""
    hours = []
    for day in MID_MONTH:
        declination = 0.409 * math.sin(2 * math.pi * day / 365 - 1.39)
        cosine = -math.tan(math.radians(latitude)) * math.tan(declination)
        hours.append(round(24 / math.pi * math.acos(max(-1.0, min(1.0, cosine))), 1))
    return hours


def _extreme(stated: Any, of_year: Any, means: list[tuple[float, float]], sign: int) -> list[list[float]]:
    """Hottest days (sign 1) or coldest nights (-1) by month.

    ``stated``: a range for the three outermost months, as the station's own ``of_year``, or single months instead.
    """
    by_month = stated if isinstance(stated, Mapping) else {}
    year = None if isinstance(stated, Mapping) else stated or of_year
    outermost = sorted(range(12), key=lambda m: -sign * sum(means[m]))[:3]
    found = []
    for m, (low, high) in enumerate(means):
        ends = sorted((low + sign * NEAR, high + sign * NEAR, low + sign * FAR, high + sign * FAR))
        value = [ends[0], ends[-1]]
        if year is not None:
            a, b = pair(year)
            value = (
                [a, b] if m in outermost else [min(max(v, a), high) if sign < 0 else max(min(v, b), low) for v in value]
            )
        found.append([round(v, 1) for v in pair(by_month.get(m + 1, value))])
    return found


def outdoors(climate: Mapping[str, Any]) -> dict[str, Any]:
    """Case fields of a station: ``wide`` K either way, under ``glass``, with single months as stated."""
    station, wide, glass = CLIMATES["stations"][climate["station"]], climate.get("wide", 0), climate.get("glass", False)
    made: dict[str, Any] = {"photoperiod": day_length(station["latitude"])}
    if "humidity" in station and not glass:
        made["humidity"] = [station["humidity"].get(m, "unknown") for m in range(1, 13)]
    for axis, mean, key, warmer, extreme, sign in (
        ("temperature_day", "mean_max_c", "day", GLASS_DAY, "peak", 1),
        ("temperature_night", "mean_min_c", "night", GLASS_NIGHT, "lowest", -1),
    ):
        means = []
        for m in range(12):
            low, high = pair(station[mean][m])
            stated = climate.get(key, {}).get(m + 1)
            means.append(pair(stated) if stated is not None else (low - wide, high + wide + (warmer if glass else 0)))
        made[axis] = {
            "usual": [[round(a, 1), round(b, 1)] if a != b else a for a, b in means],
            extreme: _extreme(climate.get(extreme), station.get(f"year_{extreme}"), means, sign),
        }
    return made


def plan_of(case: Mapping[str, Any], member: int = 0) -> dict[str, Any]:
    """The statement as the data of a plan; ``member`` picks which plant stands for a group that was named."""
    given = case.get("conditions") or {}
    south = bool(SOUTH.search(given.get("latitude_or_place", "")))
    climate = case.get("climate")
    latitude = (
        CLIMATES["stations"][climate["station"]]["latitude"] if climate else case.get("latitude", -35 if south else 40)
    )
    openings = given.get("vessel") or "unknown"
    made: dict[str, Any] = {
        "vessel": {"openings": openings},
        "year": {"kind": "outdoor" if openings == "outdoor" or climate else "none"},
        **(CLIMATES[case["indoors"]] if "indoors" in case else {}),
        **({"photoperiod": day_length(latitude)} if "latitude" in case else {}),
        **(outdoors(climate) if climate else {}),
    }
    for axis, winter in (("temperature_day", "winter_day"), ("temperature_night", "winter_night")):
        if climate:
            break  # the months of a climate carry what the statement says of temperatures
        whole, cold = given.get(axis), given.get(winter)
        if whole is not None or cold is not None:
            usual = span(whole) if whole is not None else "unknown"
            months = [span(cold) if cold is not None and m in WINTER[south] else usual for m in range(1, 13)]
            made[axis] = {"usual": months}
    for axis, low, high in (("photoperiod", 0, 24), ("humidity", 0, 100)):
        if given.get(axis) is not None:
            made[axis] = span(given[axis], low, high)
    wet = dict(given.get("moisture") or {})
    names = list(dict.fromkeys(p.get("place") or "place" for p in case["plants"]))
    lux = {"illuminance": span(given["lux"], 0, 130000)} if given.get("lux") is not None else None
    ppfd = {"ppfd": span(given["ppfd"], 0, 2500)} if given.get("ppfd") is not None else None
    light = lux or ppfd
    spots, waters = case.get("spots", {}), case.get("waters", {})
    shared = case.get("shared_water", [])
    units_of = {n: shared[0] if n in shared else n for n in names}
    for n in shared:
        if n in wet:
            wet.setdefault(shared[0], wet[n])
    places = [
        {"id": slug(n), "water": slug(units_of[n]), **({"light": light} if light else {}), **spots.get(n, {})}
        for n in names
    ]
    supply = {"supply": {"solids": span(given["solids"], 0, 5000)}} if given.get("solids") is not None else {}
    units = [
        {"id": slug(n), **({"moisture": wet[n]} if n in wet else {}), **supply, **waters.get(n, {})}
        for n in dict.fromkeys(units_of.values())
    ]
    plants = []
    for n, plant in enumerate(case["plants"]):
        choices = MEMBERS.get(plant["taxon"], [plant["taxon"]])
        one = {
            "id": f"p{n}-{slug(plant['taxon'])}",
            "taxon": choices[member % len(choices)],
            "place": slug(plant.get("place") or "place"),
        }
        for key in ("potted", "removable", "stage"):
            if plant.get(key) is not None:
                one[key] = plant[key]
        one.setdefault("removable", False)  # what a statement does not say was lifted out stayed where it was
        if one.get("removable") and one.get("potted") is None:
            one["potted"] = True  # what can be lifted out stands in a pot or is lifted as a plug
        plants.append(one | plant.get("plan", {}))
    return {
        "plan": "enclosure", "title": case["id"], "horizon": {"for": case["horizon"]}, "latitude": latitude,
        "case": {**made, **case.get("case", {})}, "water_units": units, "places": places, "plants": plants,
        **({"treatments": case["treatments"]} if "treatments" in case else {}),
    }  # fmt: skip


def members(case: Mapping[str, Any]) -> int:
    """How many stand-ins the widest group name of a statement has."""
    return max(len(MEMBERS.get(p["taxon"], [p["taxon"]])) for p in case["plants"])
