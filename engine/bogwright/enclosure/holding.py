"""Air in a mix of materials and what it conducts at a suction, as intervals over the figures known of each material."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cache, partial
from typing import Any

from bogwright.enclosure.plan import Interval, span
from bogwright.physics.substrate import (
    Material,
    Retention,
    Tabled,
    by_classes,
    conductivity,
    exponential_through,
    water_content,
)

Curve = Callable[[float], Interval]


@dataclass(frozen=True)
class Holding:
    """A layer's air [m³/m³] and its conductivity [cm/d] by suction [cm].

    conducts is None where no figure of any of its materials is known; silent: materials whose water nobody measured.
    """

    air: Curve
    conducts: Curve | None
    silent: tuple[str, ...] = ()


def holding(parts: tuple[tuple[str, float], ...], materials: Mapping[str, Any]) -> Holding:
    """What a layer of these materials and shares by volume holds.

    The air of a mix is the shares' sum: fine grains that fill the pores of coarse ones make it hold less than that. A
    mix conducts at least as its known parts side by side, each grain of the others in the way, and at most as its best
    part.
    """
    known = [(_material(name, materials), share) for name, share in parts]
    silent = tuple(materials[name]["title"] for name, _ in parts if _sets(materials[name]) == ())

    @cache
    def air(suction: float) -> Interval:
        spans = [(curve(suction), share) for (curve, _), share in known]
        return (sum(s[0] * f for s, f in spans), sum(s[1] * f for s, f in spans))

    carrying = [(passes, share) for (_, passes), share in known if passes is not None]
    if not carrying:
        return Holding(air, None, silent)
    whole = sum(share for _, share in carrying)

    @cache
    def conducts(suction: float) -> Interval:
        spans = [(curve(suction), share) for curve, share in carrying]
        return (whole * sum(s[0] * f for s, f in spans), max(s[1] for s, _ in spans))

    return Holding(air, conducts, silent)


def _material(name: str, materials: Mapping[str, Any]) -> tuple[Curve, Curve | None]:
    """Air and conductivity of one material; nothing known of it lets it hold anything between none and all."""
    given = materials[name]
    sets = _sets(given)
    if not sets:
        return (lambda _: (0.0, 1.0)), None

    def air(suction: float) -> Interval:
        spans = [(s.pore_space - held[1], s.pore_space - held[0]) for s in sets for held in [_held(s, suction)]]
        return (min(s[0] for s in spans), max(s[1] for s in spans))

    conducting = _conductivities(given, sets)

    def conducts(suction: float) -> Interval:
        found = [float(passes(suction)) for passes in conducting]
        return (min(found), max(found))

    return air, conducts if conducting else None


def _held(one: Material, suction: float) -> Interval:
    """Water content; beyond the last suction a material was measured at, anything from none to what it held there."""
    if isinstance(one, Tabled) and suction > one.points[-1][0]:
        return (0.0, one.points[-1][1])
    held = float(water_content(one, suction))
    return (held, held)


def _conductivities(given: Mapping[str, Any], sets: Sequence[Material]) -> list[Callable[[float], float]]:
    """As measured at two suctions, least and greatest, else of the fitted sets that carry one."""
    measured = given.get("conductivity")
    if measured is None:
        return [partial(conductivity, s) for s in sets if s.ks is not None]
    points = sorted((float(suction), span(at)) for suction, at in measured["at"].items())
    (_, first), (suction, last) = points[0], points[-1]
    return [exponential_through(first[end], suction, last[end]) for end in (0, 1)]


def _sets(material: Mapping[str, Any]) -> tuple[Material, ...]:
    """The fitted sets of a material, or its class values; empty where nobody measured it."""
    given = material.get("retention", ())
    if isinstance(given, Mapping):
        if "holds_at" not in given:
            return ()
        points = {float(suction): tuple(at) for suction, at in given["holds_at"].items()}
        return by_classes(tuple(given["porosity"]), points)
    return tuple(
        Retention(s["theta_r"], s["theta_s"], s["alpha"], s["n"], s.get("ks"), s.get("l", 0.5), s.get("porosity"))
        for s in given
    )
