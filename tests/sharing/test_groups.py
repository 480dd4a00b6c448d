"""Groups: joint search of ways against brute force, conflict sets, plants to drop."""

import itertools
import random

from bogwright.sharing.arena import best_fit, search
from bogwright.sharing.conflicts import drops
from bogwright.sharing.groups import Candidate, Regime
from bogwright.sharing.months import GROWTH, RestSpan, YearOption, options
from bogwright.sharing.splits import split

OPEN = None


def plant(name, *years):
    """years: (effort, {month: box} | box, absent) → a Candidate."""
    made, boxes = [], []
    for n, (effort, months, absent) in enumerate(years):
        made.append(YearOption(f"way{n}", effort, (GROWTH,) * 12, frozenset(absent)))
        row = [months.get(m) if isinstance(months, dict) else months for m in range(12)]
        boxes.append(tuple(None if m in absent else b for m, b in enumerate(row)))
    return Candidate(name, tuple(made), tuple(boxes))


def regime(frame, name="any", effort=0, months=None):
    return Regime(name, name, effort, tuple((months or {}).get(m, frame.open_box) for m in range(12)))


def test_joint_search_equals_brute_force(frame, box):
    """Least (lift-outs, effort) over all combinations of years, on random groups; infeasible groups too."""
    rng = random.Random(3)
    outcomes = {True: 0, False: 0}
    for _ in range(1200):
        here = regime(frame)
        group = []
        for n in range(rng.randint(2, 4)):
            years = []
            for _ in range(rng.randint(1, 3)):
                months = {}
                for m in rng.sample(range(12), 3):
                    low = rng.randint(8, 24)
                    months[m] = box(temperature_day=(low, low + rng.randint(2, 8)))
                absent = rng.sample(range(12), 2) if rng.random() < 0.3 else ()
                years.append((rng.randint(0, 4), months, absent))
            group.append(plant(f"p{n}", *years))
        best = None
        for choice in itertools.product(*(range(len(p.years)) for p in group)):
            ok = True
            for m in range(12):
                whole = frame.open_box
                for p, k in zip(group, choice, strict=True):
                    if p.boxes[k][m] is not None:
                        whole &= p.boxes[k][m]
                ok &= frame.feasible(whole)
            if ok:
                years = [p.years[k] for p, k in zip(group, choice, strict=True)]
                cost = (sum(y.lifts for y in years), sum(y.effort for y in years))
                best = cost if best is None else min(best, cost)
        found = search(group, here, frame)
        assert found.exhausted
        assert (found.fit.cost if found.fit else None) == best
        outcomes[best is not None] += 1
    assert min(outcomes.values()) > 100


def test_easiest_way_of_each_fails_but_another_combination_works(frame, box):
    """Each plant's easiest year clashes with the other's; a mixed choice is found."""
    warm, cool = box(temperature_day=(24, 30)), box(temperature_day=(10, 18))
    a = plant("a", (0, warm, ()), (2, {}, ()))
    b = plant("b", (0, cool, ()), (3, {}, ()))
    found = search([a, b], regime(frame), frame)
    assert [y.way for y in found.fit.years] == ["way1", "way0"] and found.fit.cost == (0, 2)


def test_growth_against_growth_fails_but_the_calendar_shares(frame, box):
    """A summer grower and a winter grower never grow in the same months:

    their growth bands are disjoint, the year fits.
    """
    winter, summer = box(temperature_day=(8, 18)), box(temperature_day=(24, 34))
    cool_months, warm_months = {10, 11, 0, 1, 2}, {4, 5, 6, 7, 8}
    a = plant("winter-grower", (0, dict.fromkeys(cool_months, winter), ()))
    b = plant("summer-grower", (0, dict.fromkeys(warm_months, summer), ()))
    assert not frame.feasible(winter & summer)
    assert search([a, b], regime(frame), frame).fit is not None


def test_bands_that_merely_touch_are_a_clash(frame, box):
    """With a control error the shrunken bands no longer meet (the compiler shrinks; here done by hand)."""
    a, b = box(temperature_day=(10 + 1.5, 20 - 1.5)), box(temperature_day=(20 + 1.5, 30 - 1.5))
    assert search([plant("a", (0, a, ())), plant("b", (0, b, ()))], regime(frame), frame).fit is None


