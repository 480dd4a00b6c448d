"""The page of a rule: what it tests in words, what it says, why, and the examples it was written for."""

from __future__ import annotations

from typing import Any

from markupsafe import Markup

from bogwright.knowledge.documents import Record
from bogwright.report.site.atlas import Atlas, Page
from bogwright.report.site.markup import Text, bullets, cat, el, joined, scientific
from bogwright.report.site.share_data import JUDGED_KINDS
from bogwright.report.site.sheet import Sheet
from bogwright.report.site.wording import counted, figure, or_list, severity, standing, words
from bogwright.rules import Rule
from bogwright.rules.fields import Kind
from bogwright.rules.model import AnyOf, Condition, Example, Leaf, TagOn
from bogwright.rules.says import SLOT

MOST = 24  # plants that are named at once
_ORDERINGS = {"below": "is below", "at-most": "is at most", "at-least": "is at least", "above": "is above"}
_NAMED = " as the grower named it"
_UNKNOWN = {
    "ask": "If a value is not known, the rule is listed as not assessed and the verdict is at best conditional.",
    "withhold": "If a value is not known and the rule could hold, the verdict is withheld as unproven.",
}
_CAPS = {"conditional": "The verdict is then at best conditional.", "unproven": "The verdict is then at best unproven."}


def page(atlas: Atlas, rule: Rule, record: Record) -> Page:
    """The page of one rule."""
    sheet = Sheet(atlas, f"rules/{rule.id}/")
    kind = atlas.bench.fields.kinds[rule.kind]
    parts: list[Text] = [el("header", el("h1", rule.title), el("p", *_facts(rule, kind)), class_="title")]
    parts.append(sheet.section("When it holds", "when", *_when(sheet, rule, kind)))
    parts.append(sheet.section("What follows", "says", *_outcome(sheet, rule, kind)))
    parts.append(sheet.section("Why", "why", el("p", sheet.prose(rule.why)), _basis(sheet, rule)))
    parts.append(sheet.section("Examples", "examples", *_examples(rule, kind)))
    parts.append(sheet.section("Plants", "plants", _plants(sheet, rule)))
    line = record.positions.value(rule.path)[0]
    file = sheet.file(record.name, line)
    mend = sheet.link("How to correct it", "correcting/")
    told = cat("This rule, ", el("code", rule.id), ", stands in ", file, ". ", mend, ".")
    parts.append(el("p", told, class_="mend"))
    stage = place_of(record)[0]
    trail = (("Rules", "rules/", ""), (stage.capitalize(), "rules/", stage_anchor(stage)))
    return Page(sheet.here, rule.title, cat(*parts), "rules/", rule.why, trail, tuple(sheet.toc))


def _plants(sheet: Sheet, rule: Rule) -> Markup:
    """The plants a rule speaks of, for its page; many are folded away by genus."""
    if rule.kind not in JUDGED_KINDS or rule.kind == "case.group":
        return el(
            "p", "Which plants it means hangs on their enclosure or company, so none is named here.", class_="dim"
        )
    entries = [sheet.atlas.base.entries[one] for one in sheet.atlas.spoken.plants.get(rule.id, ())]
    plants = [one for one in entries if not one.listed]
    by_name = len(entries) - len(plants)
    more: Text = el("p", f"And {counted(by_name, 'plant')} known by name only.", class_="dim") if by_name else ""
    if not plants:
        return cat(el("p", "No profiled plant by itself.", class_="dim"), more)
    if len(plants) <= MOST:
        return cat(bullets(map(sheet.entry_link, plants), class_="columns"), more)
    folds = []
    for genus in sorted({one.genus for one in plants}):
        kept = [one for one in plants if one.genus == genus]
        name = el("b", scientific(sheet.atlas.genus_name(genus)))
        summary = el("summary", name, " ", counted(len(kept), "plant"))
        folds.append(el("details", summary, el("p", joined(map(sheet.entry_link, kept))), class_="fold names"))
    return cat(el("p", counted(len(plants), "profiled plant"), "."), *folds, more)


def place_of(record: Record) -> tuple[str, str]:
    """Stage and topic of a rule file, in words."""
    parts = record.name.removesuffix(".yaml").split("/")
    return words(parts[1]), words("/".join(parts[2:]) or parts[1])


def stage_anchor(stage: str) -> str:
    """Where the index of rules has the rules of a stage."""
    return f"stage-{stage.replace(' ', '-')}"


def _facts(rule: Rule, kind: Kind) -> list[Text]:
    facts: list[Text] = [grave(rule), f" · looks at {kind.of or kind.title or kind.name}"]
    if rule.disputed:
        facts += [" · ", standing("disputed"), ": it may decide nothing alone"]
    return facts


def grave(rule: Rule) -> Markup:
    """The severity of a rule, or that it is a step for others."""
    if rule.finding is None:
        return el(
            "span",
            el("span", "→", aria_hidden="true"),
            " step",
            class_="severity",
            title="a step that other rules read",
        )
    if rule.finding.by:
        return cat(severity(rule.finding.worst), " at worst")
    return severity(rule.finding.severity)


