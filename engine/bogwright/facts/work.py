"""Rows about the case as a whole, and about treatments and fertiliser and whom they reach."""

from __future__ import annotations

from collections.abc import Sequence

from bogwright.enclosure.plan import Interval, Plan
from bogwright.facts.ground import known
from bogwright.facts.neighbours import reached
from bogwright.facts.placed import PlacedPlant
from bogwright.facts.rows import Row, row, word_of
from bogwright.rules.meaning import UNBOUNDED


def case_rows(plan: Plan, plants: Sequence[PlacedPlant]) -> list[Row]:
    """case.box: the case at its dampest and hottest."""
    case = plan.case
    hours = plan.year("photoperiod")
    fed = any("fed" in p.entry.given for p in plants)
    return [
        row(
            "case.box",
            "case",
            case="case",
            openings=known(case["vessel"]["openings"]),
            sun_on_glass=known(case.get("sun_on_glass")),
            lamp_in_lid=None if "lamp_in_lid" not in case else "in-lid" if case["lamp_in_lid"] else "apart",
            air=known(case.get("air_movement")),
            surfaces=known(case.get("surfaces")),
            max_humidity=_most(plan.year("humidity")),
            max_night_humidity=_most(plan.year("night_humidity")),
            light_on="?" if UNBOUNDED in hours else "lit" if _most(hours)[0] > 0 else "dark",
            max_feeding="fed" if fed else "unfed",
            max_peak=_most(plan.year("temperature_day", "peak")),
            air_speed=_most(plan.year("air_speed")),
        )
    ]


def _most(year: Sequence[Interval]) -> Interval:
    return (max(v[0] for v in year), max(v[1] for v in year))


def treatment_rows(plan: Plan, plants: Sequence[PlacedPlant]) -> list[Row]:
    """work.treatment: one row for each plant that a planned treatment reaches."""
    rows = []
    for n, treatment in enumerate(plan.treatments):
        for target in treatment["on"]:
            for plant in reached(plan, plants, target, treatment["path"]):
                profile = plant.needs.profile
                field = f"health.treatments.{treatment['agent']}.{treatment['path']}"
                rows.append(
                    row(
                        "work.treatment",
                        f"{n}/{target}/{plant.id}",
                        **plant.words,
                        agent=treatment["agent"],
                        path=treatment["path"],
                        effect=word_of(profile, field),
                        lift=plant.lift,
                        genus=profile.entry.genus,
                        target=target,
                        reach="itself" if plant.id == target else "neighbour",
                        moss="live-moss" if word_of(profile, "habit.growth_form") == "moss" else "other",
                    )
                )
    return rows


def feed_rows(plan: Plan, plants: Sequence[PlacedPlant]) -> list[Row]:
    """work.feed: one row for each plant that planned fertiliser reaches, with what its path does to that plant."""
    rows = []
    for feeder in plants:
        for path in feeder.entry.given.get("fed", {}).get("fertiliser", ()):
            for plant in reached(plan, plants, feeder.id, path if path == "drench" else "spray"):
                rows.append(
                    row(
                        "work.feed",
                        f"{feeder.id}/{path}/{plant.id}",
                        **plant.words,
                        path=path,
                        feeder=feeder.needs.name,
                        effect=word_of(plant.needs.profile, f"feeding.fertiliser.{path}"),
                        reach="own" if plant is feeder else "shared-water",
                    )
                )
    return rows
