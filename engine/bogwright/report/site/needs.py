"""Every profiled plant with its classes and its leeway, worked out once for the pages by need and by difficulty."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cached_property

from bogwright.judge.bench import Bench
from bogwright.judge.classes import Need, Stands, needs_classes
from bogwright.judge.leeway import Leeway, Measure
from bogwright.knowledge import Entry
from bogwright.sharing.needs import Needs


class Sorted:
    """All profiled plants, forms included, sorted by the classes of kb/needs.yaml and measured."""

    def __init__(self, bench: Bench) -> None:
        self.bench = bench
        self.needs: tuple[Need, ...] = needs_classes(bench)

    @cached_property
    def plants(self) -> dict[str, Needs]:
        """What each asks, by id."""
        return {taxon.id: self.of(taxon) for taxon in self.bench.base.taxa()}

    def of(self, taxon: Entry) -> Needs:
        return self.bench.needs(self.bench.base.profile(taxon.id), id=taxon.id, name=taxon.name)

    @cached_property
    def placed(self) -> dict[str, dict[str, dict[str, Stands]]]:
        """How each plant stands to the classes: by need, plant and class."""
        return {need.id: {plant: need.placed(of) for plant, of in self.plants.items()} for need in self.needs}

    def classes(self, plant: str, need: Need) -> Iterator[tuple[str, str, Stands]]:
        """Id and title of the classes in which a plant stands, certainly or perhaps."""
        for one in need.classes:
            stands = self.placed[need.id][plant][one.id]
            if stands in ("yes", "perhaps"):
                yield one.id, one.title, stands

    @cached_property
    def measured(self) -> dict[str, Needs]:
        """The plants whose leeway is measured: companions, which are grown for the others' sake, are left out."""
        return {plant: needs for plant, needs in self.plants.items() if needs.profile.entry.rank != "companion"}

    @cached_property
    def measure(self) -> Measure:
        return Measure(self.bench, list(self.measured.values()))

    @cached_property
    def leeway(self) -> dict[str, Leeway]:
        """The leeway of each plant that is measured."""
        return {plant: self.measure.of(needs) for plant, needs in self.measured.items()}

    @cached_property
    def ranks(self) -> dict[str, str]:
        """The class of difficulty of each plant that has a measure."""
        return self.measure.ranked(self.leeway)
