"""What else would fit, as plain data and on the terminal; both say the same."""

from __future__ import annotations

import sys
import time
from collections.abc import Mapping, Sequence
from typing import Any, TextIO

from bogwright.facts.named import light_places
from bogwright.judge.findings import GRAVE
from bogwright.judge.fits import Fits, Newcomer, Room
from bogwright.judge.repairs import WORKS
from bogwright.judge.share import Shared
from bogwright.report.content import content
from bogwright.report.terminal import LEAD, bold, wrap
from bogwright.sharing.margins import Margin
from bogwright.sharing.months import calendar_month, month_words

MOST_LISTED = 12  # of those that fit soundly, and of those that fit with conditions
MOST_REASONS = 3
GROUPS = {"sound": ("soundly", "Soundly"), "conditional": ("with conditions", "With conditions")}
MISS = "what a grower's control misses by"
AXIS_WORDS = {
    "temperature_day": "days",
    "temperature_night": "nights",
    "night_drop": "night drop",
    "day_limit_by_night": "days after warm nights",
    "photoperiod": "light",
    "humidity": "humidity",
}
MOST_NAMES = 6
MOST_WIDE = 32
REST_WORDS = {
    "refused": "{} with a shared year, but unsound for another reason",
    "open": "{} of which nobody can honestly say, as it hangs on figures in doubt",
}
LEVEL_WORDS = {"half": "a thermostat that strays half as far as usual (0.75 K)", "slow": "some grow slowly"}


def fits_content(found: Fits, most: int | None = MOST_LISTED) -> dict[str, Any]:
    """Everything that is printed, in the order of schemas/fits.schema.json. most: how many to list of those that fit
    soundly, and of those that fit with conditions; None for all.
    """
    group = content(found.group)
    shown = found.group.main
    assert isinstance(shown, Shared)
    by_verdict = {v: [one for one in found.newcomers if one.answer.verdict == v] for v in WORKS}
    made: dict[str, Any] = {
        "verdict": group["verdict"],
        "question": "fits",
        "horizon": group["horizon"],
        "group": list(found.names),
        "problem": group["problem"],
        "reasons": [f["says"] for f in group["findings"]],
        "actions": group["actions"],
        "tried": found.tried,
        "fit": {verdict: len(some) for verdict, some in by_verdict.items()},
        "plants": [_listed(one, shown) for some in by_verdict.values() for one in some[:most]],
        "refused": [entry.name for entry in found.refused],
        "open": [entry.name for entry in found.open],
    }
    if found.room is not None:
        made["alone"] = _room(found.room, shown.midwinter)
    return made


def status_of(made: Mapping[str, Any]) -> str:
    """The verdict that the exit status tells: the group's where it does not work, else the best of what fits."""
    if made["verdict"] not in WORKS:
        return str(made["verdict"])
    if made["plants"]:
        return "sound"
    return "unproven" if made["open"] else "unsound"


def _room(room: Room, midwinter: int) -> dict[str, Any]:
    made: dict[str, Any] = {"fits": room.level, "margin": room.margin.errors}
    if room.margin.errors is not None:
        months = [calendar_month(m, midwinter) for m in room.margin.months]
        made["binding"] = {"axis": room.margin.axis, "months": months, "says": _binding(room.margin, midwinter)}
    return made


def _binding(margin: Margin, midwinter: int) -> str:
    months = month_words(margin.months, midwinter)
    return AXIS_WORDS[margin.axis] if months == "all year" else f"{AXIS_WORDS[margin.axis]} in {months}"


def _listed(one: Newcomer, group: Shared) -> dict[str, Any]:
    room, main = one.room, one.answer.main
    assert isinstance(main, Shared)
    made = {"plant": one.entry.name, "verdict": one.answer.verdict, **_room(room, group.midwinter)}
    made["own_margin"] = room.own.errors
    made["disturbs"] = room.disturbs
    made["asks"] = _asks(one, main, group)
    made["unstated"] = list(one.unstated)
    return made


def _asks(one: Newcomer, main: Shared, group: Shared) -> list[str]:
    """What the newcomer asks beyond what the group asks already, in few words."""
    away = _away(group)
    asks = []
    for plant, months in _away(main).items():
        if plant not in {p.name for p in group.plants}:
            asks.append(f"lift it out {months}")
        elif plant not in away:
            asks.append(f"lift {plant} out {months}")
    if len(main.beds) > len(group.beds):
        asks.append("own pot")
    if light_places(main.plants) > light_places(group.plants):
        asks.append("own light")
    if main.fit is not None and group.fit is not None and main.fit.regime.id != group.fit.regime.id:
        asks.append(main.fit.regime.title)
    if main.level in LEVEL_WORDS and main.level != group.level:
        asks.append(LEVEL_WORDS[main.level])
    if not asks and one.answer.verdict != "sound":
        asks += _decides(main, {f.rule for f in group.findings})
    if one.entry.outline:
        asks.append("known by name only")
    if one.unstated and one.answer.bench is not None:
        asks.append(f"not stated: {', '.join(one.answer.bench.axes[axis].title for axis in one.unstated)}")
    return asks


