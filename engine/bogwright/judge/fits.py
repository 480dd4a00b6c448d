"""What else would fit with these plants, the roomiest first.

Pairs prune, the group search decides, the margin ranks, and only what is shown is judged in full.
"""

from __future__ import annotations

import difflib
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace

from bogwright.judge.ask import MOST_READINGS, Answer, AskError, ask_names, choices_of, judge_names, resolve_all
from bogwright.judge.bench import Bench
from bogwright.judge.repairs import WORKS
from bogwright.judge.share import arenas
from bogwright.knowledge.names import Entry, Match
from bogwright.sharing.arena import Arenas
from bogwright.sharing.boxes import LADDER, Strictness
from bogwright.sharing.margins import Margin, margin
from bogwright.sharing.needs import Needs

Tell = Callable[[str, int, int], None]  # what is being done, how many are done, of how many
MOST_LISTED = 20
MILDEST = Strictness(LADDER["half"].error, LADDER["slow"].soft)  # what this refutes, every level does


@dataclass(frozen=True, slots=True)
class Room:
    """How a group fits: the strictest level it can be shared at, the margin of the fit chosen there, what it costs.

    lifted: ids of the plants that leave the case for part of that year. disturbs: some of them were named, and could
    stay without the newcomer. own: how far the newcomer's own ends could move in with the others' held, which tells
    apart newcomers that leave the group the same room.
    """

    level: str
    margin: Margin
    own: Margin
    cost: tuple[int, int]
    lifted: frozenset[str]
    disturbs: bool

    @property
    def rank(self) -> tuple[bool, bool, float, tuple[int, int], float]:
        """Best first: nobody grows slowly, the plants named stay where they are, and then the most room.

        At the same room the least effort and fewest lift-outs go first, then the most room of the newcomer's own.
        """
        return self.level == "slow", self.disturbs, -_room(self.margin), self.cost, -_room(self.own)


@dataclass(frozen=True, slots=True)
class Newcomer:
    """A plant that finds a shared year with the group; of several readings the one that leaves the least room."""

    entry: Entry
    room: Room


@dataclass(frozen=True, slots=True)
class Listed:
    """A newcomer judged in full together with the group. unstated: axes on which its profile says nothing."""

    newcomer: Newcomer
    answer: Answer
    unstated: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class Fits:
    """The answer. Where the group itself does not work, only ``names`` and ``group`` are filled.

    names: the accepted names of what was asked, a bare species name as it is. group: those plants judged by themselves.
    room: the group alone. tried: plants asked about. newcomers: those that find a shared year, best first.
    listed: the first of them, judged. refused: judged on the way and found unsound for another reason than the year.
    open: plants that share only if figures in doubt, or in dispute, fall their way: the judge must say.
    """

    names: Sequence[str]
    group: Answer
    room: Room | None = None
    tried: int = 0
    newcomers: Sequence[Newcomer] = ()
    listed: Sequence[Listed] = ()
    refused: Sequence[Entry] = ()
    open: Sequence[Entry] = ()


def fits(
    bench: Bench,
    names: Sequence[str],
    horizon: str = "indefinitely",
    stage: str = "adult",
    midwinter: int = 12,
    *,
    genus: str | None = None,
    outline: bool = False,
    most: int | None = MOST_LISTED,
    tell: Tell = lambda doing, done, total: None,
) -> Fits:
    """Every other plant that can share with those named, ranked by :attr:`Room.rank`, then by name.

    genus: only its plants. outline: also plants known by name only. most: how many to judge and list, None for all.
    ``stage`` and ``horizon`` hold for every plant. A species whose forms differ in year or temperatures stands for all
    of them at once, and each such form is asked about as well; other forms go with their species.
    Raises AskError as ask_names does, and for a genus that is not there.
    """
    if not names:
        raise AskError(["no plant is named — name one or more plants"])
    group = ask_names(bench, names, horizon, stage, midwinter)
    shown = [found.id for name in names if isinstance(found := bench.base.find(name), Match)]
    shown = [bench.base.entries[i].name for i in shown]
    wanted = _of_genus(bench, genus) if genus else None
    if group.verdict not in WORKS:
        return Fits(shown, group)
    picks = [picked for _, picked in choices_of(bench, resolve_all(bench, names), names)]
    forms = _asked(bench, picks, wanted, outline)
    everybody = sorted({i for ids in (*picks, *forms.values()) for i in ids})
    needs = {}
    for n, i in enumerate(everybody):
        tell("reading profiles", n, len(everybody))
        entry = bench.base.entries[i]
        needs[i] = bench.needs(bench.base.profile(i), id=i, name=entry.name, stage=stage, horizon=horizon)
    search = _Search(bench, needs)
    newcomers, doubtful = [], []
    for n, (i, own) in enumerate(forms.items()):
        tell("searching", n, len(forms))
        entry, readings = bench.base.entries[i], [(picked, form) for picked in picks for form in own]
        room = _worst(search.joined(picked, form) for picked, form in readings)
        if room is not None:
            newcomers.append(Newcomer(entry, room))
        elif any(search.might_serve(picked, form) for picked, form in readings):
            doubtful.append(entry)
    newcomers.sort(key=lambda one: (one.room.rank, one.entry.name))
    listed: list[Listed] = []
    refused: list[Entry] = []
    enough = len(newcomers) if most is None else min(most, len(newcomers))
    for one in newcomers:
        if len(listed) == enough:
            break
        tell("judging", len(listed), enough)
        answer = judge_names(bench, [*names, one.entry.id], horizon, stage, midwinter)
        if answer.verdict == "unsound":
            refused.append(one.entry)
        else:
            unstated = sorted({axis for form in forms[one.entry.id] for axis in needs[form].unassessed(bench.axes)})
            listed.append(Listed(one, answer, tuple(unstated)))
    tell("judging", enough, enough)
    alone = _worst(search.alone(picked) for picked in picks)
    doubtful.sort(key=lambda entry: entry.name)
    return Fits(shown, group, alone, len(forms), newcomers, listed, refused, doubtful)


