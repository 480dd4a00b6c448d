"""An answer on the terminal: verdict first, then who, what binds, what to do, and what to build."""

from __future__ import annotations

import os
import sys
import textwrap
from collections.abc import Mapping, Sequence
from typing import Any, TextIO

from bogwright.report.content import HORIZONS, SHOWN_AXES
from bogwright.rules.says import interval, number
from bogwright.sharing.months import NAMES, month_words, spans

MOST_FINDINGS = 7
WIDTH = 100
LEAD = {
    "sound": "SOUND",
    "conditional": "CONDITIONAL",
    "unproven": "UNPROVEN",
    "unsound": "UNSOUND",
}
MEANS = {
    "sound": "this works",
    "conditional": "this works if you keep the conditions below",
    "asked": "nothing stated speaks against it, and what decides is not all stated: it is asked below",
    "unproven": "nobody can honestly say yet; what would decide is named below",
    "unsound": "this will not work",
}
OUTCOMES = {"thrives": "has what it likes best", "keeps": "lives on for good with less than that"}
UNITS = {
    "temperature_day": "K",
    "temperature_night": "K",
    "night_drop": "K",
    "day_limit_by_night": "K",
    "photoperiod": "h",
    "humidity": "%",
}
CLASHES = {
    "temperature_day": "the days",
    "temperature_night": "the nights",
    "night_drop": "the drop from day to night",
    "day_limit_by_night": "days after warm nights",
    "photoperiod": "the hours of light",
    "humidity": "the humidity",
    "year": "the whole year",
}
TITLES = {
    "temperature_day": "day °C",
    "temperature_night": "night °C",
    "night_drop": "drop K",
    "photoperiod": "light h",
    "humidity": "humidity %",
}


def bold(text: str, out: TextIO) -> str:
    """Bold on a terminal that wants it; NO_COLOR and pipes get plain text."""
    if os.environ.get("NO_COLOR") or not out.isatty():
        return text
    return f"\x1b[1m{text}\x1b[0m"


def show(made: Mapping[str, Any], out: TextIO | None = None, *, everything: bool = False, why: bool = False) -> None:
    """Print the content of an answer."""
    out = out or sys.stdout
    lines: list[str] = [_headline(made, out)]
    asked = made["verdict"] == "conditional" and (
        not made["findings"] or any(p["outcome"] == "uncertain" for p in made["plants"])
    )
    lines += wrap(MEANS["asked" if asked else made["verdict"]], "  ")
    if made["readings"]:
        alike = len({r["verdict"] for r in made["readings"]}) == 1
        head = (
            "Judged under each reading, with the same verdict" if alike else "It depends on how you read what is open"
        )
        lines += ["", bold(head, out)]
        lines += [line for r in made["readings"] for line in wrap(f"{r['verdict']}: {r['reading']}", "  ")]
    told = [f"{word}: {OUTCOMES[word]}" for word in OUTCOMES if any(p["outcome"] == word for p in made["plants"])]
    lines += ["", bold("Plants", out) + (f" ({'; '.join(told)})" if told else ""), *_plants(made)]
    lines += _findings(made, out, everything, why)
    if made["actions"]:
        lines += ["", bold("What would make it work (each judged again)", out)]
        lines += [
            line
            for n, a in enumerate(made["actions"], 1)
            for line in wrap(f"{n}. {a['action']} → {a['verdict']}", "  ", "     ")
        ]
    lines += _settings(made, out)
    if made.get("clashes") and made["verdict"] != "sound" and "regime" not in made:
        lines += ["", bold("Why no year serves them all", out), *_clashes(made)]
    if "window" in made:
        lines += ["", bold(f"What to build: {made['regime']['title']}", out), *_window(made), "", *_spots(made)]
    lines += _open_questions(made, out, everything)
    lines += _cautions(made, out, everything)
    out.write("\n".join(line.rstrip() for line in lines) + "\n")


def _headline(made: Mapping[str, Any], out: TextIO) -> str:
    head = f"{LEAD[made['verdict']]} {HORIZONS[made['horizon']]}"
    about = made["title"] if made["question"] == "plan" else ""
    problem = f" — the problem: {made['problem']}" if made["problem"] and made["verdict"] != "sound" else ""
    return bold(head, out) + (f": {about}" if about else "") + problem


def wrap(text: str, indent: str = "", further: str | None = None) -> list[str]:
    """Lines of at most WIDTH, the first behind ``indent``, the others behind ``further``."""
    return textwrap.wrap(
        text, WIDTH, initial_indent=indent, subsequent_indent=indent if further is None else further
    ) or [""]


def _plants(made: Mapping[str, Any]) -> list[str]:
    width = max(len(p["plant"]) for p in made["plants"])
    lines = []
    for plant in made["plants"]:
        words = plant["outcome"] + (" if you do what is said below" if plant["if_kept"] else "")
        if plant.get("away"):
            words += f", away {plant['away']}"
        if plant.get("because"):
            words += f" — {plant['because'][0].lower()}{plant['because'][1:]}"
            words += f" ({plant['months']})" if plant.get("months") not in (None, plant.get("away")) else ""
        lines += wrap(f"{plant['plant']:<{width}}  {words}", "  ", " " * (width + 4))
    return lines