def _when(sheet: Sheet, rule: Rule, kind: Kind) -> list[Text]:
    tests: list[Text] = [_condition(one, kind) for one in rule.when]
    tests += [_tag_read(sheet, tag, kind) for tag in rule.tags]
    lead = "All of this holds:" if len(tests) > 1 else "This holds:"
    parts: list[Text] = [el("p", lead), bullets(tests, class_="tests")]
    if rule.finding is not None and rule.finding.worst in ("blocker", "condition"):
        parts.append(el("p", _UNKNOWN[rule.if_unknown], class_="dim"))
    if rule.dual_of:
        parts.append(el("p", "It holds exactly where ", rule_link(sheet, rule.dual_of), " does not.", class_="dim"))
    return parts


def _condition(one: Condition, kind: Kind) -> Markup:
    if isinstance(one, Leaf):
        return _leaf(one, kind)
    assert isinstance(one, AnyOf)
    ways = [joined((_leaf(leaf, kind) for leaf in alternative), " and ") for alternative in one.alternatives]
    return cat("any of these:", bullets(ways))


def _leaf(leaf: Leaf, kind: Kind) -> Markup:
    field = kind.fields[leaf.field]
    subject = el("span", field.title or words(leaf.field), class_="subject")
    if not leaf.words:
        return cat(subject, f" {_ORDERINGS[leaf.op]} ", el("b", figure(leaf.bound, leaf.bound, field.unit)))
    listed = or_list([el("b", words(word)) for word in leaf.words])
    return cat(subject, " is " if leaf.op == "one-of" else " is not ", listed)


def _tag_read(sheet: Sheet, tag: TagOn, kind: Kind) -> Markup:
    makers = [rule for rule, _ in sheet.atlas.rules.values() if rule.conclude and rule.conclude.tag == tag.tag]
    about = kind.fields[tag.on].title or words(tag.on)
    by = cat(", concluded by ", joined(rule_link(sheet, rule.id) for rule in makers)) if makers else ""
    return cat("it is known of the ", about, ": ", el("b", words(tag.tag)), by)


def rule_link(sheet: Sheet, rule: str) -> Markup:
    """A link to a rule by its title; an id nobody knows is shown as it stands."""
    known = sheet.atlas.rules.get(rule)
    return sheet.link(known[0].title, f"rules/{rule}/") if known else el("code", rule)


def _outcome(sheet: Sheet, rule: Rule, kind: Kind) -> list[Text]:
    if rule.conclude is not None:
        tag = rule.conclude.tag
        readers = [other.id for other, _ in sheet.atlas.rules.values() if any(one.tag == tag for one in other.tags)]
        about = kind.fields[rule.conclude.on].title or words(rule.conclude.on)
        parts: list[Text] = [el("p", "It is concluded of the ", about, ": ", el("b", words(rule.conclude.tag)), ".")]
        if readers:
            parts.append(el("p", "Read by ", joined(rule_link(sheet, one) for one in readers), "."))
        return parts
    finding = rule.finding
    assert finding is not None
    parts = [el("p", template(finding.says, kind), class_="says")]
    if finding.do:
        parts.append(el("p", el("b", "What to do: "), template(finding.do, kind)))
    if finding.by:
        by = kind.fields[finding.by].title or words(finding.by)
        grades = [cat(words(word), ": ", severity(level)) for word, level in finding.words]
        parts.append(el("div", el("p", f"How grave it is depends on one thing: {by}."), bullets(grades)))
    if finding.cap:
        parts.append(el("p", _CAPS[finding.cap], class_="dim"))
    return parts


def template(says: str, kind: Kind) -> Markup:
    """A sentence whose slots show what will stand there."""
    out: list[Text] = []
    last = 0
    for slot in SLOT.finditer(says):
        name = slot[1].partition(":")[0].strip()
        field = kind.fields.get(name)
        title = ((field.title if field else "") or words(name)).removesuffix(_NAMED)
        out += [says[last : slot.start()], el("span", title, class_="slot")]
        last = slot.end()
    return cat(*out, says[last:])


def _basis(sheet: Sheet, rule: Rule) -> Markup:
    cited = [sheet.cited(ref["id"], ref["locator"], ref["as_stated"]) for ref in rule.sources]
    return cat(el("p", "Standing: ", standing(rule.basis)), bullets(cited) if cited else "")


def _examples(rule: Rule, kind: Kind) -> list[Text]:
    parts: list[Text] = []
    for title, examples in (("It speaks", rule.fires), ("It stays silent", rule.near_misses)):
        if examples:
            parts += [el("h3", title), bullets(_example(example, kind) for example in examples)]
    return parts


def _example(example: Example, kind: Kind) -> Markup:
    values = [_value(kind, name, value) for name, value in example.values.items()]
    values += [f"{words(tag)} is known" for tag in example.tags or ()]
    return cat(el("b", example.name), " — ", joined(values, "; ")) if values else el("b", example.name)


def _value(kind: Kind, name: str, value: Any) -> str:
    field = kind.fields[name]
    if isinstance(value, str):
        shown = "unknown" if value == "?" else words(value)
    else:
        shown = figure(value[0], value[1], field.unit)
    return f"{field.title or words(name)}: {shown}"
