"""Functions of numbers that also take numpy arrays, so that one text of a formula serves a judgement and a table.

numpy is imported only where an array is given: a judgement works on plain numbers and need not pay for it.
"""

from __future__ import annotations

import math
from typing import Any

Number = Any  # float, or a numpy array of floats


# looked up by class, since these functions run a hundred thousand times in a judgement
_PLAIN: frozenset[Any] = frozenset({int, float, bool})


def _numpy() -> Any:
    import numpy  # type: ignore[import-not-found, unused-ignore]

    return numpy


def exp(x: Number) -> Number:
    return math.exp(x) if x.__class__ in _PLAIN else _numpy().exp(x)


def log(x: Number) -> Number:
    """Natural logarithm; minus infinity at 0."""
    if x.__class__ in _PLAIN:
        return math.log(x) if x > 0 else (-math.inf if x == 0 else math.nan)
    numpy = _numpy()
    with numpy.errstate(divide="ignore", invalid="ignore"):
        return numpy.log(x)


def sqrt(x: Number) -> Number:
    return math.sqrt(x) if x.__class__ in _PLAIN else _numpy().sqrt(x)


def sin(x: Number) -> Number:
    return math.sin(x) if x.__class__ in _PLAIN else _numpy().sin(x)


def cos(x: Number) -> Number:
    return math.cos(x) if x.__class__ in _PLAIN else _numpy().cos(x)


def tan(x: Number) -> Number:
    return math.tan(x) if x.__class__ in _PLAIN else _numpy().tan(x)


def arctan(x: Number) -> Number:
    return math.atan(x) if x.__class__ in _PLAIN else _numpy().arctan(x)


def arccos(x: Number) -> Number:
    return math.acos(x) if x.__class__ in _PLAIN else _numpy().arccos(x)


def minimum(a: Number, b: Number) -> Number:
    """The smaller, element by element; NaN where either is NaN."""
    if a.__class__ in _PLAIN and b.__class__ in _PLAIN:
        return math.nan if a != a or b != b else min(a, b)
    return _numpy().minimum(a, b)


def maximum(a: Number, b: Number) -> Number:
    """The greater, element by element; NaN where either is NaN."""
    if a.__class__ in _PLAIN and b.__class__ in _PLAIN:
        return math.nan if a != a or b != b else max(a, b)
    return _numpy().maximum(a, b)


def where(condition: Any, yes: Number, no: Number) -> Number:
    """``yes`` where the condition holds, else ``no``; both are worked out."""
    if isinstance(condition, bool):
        return yes if condition else no
    return _numpy().where(condition, yes, no)
