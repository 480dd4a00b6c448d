"""The axes of comparison, read from ``kb/axes.yaml``: units, who shares them, couplings, control error."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

INFINITE = 1e9


@dataclass(frozen=True, slots=True)
class Coupling:
    """How a result follows from two settings: ``difference``, ``falling-steps`` or ``product`` (times ``factor``)."""

    kind: str
    left: str
    right: str
    factor: float = 1.0


@dataclass(frozen=True, slots=True)
class Axis:
    """One axis. ``control_error`` is a half-width in the axis's unit, ``relative_error`` a half-width as a fraction."""

    id: str
    title: str
    unit: str
    claim: str
    shared_by: str
    control_error: float
    relative_error: float
    settable: tuple[float, float]
    free: frozenset[str]
    outside: str
    coupling: Coupling | None
    compare: Mapping[str, str]


@dataclass(frozen=True, slots=True)
class Axes:
    """All axes. ``settings`` are those of the case that a grower sets; ``results`` follow from two settings."""

    by_id: Mapping[str, Axis]
    moisture_order: tuple[str, ...]
    bed_span: int

    def __getitem__(self, axis: str) -> Axis:
        return self.by_id[axis]

    @property
    def case_settings(self) -> list[Axis]:
        return [a for a in self.by_id.values() if a.shared_by == "case" and a.coupling is None]

    def coupled(self, kind: str) -> list[Axis]:
        """Axes whose value follows from two settings by the named coupling."""
        return [a for a in self.by_id.values() if a.coupling is not None and a.coupling.kind == kind]


def read_axes(data: Mapping[str, Any]) -> Axes:
    """Build :class:`Axes` from the validated contents of ``kb/axes.yaml``."""
    found: dict[str, Axis] = {}
    for key, given in data["axes"].items():
        coupling = given.get("coupling")
        found[key] = Axis(
            id=key,
            title=given["title"],
            unit=given["unit"],
            claim=given["claim"],
            shared_by=given["shared_by"],
            control_error=float(given.get("control_error", 0.0)),
            relative_error=float(given.get("control_error_relative", 0.0)),
            settable=tuple(map(float, given.get("settable", (-INFINITE, INFINITE)))),  # type: ignore[arg-type]
            free=frozenset(given.get("free", ())),
            outside=given["outside"],
            coupling=Coupling(**coupling) if coupling else None,
            compare=given.get("compare", {}),
        )
    moisture = data["moisture"]
    return Axes(found, tuple(moisture["order"]), int(moisture["bed_span"]))