def test_all_pairs_pass_and_the_group_fails(frame, box):
    """Three plants, each pair served, together not; the conflict set holds all three and any one may be dropped."""
    group = {
        "a": plant("a", (0, box(temperature_day=(15, 25)), ())),
        "b": plant("b", (0, box(temperature_night=(18, 30)), ())),
        "c": plant("c", (0, box(night_drop=(8, 40)), ())),
    }

    def serves(ids):
        return search([group[i] for i in ids], regime(frame), frame).fit is not None

    assert all(serves(pair) for pair in itertools.combinations(group, 2))
    found = drops(list(group), serves)
    assert found.conflicts == (("a", "b", "c"),) and found.sets == (("a",), ("b",), ("c",)) and found.complete


def test_drops_are_smallest_against_brute_force(frame, box):
    """Every set returned is served when dropped, and no smaller set is."""
    rng = random.Random(5)
    for _ in range(60):
        group = {}
        for n in range(6):
            low = rng.randint(8, 26)
            group[f"p{n}"] = plant(f"p{n}", (0, box(temperature_day=(low, low + rng.randint(3, 10))), ()))

        def serves(ids, group=group):
            return search([group[i] for i in ids], regime(frame), frame).fit is not None

        found = drops(list(group), serves, most=50)
        for size in range(7):
            truth = sorted(
                d for d in itertools.combinations(sorted(group), size) if serves([i for i in group if i not in d])
            )
            if truth:
                assert list(found.sets) == truth
                break


def test_a_year_in_place_goes_before_a_lift_out_then_the_cheaper_regime(frame, box):
    """A lift-out is a condition, so a winter that the whole case can be given comes first, then the least effort."""
    cold = {m: box(temperature_night=(-5, 8)) for m in (11, 0, 1)}
    mild = {m: box(temperature_night=(10, 28)) for m in range(12)}
    trap = plant("trap", (1, cold, ()), (3, {}, (11, 0, 1)))
    sundew = plant("sundew", (0, mild, ()))
    regimes = [regime(frame, "even", 0, mild), regime(frame, "cool", 2), regime(frame, "cold", 3)]
    alone = best_fit([trap], regimes, frame).fit
    assert alone.regime.id == "cool" and not alone.years[0].absent and alone.cost == (0, 3)
    both = best_fit([trap, sundew], regimes, frame).fit
    assert both.regime.id == "even" and both.years[0].absent == {11, 0, 1} and both.cost == (1, 3)


def test_rest_expands_to_every_start_and_length():
    """Eight to fourteen weeks anywhere in November-March of the north: two or three months, wrapping over midwinter."""
    found = options("cold", 1, [RestSpan("rest", (11, 0, 1, 2, 3), (8, 14), lifted=True)])
    runs = {frozenset(m for m in range(12) if o.phases[m] == "rest") for o in found}
    assert runs == {frozenset(r) for r in ([11, 0], [0, 1], [1, 2], [2, 3], [11, 0, 1], [0, 1, 2], [1, 2, 3])}
    assert all(o.absent == {m for m in range(12) if o.phases[m] == "rest"} for o in found)


def test_split_covers_everyone_with_groups_that_are_served(frame, box):
    """Random collections: every plant in one group, each group served, and 'fewest' never claimed wrongly."""
    rng = random.Random(9)
    proven = 0
    for _ in range(40):
        group = {}
        for n in range(6):
            low = rng.randint(8, 26)
            group[f"p{n}"] = plant(f"p{n}", (0, box(temperature_day=(low, low + rng.randint(3, 8))), ()))

        def serves(ids, group=group):
            return search([group[i] for i in ids], regime(frame), frame).fit is not None

        found = split(list(group), serves)
        assert sorted(p for g in found.groups for p in g) == sorted(group) and not found.alone
        assert all(serves(g) for g in found.groups)
        # intervals on a line: the fewest groups are the fewest points that stab all bands
        ends, points = sorted((p.boxes[0][0].highs[0], p.boxes[0][0].lows[0]) for p in group.values()), []
        for high, low in ends:
            if not points or low > points[-1]:
                points.append(high)
        assert len(found.groups) >= len(points)
        assert not found.fewest or len(found.groups) == len(points)
        proven += found.fewest
    assert proven > 20


def test_split_when_every_pair_passes_and_the_group_fails(frame, box):
    """No clashing pair, so the colouring proposes one group; the group decides, and one plant moves out."""
    group = {
        "a": plant("a", (0, box(temperature_day=(15, 25)), ())),
        "b": plant("b", (0, box(temperature_night=(18, 30)), ())),
        "c": plant("c", (0, box(night_drop=(8, 40)), ())),
    }
    found = split(list(group), lambda ids: search([group[i] for i in ids], regime(frame), frame).fit is not None)
    assert [len(g) for g in found.groups] == [2, 1] and not found.fewest
