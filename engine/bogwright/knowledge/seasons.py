"""Find the months in a source's own words and hold them against the season of a claim."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from typing import Any

# In square brackets behind the source's words: the half of the world it speaks of, by the month of its midwinter.
HALVES = {"[north]": 12, "[south]": 6}
_FULL = "january february march april may june july august september october november december".split()  # noqa: SIM905
_MONTH = re.compile(rf"\b(?:{'|'.join(f'{name[:3]}(?:{name[3:]})?' for name in _FULL)}|sept)\b", re.IGNORECASE)
_SHORT = [name[:3] for name in _FULL]


def without_half(texts: Iterable[str]) -> list[str]:
    """The texts that do not say of which half of the world they speak."""
    return [text for text in texts if not any(half in text for half in HALVES)]


def months_named(texts: Iterable[str]) -> set[int]:
    """Months named in English, counted from the local midwinter of the half that each text is marked with."""
    found = set()
    for text in texts:
        for half, midwinter in HALVES.items():
            if half in text:
                months = (_SHORT.index(name[:3].lower()) + 1 for name in _MONTH.findall(text))
                found |= {(month - midwinter) % 12 for month in months}
    return found


def strays(value: Mapping[str, Any], texts: Iterable[str]) -> list[str]:
    """Ends of a season, ``from`` or ``to``, that are none of the months its sources name; empty if they name none."""
    named = months_named(texts)
    return [end for end in ("from", "to") if named and value.get(end) not in named]
