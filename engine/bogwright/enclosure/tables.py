"""The tables of the knowledge base that a prediction reads."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

from bogwright.enclosure.holding import Holding, holding

Parts = tuple[tuple[str, float], ...]


@dataclass(frozen=True)
class Tables:
    """What is taken for granted, lamps and materials, as their files hold them."""

    assumptions: Mapping[str, Any]
    lamps: Mapping[str, Any]
    materials: Mapping[str, Any]
    _held: dict[Parts, Holding] = field(default_factory=dict, repr=False)

    def holding(self, parts: Parts) -> Holding:
        """What a mix holds and conducts; kept, since its curves are asked for again and again."""
        if parts not in self._held:
            self._held[parts] = holding(parts, self.materials)
        return self._held[parts]
