"""Checks of profiles after inheritance: bands inside one another, rests that fit their months and their plant."""

from __future__ import annotations

from collections.abc import Iterator
from itertools import pairwise

from . import inheritance
from .base import KnowledgeBase
from .claims import BandClaim, Claim, End, Origin, RangeClaim, ValueClaim
from .problems import Problem, shown_path
from .profiles import STAGES, Profile, Rest
from .units import DAYS_IN_MONTH

_INSIDE = (("prefers", "tolerates"), ("tolerates", "survives"), ("prefers", "survives"))
_COLD_KINDS = ("cold", "cool", "winter-bud")
_WEEKS_IN_MONTH = DAYS_IN_MONTH / 7
_HIGHEST_FIRST = ("ultra-highland", "highland", "intermediate", "lowland")
# Fields a complete profile resolves; of a tuple one is enough.
_COMPLETE = (
    ("identity.hemisphere", "identity.range"),
    ("air.temperature_day",),
    ("air.temperature_night",),
    ("air.humidity",),
    ("light.sun",),
    ("light.dli", "light.ppfd", "light.illuminance"),
    ("water.solids_supply",),
    ("habit.growth_form",),
    ("habit.height", "habit.width"),
    ("law.cites",),
    ("law.weedy",),
)
_LIVED = ("air.temperature_day", "air.temperature_night")
_ROOTED = (("water.moisture",), ("water.watering",), ("medium.components",), ("medium.ph",), ("roots.sensitivity",))
_CARNIVORE = (("feeding.hand_feeding",), ("feeding.fertiliser.drench",))
_ROUNDING = 0.5  # weeks: lengths are given in whole weeks


def check_profile(kb: KnowledgeBase, taxon: str) -> Iterator[Problem]:
    """What is wrong with a profile as resolved. What it only inherits is reported at the profile that states it."""
    profile = kb.profile(taxon)
    yield from _bands(profile)
    for stage in STAGES[:-1]:
        if any(stage in layer.data.get("stages", {}) for layer in profile.layers):
            yield from _bands(profile.stage(stage))
    for way in profile.ways.values():
        for rest in way.rests.values():
            yield from _rest_months(rest)
            yield from _cold_rest(profile, rest)
    yield from _obligatory(profile)
    yield from _floating(profile)
    yield from _against_group(profile)
    if profile.entry.kind == "taxon" and not profile.outline:
        yield from _incomplete(profile)


def _bands(profile: Profile) -> Iterator[Problem]:
    for field in profile.fields():
        claim = profile.claim(field)
        if isinstance(claim, BandClaim):
            for reading in [reading.claim for reading in claim.readings] or [claim]:
                yield from _nesting(profile, reading)
        elif isinstance(claim, RangeClaim):
            yield from _ordered(profile, field, claim.low, claim.high)


def _nesting(profile: Profile, claim: BandClaim) -> Iterator[Problem]:
    field = claim.field.path
    for level in claim.levels.values():
        yield from _ordered(profile, field, level.low, level.high)
    for inner, outer in _INSIDE:
        for end in ("low", "high"):
            within, around = claim.end(inner, end), claim.end(outer, end)
            if within is None or around is None:
                continue
            outside = within.value < around.value if end == "low" else within.value > around.value
            if outside:
                relation = "below" if end == "low" else "above"
                message = (
                    f"{profile.name}: what it {inner} goes {relation} what it {outer}: {within.value:g} {relation} "
                    f"{around.value:g}"
                )
                yield from _clash(message, "make each band hold the one before it", "band-nesting", within, around)


def _ordered(profile: Profile, field: str, low: End | None, high: End | None) -> Iterator[Problem]:
    if low is None or high is None or low.value <= high.value:
        return
    # Both ends of one claim are looked at where they are written.
    if (low.origin.file, low.origin.path) != (high.origin.file, high.origin.path):
        message = f"{profile.name}: {field.rpartition('.')[2]} starts at {low.value:g} and ends at {high.value:g}"
        yield from _clash(
            message, "the two ends come from different profiles; state both here", "band-order", low, high
        )


