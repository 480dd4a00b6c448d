"""Rows of a plan that speak of one plant: its year, lifting, room, arrival, stage, meals, air, pool, roots, law."""

from __future__ import annotations

from bogwright.enclosure.plan import Plan
from bogwright.facts.ground import known, least, pool_row, roots_row
from bogwright.facts.placed import PlacedPlant
from bogwright.facts.rows import NO_DEMAND, Row, over, row, span_of, under, word_of
from bogwright.rules.meaning import LIMIT, UNBOUNDED, Interval
from bogwright.sharing.axes import Axes
from bogwright.sharing.demands import floats
from bogwright.sharing.months import NO_MONTHS, YearOption, month_words
from bogwright.sharing.needs import Needs, winters_skipped

AIR = ("still", "gentle", "moving")
YEARS = {"one-season": (0.5, 1.0), "two-years": (2.0, 2.0), "indefinitely": (10.0, LIMIT)}
SURVIVAL = frozenset({"temperature_day", "temperature_night"})


def year_row(
    needs: Needs,
    words: dict[str, str],
    given: str,
    too_warm: Interval,
    months: str,
    way: str,
    horizon: str,
    skipped: Interval,
    shift: Interval,
) -> Row:
    """plant.year, for a plan and for plain names alike."""
    chosen = needs.profile.ways.get(way)
    rests = list(chosen.rests.values()) if chosen is not None else []
    others = [r for w in needs.profile.ways.values() for r in w.rests.values()]
    rest = rests[0] if rests else others[0] if others else None
    stood = winters_skipped(rest, needs.stage) if rest is not None else None
    if stood is None and rest is not None and rest.need == "obligatory":
        stood = 0  # an obligatory rest may be skipped only where the profile says so
    return row(
        "plant.year",
        needs.id,
        **words,
        rest_kind=rest.kind if rest is not None else "none",
        rest_need=(rest.need or "?") if rest is not None else "none",
        rest_given=given,
        too_warm=too_warm,
        skips_left=UNBOUNDED if stood is None else (stood - skipped[1], stood - skipped[0]),
        horizon=horizon,
        stage=needs.stage,
        phase_shift=shift,
        months=months,
        way=way,
        way_title=(chosen.title or way) if chosen is not None else "?",
        way_known="stated" if needs.profile.ways else "unstated",
        lasting="?" if chosen is None else "renewed" if chosen.renewed else "lasts",
    )


def law_row(needs: Needs, words: dict[str, str]) -> Row:
    """plant.law."""
    profile = needs.profile
    return row(
        "plant.law",
        needs.id,
        **words,
        cites=word_of(profile, "law.cites"),
        weedy=word_of(profile, "law.weedy"),
        self_sowing=word_of(profile, "habit.self_sowing"),
    )


def standing_row(needs: Needs, words: dict[str, str]) -> Row:
    """plant.standing: whether the plant has a profile or only a name, and whose figures stand in."""
    return row(
        "plant.standing",
        needs.id,
        **words,
        known_by="name-only" if needs.profile.outline else "profile",
        rests_on=needs.group,
        relatives=(float(needs.relatives),) * 2,
    )


def gap_rows(needs: Needs, words: dict[str, str], axes: Axes) -> list[Row]:
    """plant.gaps: one row for each axis on which the profile says nothing, or nothing of one end."""
    return [
        row(
            "plant.gaps",
            f"{needs.id}/{axis}",
            **words,
            axis_name=axes[axis].title,
            axis_kind="survival" if axis in SURVIVAL else "care",
            gap=gap,
        )
        for axis, gap in needs.unassessed(axes).items()
    ]


def lift_row(needs: Needs, words: dict[str, str], year: YearOption, months: str, potted: str, removable: str) -> Row:
    """plant.lift: words ``potted``/``planted``/``chosen`` and ``removable``/``fixed``/``chosen``."""
    profile = needs.profile
    return row(
        "plant.lift",
        needs.id,
        **words,
        months=months,
        potted=potted,
        removable=removable,
        rest_kind=needs.rest(year.phases[min(year.absent)]).kind,
        growth_form=word_of(profile, "habit.growth_form"),
        runners=word_of(profile, "habit.runners"),
        root_sensitivity=word_of(profile, "roots.sensitivity"),
        whole_plug=word_of(profile, "roots.whole_plug"),
    )


