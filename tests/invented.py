"""A plan as a label and a room tell it, and figures of two media. All invented."""

from __future__ import annotations

import copy
from dataclasses import replace
from typing import Any

from bogwright.enclosure.tables import Tables

RETENTION = {
    "peat": [
        {"theta_r": 0.08, "theta_s": 0.92, "alpha": 0.06, "n": 1.4, "ks": 36.0},
        {"theta_r": 0.09, "theta_s": 0.91, "alpha": 0.045, "n": 1.36, "ks": 20.0},
    ],
    "sand": [{"theta_r": 0.045, "theta_s": 0.43, "alpha": 0.145, "n": 2.68, "ks": 700.0}],
}
PLAN: dict[str, Any] = {
    "plan": "enclosure",
    "title": "The hallway case",
    "horizon": {"for": "indefinitely"},
    "latitude": 52,
    "room": {
        "temperature_day": {"usual": [19, 23], "peak": 27},
        "temperature_night": {"usual": [16, 19], "lowest": 14},
        "humidity": [35, 55],
    },
    "case": {
        "vessel": {"kind": "glass-case", "inside_cm": [80, 40, 50], "openings": "vented", "wall": "glass"},
        "year": {"kind": "none"},
        "sun_on_glass": "none",
        "surfaces": "wet",
    },
    "lamps": [
        {
            "id": "panel",
            "kind": "white-led",
            "watts": 40,
            "lumens": 4000,
            "hours": 10,
            "mounted": "outside",
            "size_cm": [60, 20],
            "over_cm": [40, 20],
            "height": 55,
        }
    ],
    "water_units": [
        {
            "id": "bog",
            "level": 4,
            "supply": {"kind": "reverse-osmosis", "conductivity": 15, "alkalinity": 4},
            "litres": 12,
            "reservoir": 3,
            "adds": [0, 20],
        }
    ],
    "places": [
        {
            "id": "front",
            "water": "bog",
            "crown_height": 14,
            "at_cm": [30, 15],
            "size_cm": [60, 30],
            "medium": {"layers": [{"cm": 3, "material": "sand"}, {"cm": 11, "mix": {"peat": 2, "sand": 1}}]},
        }
    ],
    "plants": [{"id": "capensis", "taxon": "Drosera capensis", "place": "front"}],
}


def label_plan() -> dict[str, Any]:
    """A copy that a test may change."""
    return copy.deepcopy(PLAN)


def with_retention(tables: Tables) -> Tables:
    """The shipped tables with the invented media."""
    materials = {name: {**given} for name, given in tables.materials.items()}
    for name, sets in RETENTION.items():
        materials[name]["retention"] = sets
    return replace(tables, materials=materials, _held={})
