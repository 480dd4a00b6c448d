"""A small case with made-up figures, and tables with two materials, so that no test hangs on the knowledge base."""

from __future__ import annotations

import copy
from typing import Any

import pytest

from bogwright.enclosure.tables import Tables

TABLES: dict[str, Any] = {
    "assumptions": {
        "air_changes": {
            "title": "air changes",
            "unit": "1/h",
            "ask": "humidity",
            "by": {"closed": [0.1, 0.5], "vented": [1, 4]},
        },
        "wet_share": {"title": "wet floor", "ask": "humidity", "by": {"damp": [0.4, 0.9], "wet": [0.7, 1]}},
        "transfer": {"title": "transfer", "ask": "humidity", "by": {"gentle": [6, 12], "unknown": [2, 30]}},
        "lid_transmission": {"title": "lid", "ask": "light", "by": {"glass": [0.8, 0.9], "unknown": [0.8, 0.93]}},
        "label_truth": {"title": "label", "ask": "light", "value": [0.8, 1]},
        "scattered": {"title": "scattered", "ask": "light", "value": [1, 1.2]},
        "heat_outside": {"title": "heat", "ask": "temperature", "value": [0.2, 0.5]},
        "heat_inside": {"title": "heat", "ask": "temperature", "value": [0.7, 1]},
        "sun_through_glass": {
            "title": "sun",
            "ask": "peak",
            "by": {"none": [0, 0], "hours": [200, 700], "unknown": [0, 700]},
        },
        "sunshine": {"title": "sunshine", "ask": "sunshine", "value": [0.2, 0.6]},
        "after_dark": {"title": "dark", "ask": "photoperiod", "value": [0, 1]},
        "meter_factor": {"title": "factor", "ask": "factor", "value": [0.5, 0.7]},
        "root_layer": {"title": "roots", "unit": "cm", "ask": "moisture", "value": [2, 4]},
        "medium_diffusivity": {"title": "diffusivity", "ask": "root temperature", "value": [0.12, 1.2]},
        "shelf_warmth": {"title": "shelf", "ask": "temperature", "value": [0, 3]},
        "night_warmth": {"title": "night", "ask": "nights", "value": [0, 0.4]},
        "air_co2": {"title": "air", "ask": "CO2", "value": [400, 1200]},
        "co2_of_water": {"title": "water", "ask": "CO2", "by": {"open": [0.3, 2], "litter": [2, 20]}},
    },
    "lamps": {
        "unknown": {"title": "lamp not stated", "lux_per_ppfd": [54, 82]},
        "white": {"title": "white lamp", "lux_per_ppfd": [66, 72], "efficacy": {"value": [80, 120]}},
        "red-blue": {"title": "red-blue lamp", "ppf_per_watt": {"value": [1.5, 2.5]}},
    },
    "materials": {
        # the usual white peat of kb/materials.yaml, and Carsel & Parrish's sand
        "peat": {
            "title": "peat",
            "lime": "none",
            "retention": [{"theta_r": 0.08, "theta_s": 0.92, "alpha": 0.0655, "n": 1.3836, "ks": 36.1}],
        },
        "sand": {
            "title": "sand",
            "lime": "none",
            "retention": [{"theta_r": 0.045, "theta_s": 0.43, "alpha": 0.145, "n": 2.68, "ks": 712.8}],
        },
        # open gravel of 2 cm stones: lifts next to nothing
        "gravel": {
            "title": "gravel",
            "lime": "none",
            "retention": [{"theta_r": 0.02, "theta_s": 0.36, "alpha": 1.116, "n": 2.7, "ks": 86400.0}],
        },
        "bark": {
            "title": "bark",
            "lime": "none",
            "retention": {"holds_at": {"10": [0.3, 0.4], "50": [0.2, 0.3]}, "porosity": [0.8, 0.85]},
        },
        "moss": {"title": "moss", "lime": "none", "retention": {"not_predicted": "nobody measured it"}},
    },
}

PLAN: dict[str, Any] = {
    "plan": "enclosure",
    "title": "made-up case",
    "horizon": {"for": "indefinitely"},
    "latitude": 50,
    "room": {
        "temperature_day": {"usual": [20, 22], "peak": 26},
        "temperature_night": {"usual": [16, 18], "lowest": 14},
        "humidity": [40, 50],
    },
    "case": {
        "vessel": {"openings": "vented", "inside_cm": [80, 40, 45], "wall": "glass"},
        "year": {"kind": "none"},
        "surfaces": "damp",
        "air_movement": "gentle",
        "sun_on_glass": "none",
    },
    "lamps": [
        {
            "id": "panel",
            "kind": "white",
            "watts": 50,
            "lumens": 5000,
            "hours": 12,
            "mounted": "outside",
            "size_cm": [60, 20],
            "over_cm": [40, 20],
            "height": 46,
        }
    ],
    "water_units": [
        {
            "id": "tray",
            "level": 4,
            "supply": {"conductivity": 20, "alkalinity": 5},
            "litres": 8,
            "reservoir": 2,
            "adds": 10,
        }
    ],
    "places": [
        {
            "id": "bed",
            "water": "tray",
            "crown_height": 16,
            "at_cm": [40, 20],
            "size_cm": [70, 35],
            "medium": {"layers": [{"cm": 4, "material": "sand"}, {"cm": 12, "mix": {"peat": 2, "sand": 1}}]},
        }
    ],
    "plants": [{"id": "one", "taxon": "Drosera capensis", "place": "bed"}],
}


@pytest.fixture
def tables() -> Tables:
    return Tables(**copy.deepcopy(TABLES))


@pytest.fixture
def data() -> dict[str, Any]:
    return copy.deepcopy(PLAN)