def _findings(made: Mapping[str, Any], out: TextIO, everything: bool, why: bool) -> list[str]:
    findings = made["findings"]
    if not findings:
        return []
    groups = _alike(findings)
    shown = groups if everything else groups[:MOST_FINDINGS]
    word = {"blocker": "Blocker", "condition": "Condition", "caution": "Caution", "note": "Note"}
    lines = ["", bold("What decides", out)]
    for finding, *others in shown:
        doubt = "" if finding["certain"] else " (possible)"
        lines += wrap(f"{word[finding['severity']]}{doubt}: {finding['says']}", "  ", "    ")
        if others:
            lines += wrap(f"The same holds for {', '.join(one['plants'][0] for one in others)}.", "    ")
        if finding.get("do"):
            lines += wrap(f"→ {finding['do']}", "    ", "      ")
        if finding.get("chain") and not why:
            lines += wrap(" ⇒ ".join(step["title"] for step in finding["chain"]), "      ", "        ")
        lines += wrap(_standing(finding), "      ", "      ")
        if why:
            lines += _reasons(finding)
    if len(groups) > len(shown):
        lines.append(f"  … and {sum(map(len, groups[len(shown) :]))} more: add --all")
    return lines


def _alike(findings: Sequence[Mapping[str, Any]]) -> list[list[Mapping[str, Any]]]:
    """Findings that say the same of several plants, gathered, so that the sentence is read once."""
    found: dict[tuple[str, ...], list[Mapping[str, Any]]] = {}
    for n, finding in enumerate(findings):
        plants = finding.get("plants", ())
        told = [finding["says"], finding.get("do", "")]
        if len(plants) == 1 and not finding.get("chain"):
            told = [text.replace(plants[0], "@") for text in told]
            key = (finding["rule"], finding["severity"], str(finding["certain"]), *told)
        else:
            key = (str(n),)
        found.setdefault(key, []).append(finding)
    return list(found.values())


def _settings(made: Mapping[str, Any], out: TextIO) -> list[str]:
    """Changes of the build that the model asks for, one after another; and what its answer hangs on."""
    lines = []
    if made.get("settings"):
        lines += ["", bold("What to change, one after another (worked out on the model, each judged again)", out)]
        for n, step in enumerate(made["settings"], 1):
            lines += wrap(f"{n}. {step['change']} → {step['verdict']}", "  ", "     ")
    if made.get("decided_by"):
        lines += ["", bold("What the answer hangs on", out)]
        for one in made["decided_by"]:
            low, high = one["range"]
            at_low, at_high = one["verdicts"]
            ends = f"{at_low} at {number(low)}, {at_high} at {number(high)}"
            if at_low == at_high:
                ends = f"fewer faults at {number(one['range'][one['better'] == 'high'])}"
            span = f"{number(low)} to {interval(high, high, one.get('unit', ''))}"
            lines += wrap(f"{one['input']}, {span}: {ends} → measure {one['measure']}", "  ", "    ")
    return lines


def _standing(finding: Mapping[str, Any]) -> str:
    parts = [
        f"rule {finding['rule']}",
        finding["basis"] + (f" ({', '.join(finding['sources'])})" if finding.get("sources") else ""),
    ]
    claim = finding.get("claim")
    if claim:
        where = f" {claim['file']}:{claim['line']}" if claim.get("file") else ""
        source = f" ({', '.join(claim['sources'])})" if claim.get("sources") else ""
        parts.append(f"the plant's figure: {claim['basis']}{source}{where}")
    return "; ".join(parts)


def _reasons(finding: Mapping[str, Any]) -> list[str]:
    lines = wrap(f"why: {finding['why']}", "      ")
    for step in finding.get("chain", []):
        tail = f" ⇒ {step['concludes']}" if step["concludes"] else ""
        lines += wrap(f"chain: {step['title']} [{step['about']}]{tail}", "      ", "        ")
    return lines


def _clashes(made: Mapping[str, Any]) -> list[str]:
    lines = []
    for clash in made["clashes"]:
        axis = CLASHES.get(clash["axis"], clash["axis"].replace("_", " "))
        who = " and ".join(clash["plants"])
        verb = "clash" if len(clash["plants"]) > 1 else "finds no place"
        short = "apart" if len(clash["plants"]) > 1 else "short"
        gap = f", {clash['gap']:.2g} {UNITS.get(clash['axis'], '')} {short}".replace("  ", " ") if clash["gap"] else ""
        lines += wrap(
            f"{clash['regime']}: {who} {verb} over {axis}{gap}, at worst in {NAMES[clash['month'] - 1]}", "  ", "    "
        )
    return lines


