"""The tables of the knowledge base that a prediction reads."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from typing import Any

from bogwright.enclosure.forecast import Told
from bogwright.enclosure.holding import Holding, holding

Parts = tuple[tuple[str, float], ...]


@dataclass(frozen=True)
class Tables:
    """What is taken for granted, lamps and materials, as their files hold them; not to be changed once asked."""

    assumptions: Mapping[str, Any]
    lamps: Mapping[str, Any]
    materials: Mapping[str, Any]
    _held: dict[Parts, Holding] = field(default_factory=dict, repr=False)
    _airs: dict[str, dict[str, Told]] = field(default_factory=dict, repr=False)

    def holding(self, parts: Parts) -> Holding:
        """What a mix holds and conducts; kept, since its curves are asked for again and again."""
        if parts not in self._held:
            self._held[parts] = holding(parts, self.materials)
        return self._held[parts]

    def air(self, told_by: object, made: Callable[[], dict[str, Told]]) -> dict[str, Told]:
        """The air of a case; kept by what of the plan tells it, since most changes that are tried leave it as it is."""
        key = repr(told_by)
        if key not in self._airs:
            self._airs[key] = made()
        return self._airs[key]
