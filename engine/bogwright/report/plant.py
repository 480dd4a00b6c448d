"""One plant's resolved profile: every figure with its standing, its source and where it was stated."""

from __future__ import annotations

import sys
from collections.abc import Iterator, Mapping, Sequence
from typing import Any, TextIO

from bogwright.judge.bench import Bench
from bogwright.knowledge.claims import BandClaim, Claim, Cue, End, Origin, Outcome, RangeClaim, ValueClaim
from bogwright.knowledge.problems import kb_path
from bogwright.knowledge.profiles import STAGES, Profile, Way
from bogwright.report.terminal import bold
from bogwright.rules.says import interval, number
from bogwright.sharing.months import GROWTH, month_words, season_words
from bogwright.sharing.needs import Needs

LEVELS = ("prefers", "tolerates", "survives")
STANDING = {
    "published": "published",
    "common-practice": "common practice, no source",
    "from-memory": "from memory",
    "derived": "derived",
    "disputed": "disputed",
}


def plant_content(bench: Bench, taxon: str) -> dict[str, Any]:
    """A profile as plain data: fields in the schema's order, ways, derived figures, notes."""
    profile = bench.base.profile(taxon)
    needs = bench.needs(profile, id=taxon, name=profile.name)
    derived = list(_derived(bench, needs))
    spread = {one["claim"] for one in derived} if profile.outline else set()
    made: dict[str, Any] = {
        "id": taxon,
        "name": profile.name,
        "rank": profile.entry.rank,
        "group": profile.entry.group,
        "known_by": "name only" if profile.outline else "profile",
        "fields": [_field(profile, path, claim) for path, claim in claims(profile) if path not in spread],
        "cues": [
            {
                "cue": key,
                "event": c.event,
                "below": c.below,
                "above": c.above,
                **_standing(c),
            }
            for key, c in profile.cues().items()
        ],
        "ways": [
            {
                "way": key,
                "title": w.title,
                "effort": w.effort,
                "renewed": w.renewed,
                "rests": [
                    {"kind": r.kind, "where": r.where, "need": r.need, "weeks": list(r.weeks), "may": list(r.may)}
                    for r in w.rests.values()
                ],
                **_standing(w),
            }
            for key, w in profile.ways.items()
        ],
        "notes": list(profile.notes),
    }
    stages = {stage: _staged(profile.stage(stage)) for stage in STAGES[:-1]}
    if any(stages.values()):
        made["stages"] = {stage: fields for stage, fields in stages.items() if fields}
    if derived:
        made["derived"] = derived
    return made


def claims(profile: Profile) -> Iterator[tuple[str, Claim]]:
    """Every claim in the profile, ordered as the schema orders its fields."""
    for path in profile.fields():
        claim = profile.claim(path)
        if claim is not None:
            yield path, claim


def _staged(grown: Profile) -> list[dict[str, Any]]:
    """What is said of a young stage itself."""
    return [_field(grown, path, claim) for path in grown.stage_fields() if (claim := grown.claim(path))]


def _derived(bench: Bench, needs: Needs) -> Iterator[dict[str, Any]]:
    """Ends that nobody stated and that follow from something else, by axis, as intervals."""
    for axis, demand in needs.demands[GROWTH].items():
        for side, span, origin in (
            ("low", demand.low, demand.low_origin),
            ("high", demand.high, demand.high_origin),
        ):
            if span is not None and origin is not None and origin.basis == "derived":
                made = {
                    "claim": bench.axes[axis].claim,
                    "axis": axis,
                    "title": bench.axes[axis].title,
                    "unit": bench.axes[axis].unit,
                    "side": side,
                    "span": list(span),
                    "method": origin.method,
                    "file": kb_path(origin.file) if origin.file else "",
                    "line": origin.line,
                }
                yield {k: v for k, v in made.items() if v not in ("", 0)}


def _field(profile: Profile, path: str, claim: Claim) -> dict[str, Any]:
    made: dict[str, Any] = {"field": path, "title": claim.field.title, "unit": claim.field.unit}
    if claim.unknown:
        placed = _place(claim.origin) if claim.origin else {}
        return made | {"unknown": True, "note": claim.note, **placed}
    readings = getattr(claim, "readings", ())
    if readings:
        return made | {
            "note": claim.note,
            "disputed": [{"reading": r.title, "entries": _entries(r.claim)} for r in readings],
        }
    return made | {"entries": _entries(claim)}


def _entries(claim: Claim) -> list[dict[str, Any]]:
    if isinstance(claim, BandClaim):
        found = [
            _ends(level, claim.levels[level].low, claim.levels[level].high) for level in LEVELS if level in claim.levels
        ]
        entries = [entry for pair in found for entry in pair]
        return entries + [
            _outcome(side, word) for side, word in (("low", claim.outside_low), ("high", claim.outside_high)) if word
        ]
    if isinstance(claim, RangeClaim):
        return _ends("", claim.low, claim.high)
    value = list(claim.value) if isinstance(claim.value, tuple) else claim.value
    told = {"calendar": season_words(claim.value)} if claim.field.kind in ("months", "season") else {}
    return [{"value": value, **told, **_standing(claim)}]


