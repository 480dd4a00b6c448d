"""What the rules found, as sentences with their chain; and the verdict that follows from them."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from bogwright.rules import UNBOUNDED, Judgement, Row, Rule, fill, severity
from bogwright.rules.meaning import LIMIT
from bogwright.rules.model import SEVERITIES
from bogwright.sharing.months import NO_MONTHS, month_words

VERDICTS = ("sound", "conditional", "unproven", "unsound")
GRAVE = {word: n for n, word in enumerate(SEVERITIES)}


@dataclass(frozen=True, slots=True)
class Step:
    """One step of a chain: a rule that fired, on what, and the tag it concluded."""

    rule: str
    title: str
    row: str
    concludes: str


@dataclass(frozen=True, slots=True)
class Finding:
    """One sentence for the grower.

    certain: False where the rule could only hold for some value of what is unknown; ``unknown`` names those fields.
    outcome: cosmetic, slow, decline or death where a claim says what happens.
    withhold: a blocker that keeps the verdict back. resting: it speaks of the plant's rest, not of its growth.
    loose: (row kind, field) of what is unknown or merely a range, where the finding is not certain.
    side: which end of the plant's band it weighs, low or high, where its margin tells.
    """

    rule: str
    title: str
    severity: str
    certain: bool
    says: str
    do: str
    axis: str
    plants: tuple[str, ...]
    months: str
    why: str
    basis: str
    sources: tuple[str, ...]
    disputed: bool
    withhold: bool
    cap: str
    unknown: tuple[str, ...]
    chain: tuple[Step, ...]
    kind: str
    outcome: str
    loose: tuple[tuple[str, str], ...]
    resting: bool
    side: str

    @property
    def holds_back(self) -> bool:
        """It keeps the verdict unproven: a blocker that nobody can rule out, or a rule that says so itself."""
        return (self.severity == "blocker" and self.withhold) or (self.certain and self.cap == "unproven")

    @property
    def rank(self) -> tuple[int, int, str, tuple[str, ...], str]:
        """Gravest and certain first, then by rule and plant, so that the same facts print in the same order."""
        return (-GRAVE[self.severity], 0 if self.certain else 1, self.rule, self.plants, self.months)


PLANT_KEYS = ("plant", "first", "second")
SIDES = {("_under", "_short", "_near"): "low", ("_over", "_far"): "high"}


def findings_of(
    judgement: Judgement, rules: Sequence[Rule], rows: Sequence[Row], names: Mapping[str, str], horizon: str
) -> list[Finding]:
    """Every finding that is certain, and every grave one that is only possible, gravest first."""
    by_rule = {r.id: r for r in rules}
    by_row = {r["id"]: r for r in rows}
    gathered: dict[tuple[str, tuple[str, ...], bool, str], list[str]] = {}
    for rule_id, row_id in judgement.possible.firings:
        rule, row = by_rule[rule_id], by_row[row_id]
        if rule.finding is None:
            continue
        certain = (rule_id, row_id) in judgement.certain
        grave = _season(severity(rule.finding, row, possible=not certain), rule, row, horizon)
        if not certain and GRAVE[grave] < GRAVE["condition"]:
            continue
        gathered.setdefault((rule_id, _keys(row), certain, grave), []).append(row_id)
    found = []
    for (rule_id, keys, certain, grave), ids in gathered.items():
        if not certain and (rule_id, keys, True, grave) in gathered:
            continue  # what is certain in some months need not be said again of months where it is possible
        steps = (judgement.certain if certain else judgement.possible).explain(rule_id, ids[0])
        chain = [(by_rule[s.rule], by_row[s.row]) for s in steps]
        found.append(_finding(by_rule[rule_id], _together([by_row[i] for i in ids]), grave, certain, chain, names))
    return sorted(found, key=lambda f: f.rank)


def _keys(row: Row) -> tuple[str, ...]:
    """The plants a row speaks of; a row of the case, and rows with a subject of their own, stand for themselves."""
    plants = tuple(row[k] for k in PLANT_KEYS if k in row)
    return plants if "run" in row else (*plants, row["id"])


def _together(rows: Sequence[Row]) -> Row:
    """Rows of one plant in several runs of months as one: numbers span their hull, the months are joined."""
    if len(rows) == 1:
        return rows[0]
    merged = dict(rows[0])
    for name, value in rows[0].items():
        if isinstance(value, tuple) and name != "run":
            merged[name] = (min(r[name][0] for r in rows), max(r[name][1] for r in rows))
    merged["months"] = month_words({m for r in rows for m in r["run"]}, 1)
    return merged


def _season(grave: str, rule: Rule, row: Row, horizon: str) -> str:
    """Over one season a plant that declines is a condition, not a blocker; death stays one."""
    if horizon == "one-season" and grave == "blocker" and rule.finding is not None and rule.finding.by:
        return "condition" if row[rule.finding.by] == "decline" else grave
    return grave


def _finding(
    rule: Rule, row: Row, grave: str, certain: bool, steps: Sequence[tuple[Rule, Row]], names: Mapping[str, str]
) -> Finding:
    assert rule.finding is not None
    read = {leaf.field for leaf in rule.leaves}
    unknown = tuple(sorted(f for f in read if row[f] in ("?", UNBOUNDED)))
    # of a figure that nobody stated at all the grower is asked; what is stated but overlaps keeps the verdict back
    unstated = any(row[f] == UNBOUNDED for f in read)
    chain = tuple(Step(r.id, r.title, _about(x, names), r.conclude.tag if r.conclude else "") for r, x in steps)
    return Finding(
        rule=rule.id,
        title=rule.title,
        severity=grave,
        certain=certain,
        says=fill(rule.finding.says, row, names).replace(" in all year", " all year"),
        do=fill(rule.finding.do, row, names) if rule.finding.do else "",
        axis=rule.finding.axis,
        plants=tuple(row[k] for k in PLANT_KEYS if k in row),
        months="" if row.get("months") == NO_MONTHS else str(row.get("months", "")),
        why=rule.why,
        basis=rule.basis,
        sources=tuple(s["id"] for s in rule.sources),
        disputed=rule.disputed,
        withhold=rule.if_unknown == "withhold" and not unstated,
        cap=rule.finding.cap,
        unknown=unknown,
        chain=chain if len(chain) > 1 else (),
        kind=rule.kind,
        outcome=row[rule.finding.by] if rule.finding.by else "",
        loose=()
        if certain
        else tuple(sorted((rule.kind, f) for f in read if f in unknown or _wide(rule.kind, row[f]))),
        resting=rule.kind == "plant.year" or row.get("phase") == "rest",
        side=next((side for ends, side in SIDES.items() if any(f.endswith(ends) for f in read)), ""),
    )


def _wide(kind: str, value: object) -> bool:
    """Whether a month's margin is a range that a closer measurement could settle: not one open downward, where
    nobody knows how much more the plant stands.
    """
    return kind.startswith("month.") and isinstance(value, tuple) and -LIMIT < value[0] < value[1]


def _about(row: Row, names: Mapping[str, str]) -> str:
    keys = [names.get(row[k], row[k]) for k in PLANT_KEYS if k in row]
    return ", ".join(keys) if keys else "the case"


def decide(findings: Sequence[Finding]) -> str:
    """The verdict: a certain blocker, a blocker that nobody can rule out, a condition, or sound.

    Disputed rules decide nothing alone. What is merely not assessed caps the verdict at conditional.
    """
    return max(map(weight, findings), key=VERDICTS.index, default="sound")


def weight(finding: Finding) -> str:
    """The verdict that one finding alone would lead to."""
    if finding.disputed:
        return "sound"
    if finding.certain and finding.severity == "blocker":
        return "unsound"
    if finding.holds_back:
        return "unproven"
    grave = GRAVE[finding.severity] >= GRAVE["condition"]
    return "conditional" if grave or (finding.certain and finding.cap == "conditional") else "sound"


def worst(verdicts: Sequence[str]) -> str:
    """Several readings of the same question:

    alike, the common verdict; workable either way, conditional; else unproven.
    """
    if len(set(verdicts)) == 1:
        return verdicts[0]
    return "conditional" if set(verdicts) <= {"sound", "conditional"} else "unproven"
