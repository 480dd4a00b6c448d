"""What else would fit with these plants: soundly or with conditions, and of each the roomiest first.

Pairs prune, the group search decides, the judge says how it fits and the margin ranks. The share check of the site
ranks alike (``site/theme/js/share/others.js``): change both together.
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
    def rank(self) -> tuple[float, tuple[int, int], float]:
        """Best first: the most room, then the fewest lift-outs and least effort, then the most room of its own."""
        return -_room(self.margin), self.cost, -_room(self.own)


@dataclass(frozen=True, slots=True)
class Newcomer:
    """A plant that fits with the group, and the answer of the judge for all of them together.

    room: of several readings the one that leaves the least. unstated: axes on which its profile says nothing.
    """

    entry: Entry
    room: Room
    answer: Answer
    unstated: tuple[str, ...]

    @property
    def rank(self) -> tuple[int, tuple[float, tuple[int, int], float], str]:
        """What fits soundly goes first, then by room, then by name."""
        return WORKS.index(self.answer.verdict), self.room.rank, self.entry.name


@dataclass(frozen=True, slots=True)
class Fits:
    """The answer. Where the group itself does not work, only ``names`` and ``group`` are filled.

    names: the accepted names of what was asked, a bare species name as it is. group: those plants judged by themselves.
    room: the group alone. tried: plants asked about. newcomers: those that fit, best first. refused: unsound for
    another reason than the year. open: plants of which nobody can say, as it hangs on figures in doubt or in dispute.
    """

    names: Sequence[str]
    group: Answer
    room: Room | None = None
    tried: int = 0
    newcomers: Sequence[Newcomer] = ()
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
    tell: Tell = lambda doing, done, total: None,
) -> Fits:
    """Every other plant that can share with those named, ranked by :attr:`Newcomer.rank`.

    genus: only its plants. outline: also plants known by name only.
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
    newcomers: list[Newcomer] = []
    refused: list[Entry] = []
    doubtful: list[Entry] = []
    for n, (i, own) in enumerate(forms.items()):
        tell("trying", n, len(forms))
        entry, readings = bench.base.entries[i], [(picked, form) for picked in picks for form in own]
        room = _worst(search.joined(picked, form) for picked, form in readings)
        if room is None:
            if any(search.might_serve(picked, form) for picked, form in readings):
                doubtful.append(entry)
            continue
        answer = judge_names(bench, [*names, i], horizon, stage, midwinter)
        if answer.verdict in WORKS:
            unstated = sorted({axis for form in own for axis in needs[form].unassessed(bench.axes)})
            newcomers.append(Newcomer(entry, room, answer, tuple(unstated)))
        else:
            (refused if answer.verdict == "unsound" else doubtful).append(entry)
    tell("trying", len(forms), len(forms))
    alone = _worst(search.alone(picked) for picked in picks)
    newcomers.sort(key=lambda one: one.rank)
    for some in (refused, doubtful):
        some.sort(key=lambda entry: entry.name)
    return Fits(shown, group, alone, len(forms), newcomers, refused, doubtful)


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
