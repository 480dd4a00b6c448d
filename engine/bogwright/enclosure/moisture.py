"""Classes of moisture, and the word for a condition that may be one of several."""

from __future__ import annotations

MOISTURE = ("dry", "barely-damp", "damp", "wet", "flooded")
TO = " to "  # between the wettest and the driest class a place may have


def spanned(wettest: str, driest: str) -> str:
    """The word for a place that may be anything between two classes."""
    return wettest if wettest == driest else f"{wettest}{TO}{driest}"


def levels(word: str) -> tuple[int, int]:
    """Driest and wettest class of a word, as places in MOISTURE."""
    wettest, _, driest = word.partition(TO)
    return MOISTURE.index(driest or wettest), MOISTURE.index(wettest)