def _clash(message: str, hint: str, code: str, *ends: End) -> Iterator[Problem]:
    """One problem at the nearest of the ends; it names where the other stands. Nothing if all are inherited."""
    nearest = min(ends, key=lambda end: end.inherited)
    if nearest.inherited:
        return
    others = [_place(end.origin) for end in ends if end.origin.file != nearest.origin.file]
    more = f" (other end: {', '.join(others)})" if others else ""
    yield _problem(nearest.origin, message, hint + more, code)


def _rest_months(rest: Rest) -> Iterator[Problem]:
    weeks, may = rest.own("weeks"), rest.own("may")
    if not isinstance(weeks, RangeClaim) or not isinstance(may, ValueClaim) or not may.value:
        return
    longest = _longest_run(may.value)
    room = longest * _WEEKS_IN_MONTH
    for end in (weeks.low, weeks.high):
        if end and end.value > room + _ROUNDING:
            origin = next((o for o in (end.origin, may.origin) if not o.inherited), None)
            if origin:
                message = (
                    f"a rest of {end.value:g} weeks does not fit into {longest} months in a row ({room:.0f} weeks)"
                )
                yield _problem(origin, message, "shorten it, or add months to may", "rest-length")


def _longest_run(months: tuple[int, ...]) -> int:
    """The most months in a row, round the end of the year."""
    if len(set(months)) == 12:
        return 12
    longest = 0
    for start in months:
        length = 1
        while (start + length) % 12 in months:
            length += 1
        longest = max(longest, length)
    return longest


def _cold_rest(profile: Profile, rest: Rest) -> Iterator[Problem]:
    if rest.kind not in _COLD_KINDS:
        return
    for field in ("air.temperature_day", "air.temperature_night"):
        resting, growing = rest.own(field), profile.claim(field)
        if not isinstance(resting, BandClaim) or not isinstance(growing, BandClaim):
            continue
        for end in ("low", "high"):
            here, there = resting.end("tolerates", end), growing.end("tolerates", end)
            if here and there and here.value > there.value:
                when = "day" if field.endswith("day") else "night"
                message = (
                    f"{profile.name}: the {rest.kind} rest '{rest.id}' is warmer than growth by {when}: "
                    f"its {end} is {here.value:g}, that of growth {there.value:g}"
                )
                yield from _clash(message, "correct one of them", "warm-rest", here, there)


def _obligatory(profile: Profile) -> Iterator[Problem]:
    restless = [way for way in profile.ways.values() if not way.rests and not way.renewed]
    for way in profile.ways.values():
        for rest in way.rests.values():
            if rest.need == "obligatory" and restless:
                need = rest.own("need")
                origins = [restless[0].origin, *([need.origin] if isinstance(need, ValueClaim) else [])]
                origin = next((o for o in origins if not o.inherited), None)
                if origin:
                    message = (
                        f"{profile.name}: the rest '{rest.id}' is obligatory, yet the way '{restless[0].id}' has none"
                    )
                    hint = "remove that way (removed: true), or say how far the rest is needed"
                    yield _problem(origin, message, hint, "needless-rest")


def _floating(profile: Profile) -> Iterator[Problem]:
    form = profile.claim("habit.growth_form")
    table = profile.claim("water.table_below_crown")
    if isinstance(form, ValueClaim) and form.value == "floating" and table and table.origin and not _unknown(table):
        origin = next((o for o in (table.origin, form.origin) if not o.inherited), None)
        if origin:
            message = f"{profile.name} floats and has a water table below its crown"
            yield _problem(origin, message, "remove table_below_crown; say water_depth instead", "floating")


def _against_group(profile: Profile) -> Iterator[Problem]:
    """A plant whose own claim leaves nothing in common with what it would inherit says why, in a note."""
    above = tuple(layer for layer in profile.layers if layer.inherited)
    for field in profile.fields() if above else ():
        claim = profile.claim(field)
        inherited = inheritance.resolve(above, field.split("."), claim.field) if claim else None
        origin = claim.origin if claim is not None else None
        if claim is None or inherited is None or origin is None or origin.inherited or claim.note:
            continue
        if isinstance(claim, BandClaim) and isinstance(inherited, BandClaim):
            clash = _disjoint(claim, inherited)
        else:
            clash = _no_word_shared(claim, inherited)
        if clash:
            message = f"{profile.name}: {field} has nothing in common with {inherited.origin.profile}: {clash}"  # type: ignore[union-attr]
            yield _problem(origin, message, "say why in a note, or correct one of them", "against-group")


