"""Published growers' statements as plans: what a statement leaves open stays unknown, nothing is added.

Keys of a statement beyond its prose: ``conditions`` (figures it gives), ``case``, ``spots`` and ``waters`` (by place) and a
plant's ``plan`` (plan fields that its words or its place imply; ``implied`` says which words or which climate record).
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import yaml

FILE = Path(__file__).with_name("enclosures.yaml")
# group names used in the statements → members of the knowledge base that stand for them; all are judged
MEMBERS = {
    "Nepenthes (highland)": ["Nepenthes sanguinea", "Nepenthes villosa"],
    "Drosera (pygmy)": ["Drosera pulchella", "Drosera scorpioides"],
    "Drosera (tuberous)": ["Drosera auriculata"],
    "Drosera (South African winter-grower)": ["Drosera cistiflora"],
    "Drosera petiolaris complex": ["Drosera paradoxa"],
    "Utricularia (epiphyte)": ["Utricularia alpina"],
    "Sphagnum (live)": ["Sphagnum (live)"],
    "Genlisea": ["Genlisea hispidula", "Genlisea violacea"],
    "Pinguicula vulgaris": ["Pinguicula grandiflora"],
}
SOUTH = re.compile(r"Australia|Tasmania|New Zealand|South Africa")
WINTER = {False: (11, 12, 1, 2), True: (5, 6, 7, 8)}  # calendar months that statements call winter, north and south
OPEN_LOW, OPEN_HIGH = -40.0, 60.0


def load() -> list[dict[str, Any]]:
    """All statements of the file, in its order."""
    return list(yaml.safe_load(FILE.read_text(encoding="utf-8")))


def slug(text: str) -> str:
    """Lower-case words joined by hyphens, as ids of a plan are."""
    return re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")


def span(value: Any, low: float = OPEN_LOW, high: float = OPEN_HIGH) -> Any:
    """A number, or [low, high] with the end that was not stated open."""
    if not isinstance(value, list):
        return value
    a, b = value
    return [low if a is None else a, high if b is None else b]


def plan_of(case: Mapping[str, Any], member: int = 0) -> dict[str, Any]:
    """The statement as the data of a plan; ``member`` picks which plant stands for a group that was named."""
    given = case.get("conditions") or {}
    south = bool(SOUTH.search(given.get("latitude_or_place", "")))
    openings = given.get("vessel") or "unknown"
    made: dict[str, Any] = {
        "vessel": {"openings": openings},
        "year": {"kind": "outdoor" if openings == "outdoor" else "none"},
    }
    for axis, winter in (("temperature_day", "winter_day"), ("temperature_night", "winter_night")):
        whole, cold = given.get(axis), given.get(winter)
        if whole is not None or cold is not None:
            usual = span(whole) if whole is not None else "unknown"
            months = [span(cold) if cold is not None and m in WINTER[south] else usual for m in range(1, 13)]
            made[axis] = {"usual": months}
    for axis, low, high in (("photoperiod", 0, 24), ("humidity", 0, 100)):
        if given.get(axis) is not None:
            made[axis] = span(given[axis], low, high)
    wet = given.get("moisture") or {}
    names = list(dict.fromkeys(p.get("place") or "place" for p in case["plants"]))
    lux = {"illuminance": span(given["lux"], 0, 130000)} if given.get("lux") is not None else None
    ppfd = {"ppfd": span(given["ppfd"], 0, 2500)} if given.get("ppfd") is not None else None
    light = lux or ppfd
    spots, waters = case.get("spots", {}), case.get("waters", {})
    places = [{"id": slug(n), "water": slug(n), **({"light": light} if light else {}), **spots.get(n, {})} for n in names]
    units = [{"id": slug(n), **({"moisture": wet[n]} if n in wet else {}),
              **({"supply": {"solids": span(given["solids"], 0, 5000)}} if given.get("solids") is not None else {}), **waters.get(n, {})} for n in names]  # fmt: skip
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
        if one.get("removable") and one.get("potted") is None:
            one["potted"] = True  # what can be lifted out stands in a pot or is lifted as a plug
        plants.append(one | plant.get("plan", {}))
    return {
        "plan": "enclosure", "title": case["id"], "horizon": {"for": case["horizon"]}, "latitude": -35 if south else 40,
        "case": {**made, **case.get("case", {})}, "water_units": units, "places": places, "plants": plants,
        **({"treatments": case["treatments"]} if "treatments" in case else {}),
    }  # fmt: skip


def members(case: Mapping[str, Any]) -> int:
    """How many stand-ins the widest group name of a statement has."""
    return max(len(MEMBERS.get(p["taxon"], [p["taxon"]])) for p in case["plants"])
