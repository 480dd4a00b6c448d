"""What one plant asks on one axis: its claims as tolerated and survived ends with their origin.

A demand's ends are intervals. An end that no level states is bracketed by the levels that do (what a plant tolerates
lies between what it prefers and what it survives); if none does, the hull of its group stands in; else it is unknown.
Of a plant known by name only, every end is the hull of its group; temperatures follow from native heights where known.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from bogwright.physics.light import daily_light_integral, photon_flux
from bogwright.sharing.axes import INFINITE, Axis
from bogwright.sharing.inference import FIGURES, Inference, Interval

if TYPE_CHECKING:
    from bogwright.knowledge.claims import BandClaim
    from bogwright.knowledge.profiles import Profile, Rest

Ends = dict[str, "tuple[Interval | None, Origin | None]"]
UNKNOWN: Interval = (-INFINITE, INFINITE)
# a source that gives lux or PPFD without hours speaks of the usual lamp day of a growing season
USUAL_HOURS: Interval = (12.0, 16.0)


@dataclass(frozen=True, slots=True)
class Origin:
    """Where an end comes from: basis, and the claim's own file and line; ``method`` when it was derived."""

    basis: str
    file: str = ""
    line: int = 0
    sources: tuple[str, ...] = ()
    method: str = ""


@dataclass(frozen=True, slots=True)
class Demand:
    """What one plant asks on one axis in one phase:

    tolerated ends and survived ends, each an interval or None (no demand).
    """

    low: Interval | None
    high: Interval | None
    outside_low: str
    outside_high: str
    survives_low: Interval | None = None
    survives_high: Interval | None = None
    prefers_low: float | None = None
    prefers_high: float | None = None
    low_origin: Origin | None = None
    high_origin: Origin | None = None

    @property
    def unknown(self) -> bool:
        return UNKNOWN in (self.low, self.high)

    @property
    def half_known(self) -> bool:
        """One end is known, or asks nothing, and the other is unknown."""
        return (self.low == UNKNOWN) != (self.high == UNKNOWN)


def floats(profile: Profile) -> bool:
    """Whether the plant floats in open water, so that it has no medium and no water table."""
    return word(profile.claim("habit.growth_form")) == "floating"


def word(claim: Any) -> str:
    """The word of a claim, ``?`` where there is none, it is unknown or disputed."""
    value = getattr(claim, "value", None)
    return value if isinstance(value, str) else "?"


def claim_in(profile: Profile, rest: Rest | None, path: str) -> Any:
    return profile.claim(path) if rest is None else rest.claim(path)


def demand_of(profile: Profile, rest: Rest | None, axis: Axis, known: Inference) -> Demand | None:
    """What a plant asks on one axis, in growth or in a rest; None where it asks nothing there."""
    if axis.coupling is not None and axis.coupling.kind == "falling-steps":
        return None
    if floats(profile) and axis.id == "table_below_crown":
        return None
    claim: BandClaim | None = claim_in(profile, rest, axis.claim)
    ends = _ends(profile, rest, axis, claim, known)
    if rest is None and profile.outline:
        _spread(ends, profile, axis, known)
    asked_nothing = claim is None and not ends
    if asked_nothing and axis.free >= {"low", "high"}:
        return None
    settled = {side: _tolerated(ends, side, axis, profile, known) for side in ("low", "high")}
    if rest is None and axis.id in FIGURES:
        settled |= _native(ends, settled, axis, profile, claim, known)
    under_ice = floats(profile) and rest is not None and axis.claim.startswith("air.temperature")
    if under_ice:
        settled["low"] = (None, None)  # a winter bud lies under water that stays above freezing, whatever the air does
    if settled["low"][0] is None and settled["high"][0] is None:
        return None
    low_word, high_word = (claim.outside_low, claim.outside_high) if claim is not None else (None, None)
    prefers_low, prefers_high = ends.get("prefers.low"), ends.get("prefers.high")
    return Demand(
        low=settled["low"][0],
        high=settled["high"][0],
        outside_low=low_word.value if low_word else axis.outside,
        outside_high=high_word.value if high_word else axis.outside,
        survives_low=ends["survives.low"][0] if "survives.low" in ends and not under_ice else None,
        survives_high=ends["survives.high"][0] if "survives.high" in ends else None,
        # what it surely prefers: of several readings or relatives the strictest
        prefers_low=prefers_low[0][1] if prefers_low and prefers_low[0] else None,
        prefers_high=prefers_high[0][0] if prefers_high and prefers_high[0] else None,
        low_origin=settled["low"][1],
        high_origin=settled["high"][1],
    )