def _disjoint(own: BandClaim, inherited: BandClaim) -> str:
    """How a band that the plant states itself lies wholly outside the one it would inherit; empty if it does not."""
    for level in ("tolerates", "prefers"):
        held = own.levels.get(level)
        for end, other, beyond in (("low", "high", 1), ("high", "low", -1)):
            mine = own.end(level, end) if held else None
            theirs = inherited.value("tolerates", other)
            noted = mine is not None and (mine.inherited or mine.note)
            if mine is not None and theirs is not None and not noted and (mine.value - theirs) * beyond > 0:
                return f"{level} {end} {mine.value:g}, there tolerates {other} {theirs:g}"
    return ""


def _no_word_shared(own: Claim, inherited: Claim) -> str:
    if not isinstance(own, ValueClaim) or not isinstance(inherited, ValueClaim) or own.field.kind != "words":
        return ""
    if not own.value or not inherited.value or set(own.value) & set(inherited.value):
        return ""
    return f"{', '.join(own.value)} against {', '.join(inherited.value)}"


def _incomplete(profile: Profile) -> Iterator[Problem]:
    """What every plant's profile must answer after inheritance, be it with `unknown: true`."""
    form = profile.claim("habit.growth_form")
    floats = isinstance(form, ValueClaim) and form.value == "floating"
    wanted = [*_COMPLETE, *(() if floats else _ROOTED), *(() if profile.entry.rank == "companion" else _CARNIVORE)]
    missing = [" or ".join(choice) for choice in wanted if all(profile.claim(field) is None for field in choice)]
    missing += [f"{field}, its {end} end" for field in _LIVED for end in ("low", "high") if _open(profile, field, end)]
    missing += [] if profile.ways else ["year.ways"]
    missing += [] if profile.keys("propagation.methods") else ["propagation.methods"]
    if missing:
        layer = profile.layers[0]
        line, column = layer.record.positions.key((*layer.root, "name"))
        message = f"{profile.name} says nothing of {', '.join(missing)}, and inherits nothing"
        hint = "state it here or in its group, or unknown: true if you looked and found nothing"
        yield Problem(layer.record.file, line, column, message, hint, "incomplete")


def _open(profile: Profile, field: str, end: str) -> bool:
    """Whether a claim leaves open where a plant can live, with neither a tolerated end nor two that bracket it."""
    claim = profile.claim(field)
    if not isinstance(claim, BandClaim) or claim.unknown or claim.readings or claim.end("tolerates", end):
        return False
    return not (claim.end("prefers", end) and claim.end("survives", end))


def check_group_order(kb: KnowledgeBase) -> Iterator[Problem]:
    """Groups named for height: the higher one is the cooler, by day and by night."""
    for genus in kb.genera():
        held = [kb.entries[key] for word in _HIGHEST_FIRST if (key := f"{genus.genus}/_{word}") in kb.entries]
        for higher, lower in pairwise(held):
            for field in ("air.temperature_day", "air.temperature_night"):
                for end in ("low", "high"):
                    ours, theirs = (kb.profile(entry.id).claim(field) for entry in (higher, lower))
                    cool = ours.end("tolerates", end) if isinstance(ours, BandClaim) else None
                    warm = theirs.end("tolerates", end) if isinstance(theirs, BandClaim) else None
                    if cool and warm and cool.value > warm.value:
                        both = f"{field} {end} {cool.value:g} over {warm.value:g}"
                        message = f"{higher.name} is warmer than {lower.name}: {both}"
                        yield from _clash(message, "correct one of them", "group-order", cool, warm)


def _unknown(claim: BandClaim | RangeClaim | ValueClaim) -> bool:
    return claim.unknown


def _place(origin: Origin) -> str:
    return f"{shown_path(origin.file)}:{origin.line}"


def _problem(origin: Origin, message: str, hint: str, code: str) -> Problem:
    return Problem(origin.file, origin.line, origin.column, message, hint, code)
