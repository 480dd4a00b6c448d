"""Why a group cannot be served: for each regime a smallest conflict, and where its closest years clash."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from bogwright.sharing.groups import Candidate, Regime, best_fit, conflict, open_options
from bogwright.sharing.windows import Clash, Frame


@dataclass(frozen=True, slots=True)
class RegimeClash:
    """Why one regime cannot serve the group: the plants of a smallest conflict, and where their closest years clash."""

    regime: str
    title: str
    plants: tuple[str, ...]
    month: int
    clash: Clash


def find_clashes(
    plants: Sequence[Candidate], regimes: Sequence[Regime], frame: Frame, error: float
) -> tuple[RegimeClash, ...]:
    """One smallest conflict of every regime, given that no regime serves all ``plants``."""
    by_id = {c.id: c for c in plants}
    found = []
    for regime in regimes:
        ids = conflict(list(by_id), _server(by_id, regime, frame, error))
        month, clash = _nearest([by_id[i] for i in ids], regime, frame, error)
        found.append(RegimeClash(regime.id, regime.title, ids, month, clash))
    return tuple(found)


def _server(by_id: dict[str, Candidate], regime: Regime, frame: Frame, error: float) -> Callable[[Sequence[str]], bool]:
    def serves(ids: Sequence[str]) -> bool:
        return not ids or best_fit([by_id[i] for i in ids], [regime], frame, error).fit is not None

    return serves


def _nearest(group: Sequence[Candidate], regime: Regime, frame: Frame, error: float) -> tuple[int, Clash]:
    """The worst axis of the worst month, with each plant in its easiest year that the regime could serve alone."""
    best: tuple[int, Clash] | None = None
    years = []
    for candidate in group:
        alone = open_options(candidate, regime, frame, error)
        years.append(alone[0] if alone else _closest(candidate, regime, frame, error))
    for month in range(12):
        parts = [(c.id, box) for c, k in zip(group, years, strict=True) if (box := c.boxes[k][month]) is not None]
        for clash in frame.clashes([*parts, (f"regime {regime.id}", regime.boxes[month])], error):
            if best is None or clash.gap > best[1].gap:
                best = (month, clash)
    # years that each fit alone may clash only in combination: then no single axis is to blame
    return best if best is not None else (0, Clash("year", tuple(sorted(c.id for c in group)), 0.0))


def _closest(candidate: Candidate, regime: Regime, frame: Frame, error: float) -> int:
    """The year with the smallest worst gap against the regime alone."""

    def gap(k: int) -> float:
        pairs = zip(regime.boxes, candidate.boxes[k], strict=True)
        gaps = [c.gap for r, box in pairs if box is not None for c in frame.clashes([("r", r), ("p", box)], error)]
        return max(gaps, default=0.0)

    return min(range(len(candidate.years)), key=gap)
