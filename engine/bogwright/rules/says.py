"""Sentences for the grower: templates filled from a row.

`{field}` gives the value, `{field:unit}` the value with its unit, as the fields file writes it: `{night_low:degC}`. The
parser holds the two equal, so filling needs nothing but the row.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from bogwright.rules.fields import UNKNOWN

SLOT = re.compile(r"\{([^{}]*)\}")
BEYOND = 1e9

READABLE = {
    "1": "",
    "degC": "°C",
    "mol m-2 d-1": "mol/m²/day",
    "umol m-2 s-1": "µmol/m²/s",
    "mg/L as CaCO3": "mg/L as CaCO₃",
    "cm/year": "cm a year",
    "W m-2": "W/m²",
    "mm2 s-1": "mm²/s",
    "1/h": "",  # the titles say that it is an hour's
}


def slots(template: str) -> list[tuple[str, str]]:
    """The (field, unit) pairs of a template, unit '' where none is written.

    Raises ValueError for a brace without its partner.
    """
    if re.search(r"[{}]", SLOT.sub("", template)):
        raise ValueError("a brace without its partner")
    parts = (slot.partition(":") for slot in SLOT.findall(template))
    return [(name.strip(), unit.strip()) for name, _, unit in parts]


def fill(template: str, row: Mapping[str, Any], names: Mapping[str, str] | None = None) -> str:
    """Template with every slot filled.

    row: field → (low, high), word or key; names: how to show a key or word, as it stands where missing.
    Raises KeyError for a field that the row does not have.
    """

    def one(match: re.Match[str]) -> str:
        name, _, unit = match.group(1).partition(":")
        value = row[name.strip()]
        if isinstance(value, str):
            return "unknown" if value == UNKNOWN else (names or {}).get(value, value)
        return interval(value[0], value[1], unit.strip())

    return SLOT.sub(one, template)


def interval(low: float, high: float, unit: str = "") -> str:
    """An interval in words: '12 °C', '12–14 °C', '−3 to 5 °C', 'at most 5 cm', 'unknown'."""
    if low <= -BEYOND and high >= BEYOND:
        return "unknown"
    if low <= -BEYOND:
        return f"at most {_with_unit(number(high), unit)}"
    if high >= BEYOND:
        return f"at least {_with_unit(number(low), unit)}"
    if low == high:
        return _with_unit(number(low), unit)
    dash = " to " if low < 0 or high < 0 else "–"
    return _with_unit(f"{number(low)}{dash}{number(high)}", unit)


def number(value: float) -> str:
    """A number to about three figures, without trailing zeros, with a true minus sign."""
    decimals = next((d for limit, d in ((100, 0), (10, 1), (1, 2)) if abs(value) >= limit), 3)
    text = f"{value:.{decimals}f}"
    text = text.rstrip("0").rstrip(".") if "." in text else text
    return "0" if text == "-0" else text.replace("-", "−")


def _with_unit(text: str, unit: str) -> str:
    if unit == "pH":
        return f"pH {text}"
    readable = READABLE.get(unit, unit)
    if text == "1" and readable in ("days", "weeks", "months", "years"):
        readable = readable[:-1]
    return f"{text} {readable}".rstrip()
