"""Which setting of the build to change and to what, solved on the model of the enclosure.

A finding says by how much a condition misses what a plant stands; a knob is something a grower can turn. The knob
is turned as little as the model needs for the condition to meet the plant.
"""

from __future__ import annotations

import copy
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass

from bogwright.enclosure.plan import read_plan
from bogwright.enclosure.predict import predict
from bogwright.enclosure.tables import Tables
from bogwright.judge.findings import GRAVE, Finding
from bogwright.judge.knobs import Data, Knob, knobs
from bogwright.judge.wants import MARGINS, ROUNDING, Want, wants
from bogwright.rules import Row, Rule

HALVINGS = 12


@dataclass(frozen=True, slots=True)
class Change:
    """A knob with the value that satisfies the plants."""

    knob: Knob
    value: float

    @property
    def words(self) -> str:
        return self.knob.words(self.value)

    def apply(self, data: Data) -> None:
        self.knob.set(data, self.value)


def treatable(finding: Finding, rules: Mapping[str, Rule]) -> bool:
    """Whether a finding weighs a condition that a setting of the build could move."""
    grave = GRAVE[finding.severity] >= GRAVE["condition"]
    return grave and not finding.disputed and any(leaf.field in MARGINS for leaf in rules[finding.rule].leaves)


def changes_for(
    finding: Finding, rows: Sequence[Row], rules: Mapping[str, Rule], data: Data, tables: Tables
) -> Iterator[Change]:
    """Single changes of the build that meet what a finding misses, least trouble first. Not judged yet.

    Each is solved as it is asked for, since the first mostly does.
    """
    plan = read_plan(data)
    forecast = predict(plan, tables)
    missed = list(wants(finding, rows, rules, plan, forecast))
    turned = [k for key, id in dict.fromkeys((w.key, w.id) for w in missed) for k in knobs(key, id, plan, forecast)]
    for knob in sorted(turned, key=lambda k: k.effort):
        value = _solve(knob, missed, data, tables)
        if value is not None:
            yield Change(knob, value)


def _solve(knob: Knob, wants: Sequence[Want], data: Data, tables: Tables) -> float | None:
    """The value nearest to where the knob stands that meets every want, rounded to its step; None if none does."""

    def met(value: float) -> bool:
        changed = copy.deepcopy(data)
        knob.set(changed, value)
        plan = read_plan(changed)
        forecast = predict(plan, tables)
        return all(want.met(plan, forecast) for want in wants)

    for end in knob.ends:
        turned = list(_turns(knob, end))
        # too far can be as wrong as too little, so the end itself need not do
        first = next((n for n, value in enumerate(turned) if met(value)), None)
        if first is None:
            continue
        near, far = turned[first - 1] if first else knob.start, turned[first]
        for _ in range(HALVINGS):
            middle = (near + far) / 2
            near, far = (near, middle) if met(middle) else (middle, far)
            if abs(far - near) < knob.step / 4:
                break
        steps = (far - knob.start) / knob.step
        rounded = knob.start + knob.step * (int(steps - ROUNDING) + 1 if steps > 0 else int(steps + ROUNDING) - 1)
        turns = (knob.start, *knob.ends)
        inside = min(max(rounded, min(turns)), max(turns))
        if met(inside):
            return round(inside, 4)
    return None


def _turns(knob: Knob, end: float) -> Iterator[float]:
    """Values on the way to an end, in growing strides."""
    away = 1.0 if end > knob.start else -1.0
    stride = knob.step
    while abs(end - knob.start) > stride + ROUNDING:
        yield knob.start + away * stride
        stride *= 1.6
    if abs(end - knob.start) >= knob.step - ROUNDING:
        yield end
