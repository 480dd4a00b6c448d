"""The page of a taxon, a horticultural group or a genus: who it is, what it asks, its year, its care."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from markupsafe import Markup

from bogwright.knowledge import STAGES, BandClaim, Entry, Profile
from bogwright.report.site import members, needs_pages, year
from bogwright.report.site.atlas import Atlas, Page
from bogwright.report.site.charts import glance, matrix
from bogwright.report.site.claims import Row, cue_rows, flowers, table
from bogwright.report.site.markup import Text, bullets, cat, el, joined, slug
from bogwright.report.site.rule_pages import grave, rule_link
from bogwright.report.site.sheet import Sheet, kind_word, shown_name
from bogwright.report.site.wording import CITES, RANKS, capital, counted, words
from bogwright.sharing.demands import Demand, floats
from bogwright.sharing.months import GROWTH

# what a plant's page always shows, known or not
CORE = (
    "air.temperature_day",
    "air.temperature_night",
    "air.humidity",
    "light.dli",
    "light.photoperiod",
    "water.moisture",
    "water.table_below_crown",
    "water.solids_supply",
)
CARE = (
    ("Medium and roots", "medium", ("medium", "roots")),
    ("Feeding", "feeding", ("feeding",)),
    ("Habit", "habit", ("habit",)),
    ("Propagation", "propagation", ("propagation",)),
    ("Health", "health", ("health",)),
    ("Law and cautions", "law", ("law", "people")),
)
_WHEN = {"always": "", "some years": " (in some of its years)", "neighbour": " (of what stands beside it)"}
TITLES = {"identity.range": "Native range"}
ASKS = (("Air", "air"), ("Light", "light"), ("Water", "water"))


def page(atlas: Atlas, entry: Entry) -> Page:
    """The page of one profile."""
    url = atlas.url(entry)
    sheet = Sheet(atlas, url, entry)
    profile = atlas.base.profile(entry.id)
    body = cat(_head(sheet, profile), _body(sheet, profile))
    names = ", ".join(name.shown for name in entry.names if name.kind == "common")
    about = f"What {entry.name} asks of air, light and water, its year and its care, with the source of every figure."
    section = "groups/" if entry.kind == "group" else "plants/"
    return Page(url, entry.name, body, section, f"{about} {names}".strip(), crumbs(atlas, entry), tuple(sheet.toc))


def crumbs(atlas: Atlas, entry: Entry) -> tuple[tuple[str, str, str], ...]:
    """The pages above, from the index down."""
    above = [("Plants", "plants/", "")]
    if entry.kind != "genus":
        above.append((atlas.genus_name(entry.genus), f"plants/{entry.genus}/", ""))
    group = atlas.base.entries.get(entry.group) if entry.group else None
    if group:
        above.append((group.name, atlas.url(group), ""))
    if entry.form:
        species = atlas.species_of(entry)
        above.append((species.name, atlas.url(species), ""))
    return tuple(above)


def _head(sheet: Sheet, profile: Profile) -> Markup:
    entry = profile.entry
    authority = profile.value("identity.authority") if profile.claim("identity.authority") and not entry.form else None
    title = (
        cat(shown_name(entry), " ", el("span", str(authority), class_="authority")) if authority else shown_name(entry)
    )
    common = profile.value("identity.common_names") if profile.claim("identity.common_names") else None
    lead: list[Text] = []
    if common:
        lead.append(el("p", joined([common] if isinstance(common, str) else common), class_="common"))
    rank = RANKS.get(entry.rank or "", entry.rank or "")
    kind = {"group": "horticultural group", "genus": "genus"}.get(entry.kind, rank)
    facts = [f"{kind} of {sheet.atlas.genus_name(entry.genus)}" if entry.kind != "genus" else kind]
    if entry.kind == "taxon":
        listed = profile.value("law.cites") if profile.claim("law.cites") else None
        facts += [f"CITES: {CITES[listed]}" if listed else "", _founded(profile)]
    when = flowers(profile)
    facts.append(f"Flowers {when}" if when else "")
    lead.append(el("p", ". ".join(capital(fact) for fact in facts if fact) + ".", class_="dim"))
    if entry.outline:
        told = "Only the identity of this plant is known. What it asks is taken from its group."
        lead.append(el("p", told, class_="callout"))
    if entry.kind == "taxon":
        lead.append(_onward(sheet, entry))
    return el("header", el("h1", title), *lead, class_="title")


def _onward(sheet: Sheet, entry: Entry) -> Markup:
    """Where this plant can be taken as a choice."""
    compare = el("a", "Compare it with others", href=f"{sheet.target('compare/')}?plants={entry.id}")
    share = el("a", "What can it share a case with?", href=f"{sheet.target('share/')}?plants={entry.id}")
    return el("p", compare, " · ", share, class_="onward")


def _founded(profile: Profile) -> str:
    """How many care figures a page has and how they are founded."""
    found: dict[str, int] = {}
    inherited = 0
    for path in profile.fields():
        claim = profile.claim(path)
        if isinstance(claim, BandClaim) and not path.startswith("identity."):
            ends = {(end.basis, end.origin.record.name, end.origin.path): end.inherited for end in claim.ends()}
            for (basis, _, _), up in ends.items():
                found[basis] = found.get(basis, 0) + 1
                inherited += up
    total = sum(found.values())
    if not total:
        return ""
    parts = [
        f"{found[basis]} {words(basis)}" for basis in ("published", "common-practice", "from-memory") if basis in found
    ]
    return f"{counted(total, 'care band')}: {', '.join(parts)}; {inherited} of them inherited"


def _body(sheet: Sheet, profile: Profile) -> Markup:
    entry = profile.entry
    paths = sheet.atlas.in_order(profile, profile.fields())
    demands = _demands(sheet.atlas, profile) if entry.kind == "taxon" else {}
    glanced = entry.kind == "taxon" and not sheet.atlas.base.differing_forms(entry.id)
    parts: list[Text] = [glance.section(sheet, profile, demands, _core(profile))] if glanced else []
    parts += [members.listing(sheet, entry), matrix.section(sheet, entry)]
    if not glanced:
        parts.append(glance.section(sheet, profile, demands, _core(profile)))
    parts.append(_claims(sheet, profile, "Identity", "identity", [("", _rows(profile, paths, ("identity",)))]))
    asks = [(title, _asks(sheet, profile, demands, paths, part)) for title, part in ASKS]
    parts.append(_claims(sheet, profile, "What it asks in growth", "asks", asks))
    if profile.ways or entry.kind == "taxon":
        parts.append(sheet.section("Through the year", "year", year.ways(sheet, profile)))
    for title, anchor, heads in CARE:
        parts.append(_claims(sheet, profile, title, anchor, [("", _rows(profile, paths, heads))]))
    parts.append(_stages(sheet, profile))
    disputes = [el("a", _called(profile, path), href=f"#{slug(path)}") for path in paths if path in profile.readings()]
    if disputes:
        told = (
            "Sources of like standing disagree here. Both readings are shown, and a verdict that hangs on one says so."
        )
        parts.append(sheet.section("Disputed", "disputed", el("p", told), bullets(disputes)))
    if profile.notes:
        parts.append(sheet.section("Notes", "notes", bullets(_notes(sheet, profile))))
    if entry.kind == "genus":
        parts.append(members.by_name(sheet, entry.genus))
    if entry.kind == "taxon":
        parts.append(sheet.section("Among other plants", "among", needs_pages.stands_in(sheet, entry)))
        parts.append(sheet.section("Rules", "rules", _spoken(sheet, entry)))
    parts.append(_mend(sheet, entry))
    return joined(parts, "")


def _notes(sheet: Sheet, profile: Profile) -> Iterator[Markup]:
    """Notes for readers, the plant's own first, each with its line."""
    for layer in profile.layers:
        for n, note in enumerate(layer.data.get("notes", ())):
            line = layer.record.positions.value((*layer.root, "notes", n))[0]
            yield cat(sheet.prose(note), " ", el("small", sheet.file(layer.record.name, line)))


