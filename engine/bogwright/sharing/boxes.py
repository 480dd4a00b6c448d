"""Demands as the solver's boxes, at the strictness asked for; regimes as boxes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from typing import Any

from bogwright.sharing.axes import INFINITE, Axes, Axis
from bogwright.sharing.demands import Demand
from bogwright.sharing.groups import Regime
from bogwright.sharing.months import by_month
from bogwright.sharing.windows import Box, Frame, Steps

SOFT = frozenset({"slow", "cosmetic"})


@dataclass(frozen=True, slots=True)
class Strictness:
    """How hard to press:

    ``error`` share of the control error, ``soft`` ends too, ``certain`` takes the hardest reading.
    """

    error: float = 1.0
    soft: bool = True
    certain: bool = True

    @property
    def at_best(self) -> Strictness:
        """The same with every figure in doubt taken the plants' way."""
        return replace(self, certain=False)


LEVELS = ("full", "half", "slow", "none")
LADDER = {"full": Strictness(1.0, True), "half": Strictness(0.5, True), "slow": Strictness(1.0, False)}


def compile_box(
    demands: Mapping[str, Demand], steps: Steps | None, dark_ok: bool, axes: Axes, frame: Frame, strictness: Strictness
) -> Box:
    """Demands of one phase as bounds on the case, shrunk by the control error; unknown ends do not bind."""
    lows, highs = list(frame.open_box.lows), list(frame.open_box.highs)
    for n, key in enumerate(frame.order):
        demand = demands.get(key)
        if demand is None:
            continue
        error = control_error(axes, axes[key]) * strictness.error
        low, high = _pick(demand, strictness)
        if low is not None:
            lows[n] = max(lows[n], low + error)
        if high is not None:
            highs[n] = min(highs[n], high - error)
    for axis in axes.coupled("product"):
        if dark_ok or axis.id not in demands:
            continue
        _bound_hours(demands, axis, axes, frame, strictness, lows, highs)
    return Box(tuple(lows), tuple(highs), (steps,) if steps else ())


def _bound_hours(
    demands: Mapping[str, Demand],
    axis: Axis,
    axes: Axes,
    frame: Frame,
    strictness: Strictness,
    lows: list[float],
    highs: list[float],
) -> None:
    """Light a day = level x hours x factor:

    with the level anywhere a place can have it, the hours are bounded from both sides.
    """
    assert axis.coupling is not None
    level, hours = axes[axis.coupling.left], axes[axis.coupling.right]
    n = frame.order.index(hours.id)
    off = 1 + level.relative_error * strictness.error
    weakest, strongest = level.settable
    own = demands.get(level.id)
    if own is not None:
        low, high = _pick(own, strictness)
        weakest = max(weakest, low * off) if low is not None else weakest
        strongest = min(strongest, high / off) if high is not None else strongest
    low, high = _pick(demands[axis.id], strictness)
    off *= 1 + hours.relative_error * strictness.error
    if low is not None and low > 0:
        lows[n] = max(lows[n], low * off / (strongest * axis.coupling.factor))
    if high is not None:
        highs[n] = min(highs[n], high / off / (weakest * axis.coupling.factor))
    too_narrow = low is not None and high is not None and low * off > high / off
    if weakest > strongest or too_narrow:
        lows[n], highs[n] = hours.settable[1], hours.settable[0]


def control_error(axes: Axes, axis: Axis) -> float:
    """Half-width of what a grower can hold on an axis; a difference carries the errors of both its settings."""
    if axis.coupling is not None and axis.coupling.kind == "difference":
        return axes[axis.coupling.left].control_error + axes[axis.coupling.right].control_error
    return axis.control_error


def _pick(demand: Demand, strictness: Strictness) -> tuple[float | None, float | None]:
    low = high = None
    if demand.low is not None and (strictness.soft or demand.outside_low not in SOFT):
        value = demand.low[1] if strictness.certain else demand.low[0]
        low = value if abs(value) < INFINITE else None
    if demand.high is not None and (strictness.soft or demand.outside_high not in SOFT):
        value = demand.high[0] if strictness.certain else demand.high[1]
        high = value if abs(value) < INFINITE else None
    return low, high


def regime_of(key: str, given: Mapping[str, Any], frame: Frame) -> Regime:
    """A regime of ``kb/regimes.yaml`` as twelve boxes. Its bounds are where the set point may lie: no control error."""
    boxes = []
    for month in range(12):
        lows, highs = list(frame.open_box.lows), list(frame.open_box.highs)
        for n, axis in enumerate(frame.order):
            if axis in given:
                low, high = by_month(given[axis], month)
                lows[n], highs[n] = max(lows[n], low), min(highs[n], high)
        boxes.append(Box(tuple(lows), tuple(highs)))
    return Regime(key, given["title"], given["effort"], tuple(boxes))
