"""One month: the solver against brute force, certificates, set points."""

import itertools
import random

from bogwright.sharing.windows import day_limit

STEP_ERROR = 0.0  # the random groups keep whole numbers: a control error would move them off the grid


def random_plant(rng, box):
    """Whole-number bounds, so that a whole-number setting exists whenever any setting does."""
    day, night = rng.randint(10, 30), rng.randint(2, 24)
    bounds = {
        "temperature_day": (day, day + rng.randint(4, 20)),
        "temperature_night": (night, night + rng.randint(4, 20)),
    }
    if rng.random() < 0.5:
        drop = rng.randint(0, 12)
        bounds["night_drop"] = (drop, drop + rng.randint(2, 14))
    steps = None
    if rng.random() < 0.3:
        warm = rng.randint(5, 15)
        steps = ((warm, rng.randint(26, 34)), (warm + rng.randint(2, 8), rng.randint(18, 26)))
    return box(steps=steps, **bounds)


def brute(plants, frame):
    """Every whole-number (day, night), checked plant by plant against what its bounds say."""
    d, n, k = (frame.order.index(a) for a in ("temperature_day", "temperature_night", "night_drop"))
    for day, night in itertools.product(range(2, 45), range(-5, 36)):
        if all(
            p.lows[d] <= day <= p.highs[d]
            and p.lows[n] <= night <= p.highs[n]
            and p.lows[k] <= day - night <= p.highs[k]
            and all(day <= day_limit(s, night) for s in p.steps)
            for p in plants
        ):
            return True
    return False


def test_solver_equals_brute_force_on_thousands_of_groups(frame, box):
    """Feasible exactly when some setting of the grid meets every plant; both answers occur often."""
    rng, seen = random.Random(7), {True: 0, False: 0}
    for _ in range(3000):
        plants = [random_plant(rng, box) for _ in range(rng.randint(2, 4))]
        whole = frame.open_box
        for plant in plants:
            whole &= plant
        truth = brute(plants, frame)
        seen[truth] += 1
        assert frame.feasible(whole, STEP_ERROR) is truth
        clashes = frame.clashes([(str(i), p) for i, p in enumerate(plants)], STEP_ERROR)
        assert bool(clashes) is not truth
        point = frame.set_point(whole, None, STEP_ERROR)
        assert (point is not None) is truth
    assert min(seen.values()) > 300


def test_certificate_alone_already_clashes(frame, box):
    """The plants a certificate names cannot be met even when the others leave."""
    rng = random.Random(11)
    checked = 0
    for _ in range(1500):
        plants = {str(i): random_plant(rng, box) for i in range(4)}
        for clash in frame.clashes(list(plants.items()), STEP_ERROR):
            named = [plants[label] for label in clash.labels]
            assert len(named) <= (4 if clash.axis == "day_limit_by_night" else 3)
            assert not brute(named, frame)
            checked += 1
    assert checked > 500


def test_three_plants_clash_though_every_pair_passes(frame, box):
    """A day limit, a warm night and a night drop: no two clash, all three do, and all three are named."""
    plants = {
        "cool-day": box(temperature_day=(15, 25)),
        "warm-night": box(temperature_night=(18, 30)),
        "drop": box(night_drop=(8, 40)),
    }
    for a, b in itertools.combinations(plants, 2):
        assert frame.feasible(plants[a] & plants[b])
    clashes = frame.clashes(list(plants.items()))
    assert [c.labels for c in clashes] == [("cool-day", "drop", "warm-night")]
    assert clashes[0].axis == "night_drop" and clashes[0].gap == 1


def test_falling_day_limit_is_tested_at_the_least_solution(frame, box):
    """A warm-night plant makes another plant's day limit fall below a third plant's need."""
    limit = box(steps=((14.0, 32.0), (18.0, 24.0)))
    warm, sunny = box(temperature_night=(18, 26)), box(temperature_day=(28, 34))
    for a, b in itertools.combinations((limit, warm, sunny), 2):
        assert frame.feasible(a & b)
    assert not frame.feasible(limit & warm & sunny)
    names = frame.clashes([("limit", limit), ("warm", warm), ("sunny", sunny)])[0].labels
    assert names == ("limit", "sunny", "warm")


def test_set_point_goes_where_plants_thrive(frame, box):
    """Inside what all tolerate, the set point moves to what all prefer."""
    point = frame.set_point(
        box(temperature_day=(10, 35), humidity=(40, 100)), box(temperature_day=(20, 24), humidity=(70, 90))
    )
    assert point is not None
    assert point["temperature_day"] == 22 and point["humidity"] == 80
