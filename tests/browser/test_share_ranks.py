"""What else fits is ranked by the share check as by ``bogwright fits``: the page's own modules, on the site's data."""

import random
from itertools import cycle

import pytest

from bogwright.judge.ask import judge_names
from bogwright.judge.bench import Bench
from bogwright.judge.fits import fits
from bogwright.judge.repairs import WORKS

RANK = """async ([root, asked]) => {
  const { load } = await import(root + "js/share/knowledge.js");
  const { WORKS, byRoom, candidates, others } = await import(root + "js/share/others.js");
  const knowledge = await load(root + "data/share.json");
  const order = byRoom((id) => knowledge.plant(id).name);
  return asked.map(([ids, genus]) =>
    [...others(knowledge, ids, candidates(knowledge, ids).filter(({ id }) => id.startsWith(`${genus}/`)))]
      .filter((one) => WORKS.includes(one.verdict)).sort(order)
      .map(({ id, verdict, margin, own }) => [id, verdict, margin.errors, margin.axis, margin.months, own.errors]));
}"""


@pytest.fixture(scope="module")
def bench():
    return Bench.open()


def chosen(bench, count):
    """Sets of one to four plants that can share, each with a genus to choose more from; every third of one plant."""
    rng = random.Random(5)
    base = bench.base
    plants = [entry.id for entry in base.taxa() if not base.differing_forms(entry.id)]
    genera = cycle(sorted({base.entries[i].genus for i in plants}))
    while count:
        ids = rng.sample(plants, rng.randint(2, 4) if count % 3 else 1)
        if judge_names(bench, ids).verdict in WORKS:
            count -= 1
            yield ids, next(genera)


def test_the_page_ranks_as_the_command(visit, address, bench):
    """Thirty sets: who fits, how, with what room, bound by what, in one order. Bare names of forms that differ are
    the command's alone.
    """
    told, asked = [], []
    for ids, genus in chosen(bench, 30):
        found = fits(bench, ids, genus=genus)
        newcomers = [one for one in found.newcomers if not bench.base.differing_forms(one.entry.id)]
        told.append([
            [n.entry.id, n.answer.verdict, n.room.margin.errors, n.room.margin.axis, list(n.room.margin.months),
             n.room.own.errors]
            for n in newcomers
        ])  # fmt: skip
        asked.append([ids, genus])
    made = visit("share/").page.evaluate(RANK, [address, asked])
    for (ids, _), page, engine in zip(asked, made, told, strict=True):
        assert page == engine, ids
    assert sum(map(len, told)) > 300
    assert {verdict for group in told for _, verdict, *_ in group} == set(WORKS)
