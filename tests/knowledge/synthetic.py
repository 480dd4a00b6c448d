"""Writes a knowledge base of made-up plants, as large as asked for, for timings and for tests of the snapshot."""

from __future__ import annotations

from pathlib import Path

PER_GENUS = 25

_GENUS = """\
profile: genus
name: {genus}
rank: genus
identity:
  family: {{value: Exemplaceae, basis: common-practice}}
air:
  temperature_day:
    prefers: {{band: [16, 28], basis: from-memory}}
    tolerates: {{band: [10, 35], basis: common-practice}}
    survives: {{low: -2, high: 40, for_days: 3, basis: from-memory}}
    outside: {{low: slow, high: death, basis: common-practice}}
  humidity:
    tolerates: {{band: [40, 100], basis: common-practice}}
"""

_GROUP = """\
profile: group
name: lowland {genus}
identity:
  hemisphere: {{value: south, basis: common-practice}}
air:
  temperature_night:
    tolerates: {{band: [8, 24], basis: from-memory}}
    outside: {{low: slow, high: decline, basis: from-memory}}
water:
  moisture: {{value: [damp, wet], basis: common-practice}}
"""

_SPECIES = """\
profile: taxon
name: {genus} {epithet}
rank: species
group: lowland
identity:
  authority: {{value: "A.Nobody", basis: from-memory}}
  synonyms: {{value: [{genus} vetus{number}, {genus} obsoleta{number}], basis: common-practice}}
  family: {{value: Exemplaceae, basis: common-practice}}
  common_names: {{value: [made-up plant {number}], basis: common-practice}}
  range: {{value: [WAU, NSW], basis: from-memory}}
  hemisphere: {{value: south, basis: common-practice}}
  elevation: {{band: [10, 1200], basis: published,
    sources: [{{id: made-up-{genus_id}, locator: "p. {number}", as_stated: "10-1200 m"}}]}}
  habitat: {{value: wet sand below made-up hills, basis: from-memory}}
year:
  ways:
    evergreen:
      title: warm all year
      effort: 0
      basis: common-practice
    winter-rest:
      title: cooler, drier winter
      effort: 1
      basis: common-practice
      rests:
        winter:
          kind: cool
          where: in-case
          need: {{value: helpful, basis: common-practice}}
          weeks: {{band: [8, 16], basis: from-memory}}
          may: {{value: [10, 11, 0, 1, 2], basis: common-practice}}
          cue: {{value: [day-length, cold], basis: from-memory}}
          ends: {{value: [warmth], basis: from-memory}}
          light_need: {{value: needed, basis: common-practice}}
          winters_skipped:
            seedling: {{value: 2, basis: common-practice}}
          air:
            temperature_day:
              tolerates: {{band: [4, 20], basis: published,
                sources: [{{id: made-up-{genus_id}, locator: winter, as_stated: "4 to 20 °C"}}]}}
            temperature_night:
              tolerates: {{band: [2, 12], basis: from-memory}}
          water:
            moisture: {{value: [barely-damp, damp], basis: common-practice}}
air:
  temperature_day:
    prefers: {{band: [18, 27], basis: published,
      sources: [{{id: made-up-{genus_id}, locator: care, as_stated: "65-80 °F"}}]}}
    tolerates: {{high: 34, basis: published,
      sources: [{{id: made-up-{genus_id}, locator: care, as_stated: "below 34 °C"}}]}}
  temperature_night:
    prefers: {{band: [10, 18], basis: from-memory}}
  night_drop:
    tolerates: {{band: [0, 18], basis: from-memory}}
  humidity:
    prefers: {{band: [60, 90], basis: published,
      sources: [{{id: made-up-{genus_id}, locator: care, as_stated: "60 to 90 %"}}]}}
  air_movement: {{value: [gentle, moving], basis: common-practice}}
light:
  sun: {{value: [full-sun, bright], basis: common-practice}}
  dli:
    prefers: {{band: [12, 30], basis: from-memory}}
    tolerates: {{band: [6, 45], basis: from-memory}}
  illuminance:
    prefers: {{low: 15000, hours: 12, basis: published,
      sources: [{{id: made-up-{genus_id}, locator: light, as_stated: "at least 15,000 lux"}}]}}
  photoperiod:
    tolerates: {{band: [10, 18], basis: from-memory}}
  cues:
    winter-bud: {{event: winter-rest, below: 11, basis: from-memory}}
water:
  moisture: {{value: [damp, wet], basis: common-practice}}
  watering: {{value: [tray, from-above], basis: common-practice}}
  table_below_crown:
    tolerates: {{band: [3, 15], basis: from-memory}}
  solids_supply:
    prefers: {{high: 50, basis: published,
      sources: [{{id: made-up-{genus_id}, locator: water, as_stated: "under 50 ppm"}}]}}
    tolerates: {{high: 120, basis: from-memory}}
    outside: {{high: decline, basis: common-practice}}
  alkalinity: {{unknown: true}}
  drying_stood: {{high: 1, basis: from-memory}}
medium:
  ph:
    tolerates: {{band: [3.5, 6], basis: from-memory}}
  components: {{value: [peat, sand, perlite], basis: common-practice}}
  root_depth: {{low: 10, basis: from-memory}}
  life: {{band: [12, 36], basis: common-practice}}
  lime: {{value: avoids, basis: common-practice}}
  live_sphagnum: {{value: stands, basis: common-practice}}
feeding:
  hand_feeding: {{value: helpful, basis: common-practice}}
  interval: {{band: [14, 28], basis: from-memory}}
  prey_size: {{high: 4, basis: from-memory}}
  fertiliser:
    drench: {{value: harmed, basis: common-practice}}
    mist: {{value: stands, basis: common-practice}}
  mould_risk: {{value: moderate, basis: from-memory}}
roots:
  sensitivity: {{value: moderate, basis: common-practice}}
  best_months: {{value: [1, 2, 3], basis: from-memory}}
habit:
  growth_form: {{value: rosette, basis: common-practice}}
  height: {{band: [3, 8], basis: from-memory}}
  width: {{band: [4, 10], basis: from-memory}}
  years_to_adult: {{band: [1, 3], basis: from-memory}}
  runners: {{value: none, basis: common-practice}}
  self_sowing: {{value: some, basis: common-practice}}
  overgrown_risk: {{value: high, basis: from-memory}}
propagation:
  methods:
    seed:
      ease: {{value: easy, basis: common-practice}}
      germination: {{band: [14, 60], basis: from-memory}}
    leaf-cuttings:
      ease: {{value: easy, basis: common-practice}}
      rooting: {{band: [4, 10], basis: from-memory}}
health:
  troubles: {{value: [aphids, grey mould], basis: common-practice}}
  treatments:
    soap:
      spray: {{value: harmed, basis: common-practice}}
    neem:
      spray: {{value: harmed, basis: from-memory}}
law:
  cites: {{value: none, basis: common-practice}}
  weedy: {{value: no-report, basis: from-memory}}
people:
  cautions: {{value: none known, basis: from-memory}}
stages:
  seedling:
    air:
      humidity:
        tolerates: {{low: 60, basis: from-memory}}
notes:
  - Made up for timing; no such plant exists.
"""

