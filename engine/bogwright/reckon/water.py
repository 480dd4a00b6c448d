"""Water: what a meter's figure means, mixing, refilling and flushing."""

from __future__ import annotations

import argparse
import math
from functools import partial
from typing import Any

from bogwright.enclosure.intervals import hull
from bogwright.enclosure.plan import Interval, span
from bogwright.enclosure.watering import DAYS_IN_WEEK, MONTHLY
from bogwright.physics import water
from bogwright.reckon.answer import Answer, Refused, Tables, figure, shown

SKIPPED = (3, 6, 12)  # months
COEFFICIENT = (1.9, 2.0)  # %/K, what meters use
UNITS = {"caco3": "mg/L CaCO3", "dkh": "dKH", "meq": "meq/L", "hco3": "mg/L HCO3"}


def solids(options: argparse.Namespace, tables: Tables) -> Answer:
    """Dissolved solids from conductivity, or back, by the meter's factor."""
    factor = options.factor or span(tables["assumptions"]["meter_factor"]["value"])
    by = "" if options.factor else f" by the factors {shown(factor, '')} that meters use"
    cautions = [] if options.factor else ["Look up or ask the maker which factor your meter uses, and add --factor."]
    if options.ppm is not None:
        if options.at is not None:
            raise Refused("--at corrects a conductivity — give the reading as --ec")
        made = hull(water.conductivity_from_solids, options.ppm, factor)
        line = f"{shown(options.ppm, 'ppm')} are {shown(made, 'µS/cm')} at 25 °C{by}."
        return Answer(
            (line,), {"conductivity": made, "factor": factor}, ("water.conductivity_from_solids",), tuple(cautions)
        )
    read = options.ec
    formulas: tuple[str, ...] = ("water.solids_from_conductivity",)
    lines = []
    if options.at is not None:
        read = hull(water.at_25, options.ec, options.at, COEFFICIENT)
        formulas = ("water.at_25", *formulas)
        warm = shown(options.at, "°C")
        lines.append(f"{shown(options.ec, 'µS/cm')} read at {warm} are {shown(read, 'µS/cm')} at 25 °C.")
        cautions.append("A meter that compensates for temperature by itself (ATC) has done this: then leave --at out.")
    made = hull(water.solids_from_conductivity, read, factor)
    lines.append(f"{shown(read, 'µS/cm')} are {shown(made, 'mg/L')} of dissolved solids{by}.")
    return Answer(tuple(lines), {"conductivity_25": read, "solids": made, "factor": factor}, formulas, tuple(cautions))


def mix(options: argparse.Namespace, _: Tables) -> Answer:
    """How much of two waters makes the one wanted, and the alkalinity of the mixture."""
    wanted = (options.to, options.to)
    for first in options.first:
        for second in options.second:
            if not min(first, second) <= options.to <= max(first, second):
                pair = f"{figure(first)} and {figure(second)}"
                raise Refused(f"{figure(options.to)} does not lie between {pair} — no mixture of the two reaches it")
    share = hull(water.share_of_first, wanted, options.first, options.second)
    litres = (share[0] * options.litres, share[1] * options.litres)
    rest = (options.litres - litres[1], options.litres - litres[0])
    figures: dict[str, Any] = {"share_of_first": share, "first_litres": litres, "second_litres": rest}
    lines = [
        f"{shown(litres, 'L')} of the first and {shown(rest, 'L')} of the second water make "
        f"{figure(options.litres)} L of {figure(options.to)} mg/L (or in the unit that you gave all three in)."
    ]
    if options.first[0] != options.first[1] or options.second[0] != options.second[1]:
        lines.append("A water varies: take the smaller share of the saltier one, and measure the mixture.")
    formulas: tuple[str, ...] = ("water.share_of_first",)
    if options.alkalinity is not None:
        if options.unit is None:
            raise Refused(f"an alkalinity says nothing without its unit — add --unit, one of: {', '.join(UNITS)}")
        first, second = options.alkalinity
        unit = UNITS[options.unit]
        found = hull(water.mixed, share, first, second)
        carbonate = hull(lambda v: water.alkalinity(v, unit), found)
        degrees = hull(lambda v: water.alkalinity(v, unit, "dKH"), found)
        lines.append(f"Its alkalinity is {shown(carbonate, 'mg/L CaCO₃')}, {shown(degrees, 'dKH')}.")
        figures |= {"alkalinity_caco3": carbonate, "alkalinity_dkh": degrees}
        formulas += ("water.mixed", "water.alkalinity")
    return Answer(tuple(lines), figures, formulas)