def _rows(profile: Profile, paths: Sequence[str], heads: Sequence[str]) -> list[Row]:
    return [Row(path, _called(profile, path), profile.claim(path)) for path in paths if path.split(".")[0] in heads]


def _called(profile: Profile, path: str) -> str:
    """The title of a field; those of a map carry its key: ``Seed: germination``."""
    claim = profile.claim(path)
    title = TITLES.get(path) or (claim.field.title if claim else path)
    keys = path.split(".")
    if path.startswith(("propagation.methods.", "health.treatments.", "feeding.fertiliser.")):
        key = keys[2] if keys[0] != "feeding" else "fertiliser"
        return f"{words(key).capitalize()}: {title[:1].lower()}{title[1:]}"
    if "rests" in keys:
        return (
            f"{title}, {words(keys[4])} rest of “{profile.ways[keys[2]].title}”" if keys[2] in profile.ways else title
        )
    return title


def _claims(sheet: Sheet, profile: Profile, title: str, anchor: str, groups: list[tuple[str, list[Row]]]) -> Markup:
    if not any(rows for _, rows in groups):
        return Markup("")
    caption = f"{title}: {profile.entry.name}"
    return sheet.section(title, anchor, table(sheet, caption, groups), sheet.evidence())


def _core(profile: Profile) -> list[str]:
    """What its page shows even where nobody has written a figure."""
    if profile.entry.kind != "taxon":
        return []
    return [path for path in CORE if path != "water.table_below_crown" or not floats(profile)]


