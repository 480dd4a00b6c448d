"""The same function for numbers and for columns of them."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import numpy as np


def agrees_on_arrays(function: Callable[..., Any], *columns: Any) -> None:
    """Element by element, the function of arrays is the function of numbers; NaN in the first column gives NaN out."""
    whole = np.asarray(function(*columns))
    rows = [function(*(float(v) for v in row)) for row in zip(*columns, strict=True)]
    np.testing.assert_allclose(whole, np.array(rows).T, rtol=1e-12, atol=1e-15)
    unknown = function(math.nan, *(float(c[0]) for c in columns[1:]))
    assert np.isnan(np.asarray(unknown)).all()