def _ends(profile: Profile, rest: Rest | None, axis: Axis, claim: BandClaim | None, known: Inference) -> Ends:
    """The ends that somebody in the plant's line states, or that follow from stated light."""
    light = _light_levels(profile, rest, known.lamps) if axis.id == "dli" else {}
    ends: Ends = {}
    for side in ("low", "high"):
        for level in ("prefers", "tolerates", "survives"):
            stated = _stated(claim, level, side)
            if stated is not None:
                ends[f"{level}.{side}"] = stated
            elif f"{level}.{side}" in light:
                ends[f"{level}.{side}"] = light[f"{level}.{side}"]
    return ends


def _spread(ends: Ends, profile: Profile, axis: Axis, known: Inference) -> None:
    """Of a plant known by name only: each end as wide as among the profiled members of its group.

    Where the strictest members want things that exclude one another no plant is like that: the group's own end holds.
    """
    method = f"range of the profiled members of {known.title_of(profile)}"
    spread: Ends = {}
    for level in ("prefers", "tolerates", "survives"):
        for side in ("low", "high"):
            span = known.of_group(profile, axis.claim, level, side)
            if span is not None:
                spread[f"{level}.{side}"] = (span, Origin("derived", method=method))
        low, high = (spread.get(f"{level}.{side}", (None, None))[0] for side in ("low", "high"))
        if low is not None and high is not None and low[1] > high[0]:
            for side, span in (("low", low), ("high", high)):
                own = ends.get(f"{level}.{side}", (None, None))[0]
                if own is not None:
                    tight = (span[0], own[1]) if side == "low" else (own[0], span[1])
                    spread[f"{level}.{side}"] = ((min(tight), max(tight)), Origin("derived", method=method))
    ends.update(spread)


def _native(ends: Ends, settled: Ends, axis: Axis, profile: Profile, claim: BandClaim | None, known: Inference) -> Ends:
    """Ends that follow from the heights where the plant grows wild, unless it states them itself.

    Figure and heights bracket the same end: where both agree, the narrower holds. Where they exclude each other the
    plant is not like its group, and the group's end is moved as far as the heights demand and no farther. What the
    plant itself prefers or survives holds the end apart.
    """
    found: Ends = {}
    for side in ("low", "high"):
        native = known.of_height(profile, axis.id, side)
        held = settled[side][0]
        if native is None or held is None or (claim is not None and _own(claim, "tolerates", side)):
            continue
        low, high = (min(max(end, native.span[0]), native.span[1]) for end in held)
        for level in ("prefers", "survives"):
            bound = claim.value(level, side) if claim is not None and _own(claim, level, side) else None
            if bound is not None:
                hold = min if (level == "prefers") == (side == "low") else max
                low, high = hold(low, bound), hold(high, bound)
        if (low, high) != held:
            _fitted(ends, claim, side, low, high)
            found[side] = ((low, high), Origin("derived", native.file, native.line, native.sources, native.method))
    return found


def _fitted(ends: Ends, claim: BandClaim | None, side: str, low: float, high: float) -> None:
    """Leaves out what the group prefers or survives where it would lie on the wrong side of a new end."""
    for level in ("prefers", "survives"):
        found = ends.get(f"{level}.{side}", (None, None))[0]
        if found is not None and not (claim is not None and _own(claim, level, side)):
            above = (level == "prefers") == (side == "low")
            if (found[0] < low) if above else (found[1] > high):
                del ends[f"{level}.{side}"]