_SOURCE = """\
- id: made-up-{genus_id}
  type: book
  title: A made-up book about {genus}
  ISBN: "0000000000"
  custom: {{standing: expert, read: "2026-11-25", extent: whole}}
"""


def write(kb: Path, species: int) -> list[Path]:
    """Write a kb folder with this many species, 25 a genus, and return the paths of the species files."""
    written = []
    (kb / "sources").mkdir(parents=True, exist_ok=True)
    for start in range(0, species, PER_GENUS):
        genus = f"Exempla{chr(ord('a') + start // PER_GENUS)}"
        names = {"genus": genus, "genus_id": genus.lower()}
        folder = kb / "profiles" / genus.lower()
        folder.mkdir(parents=True, exist_ok=True)
        (folder / "_genus.yaml").write_text(_GENUS.format(**names), encoding="utf-8")
        (folder / "_lowland.yaml").write_text(_GROUP.format(**names), encoding="utf-8")
        (kb / "sources" / f"{genus.lower()}.yaml").write_text(_SOURCE.format(**names), encoding="utf-8")
        for number in range(start, min(start + PER_GENUS, species)):
            path = folder / f"planta{number}.yaml"
            path.write_text(_SPECIES.format(epithet=f"planta{number}", number=number, **names), encoding="utf-8")
            written.append(path)
    return written
