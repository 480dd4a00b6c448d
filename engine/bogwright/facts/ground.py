"""Rows about what a plant stands in: medium, roots and live moss in its place, or the open water it floats in."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from bogwright.enclosure.moisture import MOISTURE, levels
from bogwright.enclosure.plan import Plan
from bogwright.facts.placed import PlacedPlant
from bogwright.facts.rows import NO_DEMAND, Row, level_of, over, row, span_of, under, word_of
from bogwright.knowledge.profiles import Profile
from bogwright.rules.meaning import LIMIT, UNBOUNDED, Interval

NEEDS_AIR = 15.0  # % of air-filled pores from which a plant's roots are said to need air


def emersed(profile: Profile) -> str:
    """Whether a water plant also lives on ground that stays wet: ``lives``, ``dies`` or ``?``."""
    stood = profile.value("water.moisture")
    return "?" if not stood else "lives" if "wet" in stood else "dies"


def pool_row(plant: PlacedPlant) -> Row:
    """An aquatic against its open water, month by month at its worst."""
    profile, pool = plant.needs.profile, plant.unit.given.get("open_water")
    nutrients = known(pool.get("nutrients")) if pool else "?"
    stood = profile.value("water.nutrients") or ()

    def beyond(key: str, path: str, side: str) -> Interval:
        limit = level_of(profile, path, "tolerates", side)
        if limit is None:
            return NO_DEMAND
        spans = [(over if side == "high" else under)(v, limit) for v in plant.unit.year("open_water", key)]
        return (max(s[0] for s in spans), max(s[1] for s in spans))

    return row(
        "plant.pool",
        plant.id,
        **plant.words,
        ph_over=beyond("ph", "water.water_ph", "high"),
        ph_under=beyond("ph", "water.water_ph", "low"),
        co2_short=beyond("co2", "water.co2", "low"),
        depth_short=beyond("depth", "water.water_depth", "low"),
        depth_over=beyond("depth", "water.water_depth", "high"),
        warm_over=beyond("temperature", "water.water_temperature", "high"),
        cold_under=beyond("temperature", "water.water_temperature", "low"),
        nutrients=nutrients,
        nutrients_fit="?" if nutrients == "?" or not stood else "fits" if nutrients in stood else "unfit",
        algae="?" if not pool or "algae" not in pool else "seen" if pool["algae"] else "clear",
        pool="open-water" if pool else "none",
        emersed=emersed(profile),
    )


def roots_row(plan: Plan, plant: PlacedPlant) -> Row:
    profile, place = plant.needs.profile, plant.place
    medium: dict[str, Any] = place.given.get("medium", {})
    wet = [m.moisture for m in plant.months]
    depth, renew = medium.get("depth"), medium.get("renew_every")
    life = span_of(profile, "medium.life")
    roots = [m.root_temperature for m in plant.months]
    warmest, coldest = (
        (max(r[0] for r in roots), max(r[1] for r in roots)),
        (min(r[0] for r in roots), min(r[1] for r in roots)),
    )
    need = level_of(profile, "medium.air_filled_porosity", "tolerates", "low")
    porosity = place.year("medium", "air_filled_porosity")
    ph = place.year("medium", "ph")[0]
    root_claim = profile.band("medium.root_temperature")
    hot_roots = root_claim.outside_high if root_claim is not None else None
    return row(
        "place.roots",
        plant.id,
        **plant.words,
        place=place.id,
        genus=profile.entry.genus,
        air_short=under(least(porosity), need),
        airy_roots="?" if need is None else "needs-air" if need[0] >= NEEDS_AIR else "stands-wet",
        exchange={"yes": "exchanged", "no": "stagnant"}.get(plant.unit.exchanged, "?"),
        wettest=_wettest(wet),
        depth_short=UNBOUNDED
        if depth is None
        else under((depth, depth), _floor(span_of(profile, "medium.root_depth"))),
        root_over=over(warmest, level_of(profile, "medium.root_temperature", "tolerates", "high")),
        root_under=under(coldest, level_of(profile, "medium.root_temperature", "tolerates", "low")),
        root_means=hot_roots.value if hot_roots else "?",
        live_moss="?"
        if not place.components
        else "live-moss"
        if "live-sphagnum" in place.components
        else "no-live-moss",
        live_moss_effect=word_of(profile, "medium.live_sphagnum"),
        renew_over=UNBOUNDED if renew is None else over((renew, renew), _ceiling(life)),
        renew_every=UNBOUNDED if renew is None else (float(renew),) * 2,
        root_sensitivity=word_of(profile, "roots.sensitivity"),
        potted={"yes": "potted", "no": "planted"}.get(plant.entry.potted, "?"),
        ph_over=over(ph, level_of(profile, "medium.ph", "tolerates", "high")),
        ph_under=under(ph, level_of(profile, "medium.ph", "tolerates", "low")),
    )


def _wettest(words: Sequence[str]) -> str:
    """The wettest class of the year; unknown where a month may be wetter than the others certainly are."""
    if "?" in words:
        return "?"
    spans = [levels(word) for word in words]
    least, most = max(low for low, _ in spans), max(high for _, high in spans)
    return MOISTURE[most] if least == most else "?"


def _floor(span: Interval) -> Interval | None:
    """The least depth a range asks for; none where it states no lower end."""
    return None if span[0] <= -LIMIT else (span[0], span[0])


def _ceiling(span: Interval) -> Interval:
    return UNBOUNDED if span[1] >= LIMIT else (span[1], span[1])


def known(word: str | None) -> str:
    """A word of the plan, ``?`` where it is missing or unknown."""
    return "?" if word in (None, "unknown") else str(word)


def least(year: tuple[Interval, ...]) -> Interval:
    """The lowest of twelve intervals, end by end."""
    return (min(v[0] for v in year), min(v[1] for v in year))
