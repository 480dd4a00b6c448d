"""What is told of an enclosure: each condition measured, predicted, or not predicted with what is wanted for it."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, field, replace

from bogwright.enclosure.inputs import Inputs, Missing
from bogwright.enclosure.plan import UNKNOWN, Year
from bogwright.physics.ranges import OutOfRange

NOTHING: Year = (UNKNOWN,) * 12


@dataclass(frozen=True, slots=True)
class Told:
    """One condition through the year, January to December.

    how: measured (stated by the plan), predicted, or unknown. rests_on: names of the inputs of a prediction.
    needs: what to state so that it can be predicted, or predicted at both ends. words: classes from - to by month, for
    moisture alone.
    """

    value: Year = NOTHING
    how: str = "unknown"
    rests_on: tuple[str, ...] = ()
    needs: tuple[str, ...] = ()
    words: tuple[tuple[str, str], ...] = ()


@dataclass
class Forecast:
    """Conditions of the case, of each water unit and of each place; the inputs they rest on."""

    inputs: Inputs
    case: dict[str, Told] = field(default_factory=dict)
    units: dict[str, dict[str, Told]] = field(default_factory=dict)
    places: dict[str, dict[str, Told]] = field(default_factory=dict)


def tell(inputs: Inputs, made: Callable[[], Year]) -> Told:
    """A prediction with the inputs it used, or what it lacks. Beyond a formula nothing is predicted either."""
    inputs.fresh()
    try:
        value = made()
    except Missing as missing:
        return Told(needs=missing.needs, rests_on=tuple(inputs.used))
    except OutOfRange as beyond:
        return Told(needs=(f"other figures: {beyond}",), rests_on=tuple(inputs.used))
    return Told(value, "predicted", tuple(inputs.used))


def resting(one: Told, *others: Told) -> Told:
    """A prediction made from others rests on what they rest on."""
    rests_on = dict.fromkeys((*one.rests_on, *(name for other in others for name in other.rests_on)))
    return replace(one, rests_on=tuple(rests_on))


def given(value: Year, made: Callable[[], Told]) -> Told:
    """A condition as the plan states it; months that it leaves out as they are foreseen."""
    whole = stated(value)
    if whole is not None:
        return whole
    told = made()
    if told.how == "unknown":
        return told
    return replace(told, value=tuple(t if v == UNKNOWN else v for v, t in zip(value, told.value, strict=True)))


def stated(value: Year) -> Told | None:
    """A condition that the plan itself states for every month; None where it leaves months out."""
    return Told(value, "measured") if all(v != UNKNOWN for v in value) else None