def _decides(shown: Shared, known: set[str]) -> list[str]:
    """The title of the gravest condition, unless the group has it by itself."""
    grave = [f for f in shown.findings if GRAVE[f.severity] >= GRAVE["condition"] or (f.certain and f.cap)]
    new = [f for f in grave if f.rule not in known]
    return [f"{'' if f.certain else 'in doubt: '}{f.title[0].lower()}{f.title[1:]}" for f in new[:1]]


def _away(shown: Shared) -> dict[str, str]:
    years = shown.fit.years if shown.fit is not None else ()
    pairs = zip(shown.plants, years, strict=False)
    return {p.name: month_words(year.absent, shown.midwinter) for p, year in pairs if year.absent}


def show_fits(made: Mapping[str, Any], out: TextIO | None = None) -> None:
    """Print the content: how many fit, then the list with what each asks."""
    out = out or sys.stdout
    lines = _list(made, out) if made["verdict"] in WORKS else _no_group(made, out)
    out.write("\n".join(line.rstrip() for line in lines) + "\n")


def _no_group(made: Mapping[str, Any], out: TextIO) -> list[str]:
    names = " and ".join(made["group"])
    says = "cannot share" if made["verdict"] == "unsound" else "may or may not share: nobody can honestly say yet"
    lines = [bold(LEAD[made["verdict"]], out) + f": {names} {says}, so nothing is added to them"]
    for reason in made["reasons"][:MOST_REASONS]:
        lines += wrap(reason, "  ", "    ")
    if made["actions"]:
        lines += ["", bold("What would make it work (each judged again)", out)]
        lines += [line for a in made["actions"] for line in wrap(f"{a['action']} → {a['verdict']}", "  ", "    ")]
    return [*lines, "", "'bogwright judge' with the same names says why"]


def _list(made: Mapping[str, Any], out: TextIO) -> list[str]:
    fit = made["fit"]
    how = ", ".join(f"{fit[verdict]} {GROUPS[verdict][0]}" for verdict in WORKS if fit[verdict])
    head = f"{sum(fit.values())} of {made['tried']} other plants fit with {', '.join(made['group'])}"
    lines = wrap(bold(f"{head}: {how}" if how else head, out))
    if how:
        alone = made["alone"]
        lines += wrap(
            f"By itself what you named is {made['verdict']}, with {_room_words(alone, f' {MISS}')}. The case may "
            "stray so many times as far as an ordinary thermostat, timer or fogger strays before a plant is out.",
            "  ",
        )
    width = min(MOST_WIDE, max((len(p["plant"]) for p in made["plants"]), default=0))
    for verdict in WORKS:
        listed = [p for p in made["plants"] if p["verdict"] == verdict]
        if listed:
            most = "" if len(listed) == fit[verdict] else f"{len(listed)} of {fit[verdict]}, "
            lines += ["", bold(f"{GROUPS[verdict][1]} ({most}the roomiest first)", out), *_rows(listed, width)]
    return [*lines, *_rest(made)]


def _rows(plants: Sequence[Mapping[str, Any]], width: int) -> list[str]:
    lines = []
    for plant in plants:
        lines += wrap(f"{plant['plant']:<{width}}  {_room_words(plant)}", "  ", " " * (width + 4))
        lines += wrap("; ".join(plant["asks"]), " " * 6) if plant["asks"] else []
    return lines


def _room_words(room: Mapping[str, Any], of: str = "") -> str:
    """The room that is left; ``of``: what it is counted in, where that is not told above."""
    if room["margin"] is None:
        return "room to spare: no end to it, nothing binds"
    return f"room to spare: {room['margin']:.1f} times{of} (tightest: {room['binding']['says']})"


def _rest(made: Mapping[str, Any]) -> list[str]:
    lines = [""]
    for key, says in REST_WORDS.items():
        if made[key]:
            names = ", ".join(made[key][:MOST_NAMES]) + (" …" if len(made[key]) > MOST_NAMES else "")
            lines += wrap(f"{says.format(len(made[key]))}: {names}", "  ", "    ")
    more = sum(made["fit"].values()) - len(made["plants"])
    if more:
        lines += wrap(f"… and {more} more: add --all, or --genus GENUS", "  ", "    ")
    return [*lines, "  'bogwright judge' with one of these added shows what to build, and the cautions"]


class Progress:
    """A line on a terminal's stderr that says how far the search is, once it has taken a second."""

    def __init__(self, out: TextIO | None = None) -> None:
        self._out = out or sys.stderr
        self._next = time.monotonic() + 1.0
        self._shown = False

    def __call__(self, doing: str, done: int, total: int) -> None:
        if self._out.isatty() and time.monotonic() >= self._next:
            self._next, self._shown = time.monotonic() + 0.1, True
            self._out.write(f"\r{doing}: {done} of {total}\x1b[K")
            self._out.flush()

    def clear(self) -> None:
        """Leave the line empty."""
        if self._shown:
            self._out.write("\r\x1b[K")
            self._out.flush()