def _own(claim: BandClaim, level: str, side: str) -> bool:
    """Whether the plant itself states this end, or has sources that disagree on it."""
    end = claim.end(level, side)
    return bool(claim.readings) or (end is not None and not end.inherited)


def _stated(claim: BandClaim | None, level: str, side: str) -> tuple[Interval, Origin] | None:
    """One stated end; where readings differ, the span of all of them."""
    if claim is None:
        return None
    end = claim.end(level, side)
    if end is not None:
        return (end.value, end.value), Origin(
            end.basis, end.origin.file, end.origin.line, tuple(s.id for s in end.sources)
        )
    values = [reading.claim.value(level, side) for reading in claim.readings]
    known = [value for value in values if value is not None]
    if not known or claim.origin is None:
        return None
    low, high = min(known), max(known)
    if len(known) < len(values):  # a reading that states no end asks nothing there
        low, high = (-INFINITE, high) if side == "low" else (low, INFINITE)
    return (low, high), Origin("disputed", claim.origin.file, claim.origin.line)


def _tolerated(
    ends: Mapping[str, tuple[Interval | None, Origin | None]],
    side: str,
    axis: Axis,
    profile: Profile,
    known: Inference,
) -> tuple[Interval | None, Origin | None]:
    stated = ends.get(f"tolerates.{side}")
    if stated is not None:
        return stated
    inner, outer = ends.get(f"prefers.{side}"), ends.get(f"survives.{side}")
    if side in axis.free:
        return None, None
    if inner is None and outer is None:
        span = known.of_group(profile, axis.claim, "tolerates", side)
        return (span, Origin("derived", method="range of its group")) if span is not None else (UNKNOWN, None)
    nearest = inner or outer
    assert nearest is not None and nearest[0] is not None
    within = Origin("derived", *_place(nearest[1]), method="between what it prefers and what it survives")
    a = outer[0][0] if outer and outer[0] else -INFINITE
    b = inner[0][1] if inner and inner[0] else INFINITE
    if side == "high":
        a, b = (inner[0][0] if inner and inner[0] else -INFINITE), (outer[0][1] if outer and outer[0] else INFINITE)
    return (min(a, b), max(a, b)), within


def _place(origin: Origin | None) -> tuple[str, int]:
    return (origin.file, origin.line) if origin is not None else ("", 0)


def _light_levels(profile: Profile, rest: Rest | None, lamps: Mapping[str, Any]) -> dict[str, tuple[Interval, Origin]]:
    """Light a day derived from stated PPFD or illuminance, hours and lamp."""
    found: dict[str, tuple[Interval, Origin]] = {}
    for path, method in (("light.ppfd", "PPFD and hours"), ("light.illuminance", "illuminance, lamp and hours")):
        claim: BandClaim | None = claim_in(profile, rest, path)
        if claim is None:
            continue
        for level in ("prefers", "tolerates", "survives"):
            for side in ("low", "high"):
                end = claim.end(level, side)
                if end is None or f"{level}.{side}" in found:
                    continue
                hours = _span(end.hours) if end.hours is not None else USUAL_HOURS
                flux = (end.value, end.value)
                if path == "light.illuminance":
                    lamp = lamps.get(end.lamp or "unknown", lamps["unknown"])
                    if "lux_per_ppfd" not in lamp:
                        continue
                    constant = _span(lamp["lux_per_ppfd"])
                    flux = (photon_flux(end.value, constant[1]), photon_flux(end.value, constant[0]))
                span = (daily_light_integral(flux[0], hours[0]), daily_light_integral(flux[1], hours[1]))
                found[f"{level}.{side}"] = (
                    span,
                    Origin("derived", end.origin.file, end.origin.line, tuple(s.id for s in end.sources), method),
                )
    return found


def _span(value: float | Sequence[float]) -> Interval:
    return (float(value[0]), float(value[1])) if isinstance(value, Sequence) else (float(value), float(value))