def refill(options: argparse.Namespace, _: Tables) -> Answer:
    """Days until a vessel is dry."""
    days = hull(water.days_until_dry, options.litres, options.loss)
    told = "It never runs dry: nothing is lost." if math.isinf(days[0]) else f"It is dry in {shown(days, 'days')}."
    return Answer((told,), {"days": days}, ("water.days_until_dry",))


def flush(options: argparse.Namespace, _: Tables) -> Answer:
    """How often or how much to flush, and what becomes of the water without."""
    source = tuple(end / DAYS_IN_WEEK for end in options.adds or (0.0, 0.0))
    limit = (options.limit, options.limit)
    balance = (limit, options.supply, options.loss, options.litres, (source[0], source[1]))
    figures: dict[str, Any] = {}
    lines: list[str] = []
    if options.supply[1] >= options.limit:
        lines.append(
            f"Water of {shown(options.supply, 'mg/L')} does not keep below {figure(options.limit)} mg/L, however "
            "often you flush: use purer water."
        )
        formula = "water.flush_interval"
    elif options.every is not None:
        poured = hull(water.flush_volume, *balance, tuple(end * DAYS_IN_WEEK for end in options.every))
        figures["pour_litres"] = poured
        lines.append(_by_volume(poured, options.every))
        formula = "water.flush_volume"
    else:
        pours = [options.pour] if options.pour else [options.litres, tuple(2 * end for end in options.litres)]
        for pour in pours:
            days = hull(water.flush_interval, *balance, pour)
            figures.setdefault("intervals", []).append({"pour_litres": pour, "days": days})
            lines.append(_by_interval(days, pour))
        formula = "water.flush_interval"
    lines.append("Never flushed but topped up, the water comes, from fresh, to:")
    figures["skipped"] = {}
    for months in SKIPPED:
        held = hull(partial(_unflushed, months * MONTHLY), *balance[1:])
        figures["skipped"][f"{months} months"] = held
        over = " — over the limit" if held[0] > options.limit else " — may be over" if held[1] > options.limit else ""
        lines.append(f"  after {months} months {shown(held, 'mg/L')}{over}")
    cautions = () if options.adds else ("What feed, dust and medium give to the water is not in it: add --adds.",)
    return Answer(tuple(lines), figures, (formula, "water.solids_after"), cautions)


def _unflushed(days: float, supply: float, loss: float, litres: float, source: float) -> float:
    return float(water.solids_after(days, supply, supply, loss, litres, source))


def _by_volume(poured: Interval, every: Interval) -> str:
    if math.isinf(poured[0]):
        return f"Flushed every {shown(every, 'weeks')}, no amount suffices: flush more often."
    if math.isinf(poured[1]):
        least = shown((poured[0], poured[0]), "L")
        return (
            f"Flushed every {shown(every, 'weeks')}, it takes {least} at least and may not be kept: flush more often."
        )
    return f"Flushed every {shown(every, 'weeks')}, let {shown(poured, 'L')} run through; the more is the safe one."


def _by_interval(days: Interval, pour: Interval) -> str:
    if math.isinf(days[0]):
        return "Nothing builds up, so nothing need be flushed."
    weeks = (days[0] / DAYS_IN_WEEK, days[1] / DAYS_IN_WEEK)
    safe = "; the shorter is the safe one" if days[0] != days[1] else ""
    return f"Letting {shown(pour, 'L')} run through: every {shown(weeks, 'weeks')} ({shown(days, 'days')}){safe}."
