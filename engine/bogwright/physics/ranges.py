"""The range in which a formula holds: values beyond it are refused, never extrapolated."""

from __future__ import annotations

from bogwright.physics.elementwise import Number


class OutOfRange(ValueError):
    """A value beyond the range in which a formula was shown to hold."""


def within(value: Number, low: float, high: float, what: str, unit: str = "") -> None:
    """Raise OutOfRange where any value lies outside low…high; NaN passes, it is unknown.

    what, unit: for the sentence, such as "temperature" and "°C".
    """
    below, above = value < low, value > high
    beyond = below | above if not isinstance(below, bool) else below or above
    if beyond if isinstance(beyond, bool) else beyond.any():
        shown = f"{value:g}" if isinstance(value, int | float) else "given"
        limits = f"{low:g} to {high:g} {unit}".rstrip()
        raise OutOfRange(f"{what} {shown} {unit}".rstrip() + f" is outside {limits}, where the formula holds")