def plant_rows(plan: Plan, plant: PlacedPlant, axes: Axes) -> list[Row]:
    """All rows of one plant of a plan that are not of months or of neighbours."""
    words, given, profile = plant.words, plant.entry.given, plant.needs.profile
    shift = abs(float(given.get("months_out_of_phase", 0)))
    skipped = float(given.get("winters_skipped", 0))
    months = month_words(plant.chosen.rest_months, plan.midwinter) if plant.chosen.rest_months else NO_MONTHS
    rows = [
        year_row(
            plant.needs,
            words,
            plant.chosen.given,
            plant.chosen.too_warm,
            months,
            plant.chosen.year.way,
            plan.horizon,
            (skipped, skipped),
            (shift, shift),
        ),
        law_row(plant.needs, words),
        standing_row(plant.needs, words),
        *gap_rows(plant.needs, words, axes),
        _room(plan, plant),
        _air(plan, plant),
    ]
    if plant.chosen.year.absent:
        rows.append(
            lift_row(
                plant.needs,
                words,
                plant.chosen.year,
                months,
                {"yes": "potted", "no": "planted"}.get(plant.entry.potted, "?"),
                {"yes": "removable", "no": "fixed"}.get(plant.entry.removable, "?"),
            )
        )
    if "arrived" in given or shift:
        rows.append(_arrival(plan, plant, shift))
    if plant.needs.stage != "adult":
        rows.append(
            row(
                "plant.stage",
                plant.id,
                **words,
                stage=plant.needs.stage,
                openings=known(plan.case["vessel"]["openings"]),
                humidity=least(plan.year("humidity")),
            )
        )
    if "fed" in given:
        rows.append(_meal(plan, plant))
    rows.append(pool_row(plant) if floats(profile) else roots_row(plan, plant))
    return rows


def _room(plan: Plan, plant: PlacedPlant) -> Row:
    profile, place = plant.needs.profile, plant.place.given
    headroom, size = place.get("headroom"), place.get("size_cm")
    open_sky = plan.case["vessel"]["openings"] in ("outdoor", "open") and headroom is None
    room = NO_DEMAND if open_sky else UNBOUNDED
    return row(
        "plant.room",
        plant.id,
        **plant.words,
        place=plant.place.id,
        height_over=room if headroom is None else over(span_of(profile, "habit.height"), (headroom, headroom)),
        width_over=UNBOUNDED if size is None else over(span_of(profile, "habit.width"), (min(size), min(size))),
        years_to_adult=span_of(profile, "habit.years_to_adult"),
        horizon_years=YEARS[plan.horizon],
        growth_form=word_of(profile, "habit.growth_form"),
        root_sensitivity=word_of(profile, "roots.sensitivity"),
    )


def _air(plan: Plan, plant: PlacedPlant) -> Row:
    stood = [AIR.index(w) for w in plant.needs.profile.value("air.air_movement") or ()]
    air = plan.case.get("air_movement", "unknown")
    still = windy = UNBOUNDED
    if stood and air in AIR:
        still, windy = (float(min(stood) - AIR.index(air)),) * 2, (float(AIR.index(air) - max(stood)),) * 2
    rests = [plant.needs.rest(phase) for phase in plant.chosen.year.rests_in_place]
    cool = any(rest.kind in ("cold", "cool", "winter-bud") for rest in rests)
    return row(
        "plant.air",
        plant.id,
        **plant.words,
        case="case",
        still_by=still,
        windy_by=windy,
        genus=plant.needs.profile.entry.genus,
        rests_cool="rests-cool" if cool else "no-cool-rest",
        openings=known(plan.case["vessel"]["openings"]),
    )


def _months_between(start: str | None, then: str | None) -> Interval:
    if start is None or then is None:
        return UNBOUNDED
    (a, b), (c, d) = (map(int, s.split("-")) for s in (start, then))
    months = float((a - c) * 12 + b - d)
    return (months, months)


def _arrival(plan: Plan, plant: PlacedPlant, shift: float) -> Row:
    weeks = plant.entry.given.get("quarantined_weeks")
    return row(
        "plant.arrival",
        plant.id,
        **plant.words,
        quarantine_weeks=UNBOUNDED if weeks is None else (float(weeks),) * 2,
        months_here=_months_between(plan.start, plant.entry.given.get("arrived")),
        phase_shift=(shift, shift),
        stage=plant.needs.stage,
    )


def _meal(plan: Plan, plant: PlacedPlant) -> Row:
    profile, fed = plant.needs.profile, plant.entry.given["fed"]
    every, prey = fed.get("every_days"), fed.get("prey_mm")
    claim = "feeding.seedling_feeding" if plant.needs.stage in ("flask", "seedling") else "feeding.hand_feeding"
    interval = span_of(profile, "feeding.interval")
    return row(
        "plant.meal",
        plant.id,
        **plant.words,
        case="case",
        interval_short=UNBOUNDED if every is None else under((every, every), (interval[0], interval[0])),
        prey_over=UNBOUNDED if prey is None else over((prey, prey), (span_of(profile, "feeding.prey_size")[1],) * 2),
        mould_risk=word_of(profile, "feeding.mould_risk"),
        hand_feeding=word_of(profile, claim),
        air=known(plan.case.get("air_movement")),
        stage=plant.needs.stage,
    )