def _asked(
    bench: Bench, picks: Sequence[tuple[str, ...]], genus: str | None, outline: bool
) -> dict[str, tuple[str, ...]]:
    """Ids of the plants to ask about, each with the forms it stands for; ``picks``: readings of the group."""
    named = {i for picked in picks for i in picked}
    found = {
        entry.id: bench.base.differing_forms(entry.id) or (entry.id,)
        for entry in bench.base.entries.values()
        if entry.kind == "taxon"
        and (entry.form is None or entry.differs)
        and (outline or not entry.outline)
        and genus in (None, entry.genus)
    }
    return {
        i: forms for i, forms in found.items() if not named & {i, *forms} and len(forms) * len(picks) <= MOST_READINGS
    }


class _Search:
    """All plants in one arena for every strictness, so that a pair is tested once and not once for each newcomer."""

    def __init__(self, bench: Bench, needs: dict[str, Needs]) -> None:
        self._bench = bench
        self._needs = needs
        self._arenas: dict[Strictness, Arenas] = {}
        self._alone: dict[tuple[str, ...], Room | None] = {}

    def at(self, strictness: Strictness) -> Arenas:
        if strictness not in self._arenas:
            self._arenas[strictness] = arenas(self._bench, list(self._needs.values()), strictness)
        return self._arenas[strictness]

    def refutes(self, group: Sequence[str], newcomer: str) -> bool:
        """Whether no level can serve them all, pairs first: not even what is milder than every level does."""
        mildest = self.at(MILDEST)
        return not (all(mildest.serves([i, newcomer]) for i in group) and mildest.serves([*group, newcomer]))

    def might_serve(self, group: Sequence[str], newcomer: str) -> bool:
        """Whether some level could serve them all if every figure in doubt fell the plants' way."""
        return any(self.at(replace(level, certain=False)).serves([*group, newcomer]) for level in LADDER.values())

    def alone(self, group: tuple[str, ...]) -> Room | None:
        """The room of the group without a newcomer, None where no level serves it."""
        if group not in self._alone:
            self._alone[group] = self._room(group, group, frozenset(group))
        return self._alone[group]

    def joined(self, group: tuple[str, ...], newcomer: str) -> Room | None:
        """The room of the group with a newcomer, None where no level serves them all."""
        alone = self.alone(group)
        if alone is None or self.refutes(group, newcomer):
            return None
        return self._room([*group, newcomer], [newcomer], alone.lifted | {newcomer})

    def _room(self, ids: Sequence[str], owners: Sequence[str], may_leave: frozenset[str]) -> Room | None:
        searched = ((level, self.at(strictness).best(ids).fit) for level, strictness in LADDER.items())
        level, fit = next((found for found in searched if found[1] is not None), ("none", None))
        if fit is None:
            return None
        plants, bench = [self._needs[i] for i in ids], self._bench
        shared, own = (margin(plants, fit, bench.axes, bench.frame, LADDER[level], movers) for movers in (ids, owners))
        lifted = frozenset(i for i, year in zip(ids, fit.years, strict=True) if year.absent)
        return Room(level, shared, own, fit.cost, lifted, not lifted <= may_leave)


def _worst(rooms: Iterable[Room | None]) -> Room | None:
    """Of several readings the one that leaves the least, None as soon as one of them has none."""
    worst: Room | None = None
    for room in rooms:
        if room is None:
            return None
        worst = room if worst is None or room.rank > worst.rank else worst
    return worst


def _room(margin: Margin) -> float:
    return float("inf") if margin.errors is None else margin.errors


def _of_genus(bench: Bench, name: str) -> str:
    """The genus of this name. Raises AskError with those that are near."""
    genera = sorted({entry.genus for entry in bench.base.entries.values() if entry.kind == "taxon"})
    key = name.strip().casefold()
    if key in genera:
        return key
    near = difflib.get_close_matches(key, genera, n=3, cutoff=0.6)
    meant = f"did you mean {', '.join(near).title()}?" if near else f"known: {', '.join(genera).title()}"
    raise AskError([f"no genus {name!r} is known — {meant}"])