def _window(made: Mapping[str, Any]) -> list[str]:
    """The shared window, months alike on one line, with the set point in brackets."""
    rows: list[tuple[list[int], dict[str, str]]] = []
    for window in made["window"]:
        cells = {a: _cell(window["bounds"][a], window["set_point"].get(a)) for a in SHOWN_AXES}
        for months, same in rows:
            if same == cells:
                months.append(window["month"])
                break
        else:
            rows.append(([window["month"]], cells))
    labelled = [
        (_months(months), cells) for months, cells in sorted(rows, key=lambda r: spans(m % 12 for m in r[0])[0][0])
    ]
    first = max(len(label) for label, _ in labelled)
    widths = {a: max(len(TITLES[a]), *(len(cells[a]) for _, cells in labelled)) for a in SHOWN_AXES}
    lines = ["  " + " " * first + "  " + "  ".join(f"{TITLES[a]:<{widths[a]}}" for a in SHOWN_AXES)]
    for label, cells in labelled:
        lines.append("  " + f"{label:<{first}}  " + "  ".join(f"{cells[a]:<{widths[a]}}" for a in SHOWN_AXES))
    lines.append("  (in brackets: one setting that was checked; aim for it rather than for the edges)")
    if any(window["bounds"]["night_drop"][0] < 0 for window in made["window"]):
        lines.append("  (a drop below 0: the night may even be warmer than the day)")
    return [*lines, *(line for says in made.get("narrow", ()) for line in wrap(says, "  ", "    "))]


def _months(months: Sequence[int]) -> str:
    return month_words([(m - 12) % 12 for m in months], 12)


def _cell(bounds: Sequence[float], point: float | None) -> str:
    low, high = bounds
    dash = " to " if low < 0 else "–"
    span = (
        f"{low:g}{dash}{high:g}" if abs(low) < 1e6 and abs(high) < 1e6 else f"from {low:g}" if abs(low) < 1e6 else "any"
    )
    return f"{span} [{point:g}]" if point is not None else span


def _spots(made: Mapping[str, Any]) -> list[str]:
    """Each plant's own spot: light a day, moisture, when it leaves, whose water."""
    years = {y["plant"]: y for y in made["years"]}
    width = max(len(p["plant"]) for p in made["places"])
    lines = []
    beds = made["beds"]
    for place in made["places"]:
        parts = []
        if place.get("light"):
            low, high = place["light"]
            parts.append(
                f"light {low:g}–{high:g} mol/m²/day"
                if low is not None and high is not None
                else f"light from {low:g} mol/m²/day"
                if low is not None
                else ""
            )
        if place["moisture"]:
            parts.append(" or ".join(place["moisture"]))
        year = years[place["plant"]]
        if year.get("away"):
            at = f" at {year['away_at'][0]:g}–{year['away_at'][1]:g} °C" if year.get("away_at") else ""
            parts.append(f"lift out {year['away']}{at}")
        elif year.get("rest"):
            parts.append(f"rests {year['rest']} ({year['way']})")
        number = next((n for n, b in enumerate(beds, 1) if place["plant"] in b["plants"]), None)
        if number is not None and len(beds) > 1:
            parts.append(f"bed {number}" if len(beds[number - 1]["plants"]) > 1 else "water of its own")
        lines += wrap(f"{place['plant']:<{width}}  {'; '.join(p for p in parts if p)}", "  ", " " * (width + 4))
    return lines


def _open_questions(made: Mapping[str, Any], out: TextIO, everything: bool) -> list[str]:
    first = [m["what"] for m in made["measure_first"]]
    ask = ["", *wrap(bold("Measure or state first: ", out) + "; then ".join(first))] if first else []
    if not made["not_assessed"]:
        return ask
    shown = made["not_assessed"] if everything else made["not_assessed"][:5]
    lines = [*ask, "", bold("Not assessed for want of it", out)]
    for entry in shown:
        who = (
            f" — {', '.join(entry['plants'][:4])}" + (" …" if len(entry["plants"]) > 4 else "")
            if entry["plants"]
            else ""
        )
        lines += wrap(f"{entry['title']}{who}", "  ", "    ")
    if len(made["not_assessed"]) > len(shown):
        lines.append(f"  … and {len(made['not_assessed']) - len(shown)} more: add --all")
    return lines


def _cautions(made: Mapping[str, Any], out: TextIO, everything: bool) -> list[str]:
    # the same may hold of several places: it is read once
    cautions = list({(c["says"], c.get("do")): c for c in made["cautions"]}.values())
    if not cautions:
        return []
    shown = cautions if everything else cautions[:4]
    lines = ["", bold("Worth knowing", out)]
    for caution in shown:
        mark = "disputed — " if caution["disputed"] else ""
        lines += wrap(f"{mark}{caution['says']}" + (f" → {caution['do']}" if caution.get("do") else ""), "  ", "    ")
    if len(cautions) > len(shown):
        lines.append(f"  … and {len(cautions) - len(shown)} more: add --all")
    return lines