def _asks(sheet: Sheet, profile: Profile, demands: Mapping[str, Demand], paths: Sequence[str], part: str) -> list[Row]:
    """Claims of growth; a taxon shows the core needs even where nobody has written a figure."""
    core = [path for path in _core(profile) if path.startswith(f"{part}.")]
    named = core + [path for path in paths if path.startswith(f"{part}.") and path not in core]
    rows = []
    for path in named:
        field = sheet.atlas.base.fields.get(path)
        rows.append(Row(path, field.title if field else path, profile.claim(path), demands.get(path)))
    if part == "light":
        rows += cue_rows("light.cues", profile.cues())
    return rows


def _demands(atlas: Atlas, profile: Profile) -> dict[str, Demand]:
    """What the engine makes of the claims in growth, by path of the claim."""
    needs = atlas.bench.needs(profile, id=profile.id, name=profile.name)
    grown = needs.demands[GROWTH]
    return {axis.claim: grown[key] for key, axis in atlas.bench.axes.by_id.items() if key in grown}


def _stages(sheet: Sheet, profile: Profile) -> Markup:
    """What differs at another stage of life, field by field."""
    groups = []
    for stage in STAGES[:-1]:
        grown = profile.stage(stage)
        paths = sheet.atlas.in_order(grown, grown.stage_fields())
        rows = [Row(f"stages.{stage}.{path}", _called(grown, path), grown.claim(path)) for path in paths]
        groups.append((stage.capitalize(), rows))
    return _claims(sheet, profile, "At other stages", "stages", groups)


def _spoken(sheet: Sheet, entry: Entry) -> Markup:
    """The rules that speak of a plant, for its page."""
    found = sheet.atlas.spoken.rules.get(entry.id, {})
    known = sheet.atlas.rules
    items = [cat(rule_link(sheet, rule), " ", grave(known[rule][0]), _WHEN[when]) for rule, when in found.items()]
    told = cat(
        "They hold whatever the enclosure. What its air, light and water must be, ",
        sheet.link("other rules", "rules/"),
        " hold against the figures above.",
    )
    return cat(el("p", told), bullets(items) if items else el("p", "None.", class_="dim"))


def _mend(sheet: Sheet, entry: Entry) -> Markup:
    line = sheet.atlas.base.records[entry.record].positions.key(entry.root)[0] if entry.form else None
    file = sheet.file(entry.record, line)
    told = cat("This page is built from ", file, ". ", sheet.link("How to correct it", "correcting/"), ".")
    return el("p", told, f" It is the page of a {kind_word(entry)}." if entry.kind == "group" else "", class_="mend")