def _ends(level: str, low: End | None, high: End | None) -> list[dict[str, Any]]:
    """One entry where both ends stand in one claim, else one for each end."""
    if (
        low is not None
        and high is not None
        and low.origin.path == high.origin.path
        and low.origin.record is high.origin.record
    ):
        return [{"level": level, "low": low.value, "high": high.value, **_standing(low)}]
    return [
        {"level": level, side: end.value, **_standing(end)}
        for side, end in (("low", low), ("high", high))
        if end is not None
    ]


def _outcome(side: str, outcome: Outcome) -> dict[str, Any]:
    return {"level": f"beyond the {side} end", "value": outcome.value, **_standing(outcome)}


def _standing(one: End | Outcome | ValueClaim | Cue | Way) -> dict[str, Any]:
    made: dict[str, Any] = {
        "basis": one.basis,
        "sources": [{"id": s.id, "locator": s.locator, "as_stated": s.as_stated} for s in one.sources],
        "note": one.note,
    }
    if isinstance(one, End):
        made |= {"for_days": one.for_days, "hours": one.hours and list(one.hours), "lamp": one.lamp}
    return {k: v for k, v in made.items() if v not in ("", [], None)} | _place(one.origin)


def _place(origin: Origin) -> dict[str, Any]:
    """Where it is stated, and in whose profile if not the plant's own."""
    inherited = {"from": origin.profile} if origin.inherited else {}
    return {**inherited, "file": f"kb/{origin.record.name}", "line": origin.line}


def show_plant(made: Mapping[str, Any], out: TextIO | None = None) -> None:
    """Print a profile's content."""
    out = out or sys.stdout
    lines = [bold(made["name"], out) + f"  ({made['rank']}{', group ' + made['group'] if made['group'] else ''})"]
    if made["known_by"] == "name only":
        lines.append(
            "  No profile yet: what follows is its group's, and derived limits span the group's profiled members."
        )
    section = ""
    for field in made["fields"]:
        head = field["field"].split(".")[0]
        if head == "year":
            continue
        if head != section:
            section = head
            lines += ["", bold(head, out)]
        lines += _field_lines(field)
    lines += ["", bold("year", out)]
    for way in made["ways"]:
        rests = "; ".join(_rest_words(r) for r in way["rests"]) or "no rest"
        lines.append(f"  {way['title']}: {rests}")
    if made.get("derived"):
        lines += ["", bold("derived", out), *(f"  {_derived_words(one)}" for one in made["derived"])]
    if made["notes"]:
        lines += ["", bold("notes", out), *(f"  {note}" for note in made["notes"])]
    out.write("\n".join(lines) + "\n")


def _derived_words(derived: Mapping[str, Any]) -> str:
    end = "tolerates from" if derived["side"] == "low" else "tolerates up to"
    unit = {"degC": "°C"}.get(derived["unit"], derived["unit"])
    place = f" [{derived['file']}:{derived['line']}]" if "file" in derived else ""
    return f"{derived['title']}: {end} {interval(*derived['span'])} {unit} — from {derived['method']}{place}"


def _rest_words(rest: Mapping[str, Any]) -> str:
    least, most = rest["weeks"]
    weeks = f"{number(least)}–{number(most)} weeks" if least is not None and most is not None else "some weeks"
    when = f" within {month_words(rest['may'], 12)} (north)" if rest["may"] else ""
    where = ", lifted out" if rest["where"] == "lifted-out" else ""
    return f"{rest['kind']} rest {weeks}{when}{where}, {rest['need'] or 'need unknown'}"


def _field_lines(field: Mapping[str, Any]) -> list[str]:
    name = field["field"].split(".", 1)[1] if "." in field["field"] else field["field"]
    unit = {"degC": "°C", None: ""}.get(field["unit"], field["unit"])
    if field.get("unknown"):
        return [f"  {name}: unknown (looked for, not found)"]
    if "disputed" in field:
        lines = [f"  {name}: disputed — {field['note']}"]
        for reading in field["disputed"]:
            lines.append(f"    reading “{reading['reading']}”")
            lines += [f"      {_entry_words(e, unit)}" for e in reading["entries"]]
        return lines
    return [f"  {name}: {_entry_words(e, unit)}" for e in field["entries"]]


def _entry_words(entry: Mapping[str, Any], unit: str | None) -> str:
    if "value" in entry:
        value = entry["value"]
        listed = isinstance(value, Sequence) and not isinstance(value, str)
        shown = entry.get("calendar") or (", ".join(map(str, value)) if listed else str(value))
        figure = f"{entry['level']}: {shown}" if entry.get("level") else shown
    else:
        low, high = entry.get("low"), entry.get("high")
        span = (
            f"{number(low)}–{number(high)}"
            if low is not None and high is not None
            else f"from {number(low)}"
            if low is not None
            else f"up to {number(high or 0.0)}"
        )
        figure = f"{entry.get('level', '')} {span} {unit or ''}".strip()
    source = "; ".join(f"{s['id']}, {s['locator']}: “{s['as_stated']}”" for s in entry.get("sources", []))
    place = f"{entry['file']}:{entry['line']}"
    inherited = f" from {entry['from']}" if entry.get("from") else ""
    return f"{figure} — {STANDING[entry['basis']]}{f' ({source})' if source else ''}{inherited} [{place}]"
