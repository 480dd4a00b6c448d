"""The arguments of ``bogwright reckon`` and its answers on the terminal. Exit status 0, or 2 for what is refused."""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Mapping
from typing import TYPE_CHECKING, Any

from bogwright.reckon import asked

if TYPE_CHECKING:
    from bogwright.knowledge.base import KnowledgeBase

INVALID = 2


def add(commands: Any, parser_class: type[argparse.ArgumentParser]) -> None:
    """Add the command to those of the program."""
    reckon = commands.add_parser(
        "reckon",
        help="answer one question by a formula: light, water, flushing, hardening off, dilution",
        description="Answer one question by a formula. A figure may be a range, LOW-HIGH, where you know no better.",
    )
    what = reckon.add_subparsers(dest="question", required=True, metavar="WHAT", parser_class=parser_class)

    def question(name: str, told: str) -> argparse.ArgumentParser:
        made: argparse.ArgumentParser = what.add_parser(name, help=told, description=told[0].upper() + told[1:] + ".")
        made.add_argument("--json", action="store_true", help="print JSON")
        return made

    one = question("acclimate", "humidities for hardening a plant off step by step")
    one.add_argument("--from", dest="first", type=asked.number, required=True, metavar="%", help="humidity it has")
    one.add_argument(
        "--to", dest="target", type=asked.number, required=True, metavar="%", help="humidity it shall bear"
    )
    one.add_argument("--at", type=asked.number, required=True, metavar="°C", help="temperature of the air")
    one.add_argument("--weeks", type=asked.positive, required=True, help="time for it")
    one.add_argument("--steps", type=asked.count, help="number of steps (default: one a week)")
    one.add_argument("--start", type=asked.day, metavar="DATE", help="day of the first step, as 2027-03-01")

    one = question("light", "lux or photon flux to photon flux and the light of a day")
    reading = one.add_mutually_exclusive_group(required=True)
    reading.add_argument("--lux", type=asked.amounts, help="reading of a lux meter [lx]")
    reading.add_argument("--ppfd", type=asked.amounts, help="photon flux density [µmol m⁻² s⁻¹]")
    one.add_argument("--lamp", metavar="KIND", help="kind of lamp, an id of kb/lamps.yaml; with --lux")
    one.add_argument("--hours", type=asked.amounts, help="hours of light a day")

    one = question("solids", "ppm of a cheap meter to conductivity, or back")
    reading = one.add_mutually_exclusive_group(required=True)
    reading.add_argument("--ppm", type=asked.amounts, help="reading in ppm [mg/L]")
    reading.add_argument("--ec", type=asked.amounts, help="conductivity [µS/cm]")
    one.add_argument("--factor", type=asked.some, help="ppm for each µS/cm that the meter uses, 0.5 to 0.7")
    one.add_argument("--at", type=asked.span, metavar="°C", help="temperature of the water, of a meter without ATC")

    one = question("mix", "how much of two waters makes a third")
    one.add_argument("--first", type=asked.amounts, required=True, help="solids of the first water [mg/L]")
    one.add_argument("--second", type=asked.amounts, required=True, help="solids of the second water [mg/L]")
    one.add_argument("--to", type=asked.number, required=True, help="solids wanted [mg/L]")
    one.add_argument("--litres", type=asked.positive, required=True, help="amount wanted [L]")
    one.add_argument("--alkalinity", type=asked.amounts, nargs=2, metavar=("FIRST", "SECOND"), help="of the two waters")
    one.add_argument("--unit", choices=("caco3", "dkh", "meq", "hco3"), help="unit of the alkalinity")

    one = question("flush", "how often or how much to flush, and what happens without")
    one.add_argument("--supply", type=asked.amounts, required=True, help="solids of the water you give [mg/L]")
    one.add_argument("--loss", type=asked.amounts, required=True, help="water lost and made up [L/d]")
    one.add_argument("--litres", type=asked.some, required=True, help="water held by tray and medium [L]")
    one.add_argument("--limit", type=asked.positive, required=True, help="solids never to exceed [mg/L]")
    one.add_argument("--adds", type=asked.amounts, help="what feed and medium give off [mg a week]")
    routine = one.add_mutually_exclusive_group()
    routine.add_argument("--every", type=asked.some, metavar="WEEKS", help="weeks between flushes: how much to pour")
    routine.add_argument("--pour", type=asked.some, metavar="LITRES", help="litres let through: how often to flush")

    one = question("refill", "days until a vessel is dry")
    one.add_argument("--litres", type=asked.amounts, required=True, help="water that may go [L]")
    one.add_argument("--loss", type=asked.amounts, required=True, help="water lost [L/d]")

    one = question("dilute", "stock and water for a weaker product, with the dangers of both")
    one.add_argument("agent", metavar="AGENT", help="such as hydrogen-peroxide")
    one.add_argument("--stock", type=asked.positive, required=True, metavar="%", help="strength of the stock")
    one.add_argument("--to", type=asked.positive, required=True, metavar="%", help="strength wanted")
    one.add_argument("--make", type=asked.positive, required=True, metavar="LITRES", help="amount wanted [L]")

    one = question("day", "day length by month")
    one.add_argument("--latitude", type=asked.number, required=True, metavar="°", help="south is negative")

    one = question("dew", "dew point and vapour pressure deficit")
    one.add_argument("--at", type=asked.span, required=True, metavar="°C", help="temperature of the air")
    one.add_argument("--humidity", type=asked.span, required=True, metavar="%", help="relative humidity")


def run(options: argparse.Namespace) -> int:
    """Answer the question; returns the exit status."""
    from bogwright.knowledge.base import KnowledgeBase
    from bogwright.physics.ranges import OutOfRange
    from bogwright.reckon import air, light, remedy, water
    from bogwright.reckon.answer import Refused, as_data, as_text

    reckoners = {
        "acclimate": air.acclimate,
        "light": light.light,
        "solids": water.solids,
        "mix": water.mix,
        "flush": water.flush,
        "refill": water.refill,
        "dilute": remedy.dilute,
        "day": air.day,
        "dew": air.dew,
    }
    base = KnowledgeBase.open()
    try:
        tables = {name: _table(base, name) for name in ("formulas", "assumptions", "lamps")}
        answer = reckoners[options.question](options, tables)
    except OutOfRange as error:
        return _refuse(f"{error} — give a value inside it")
    except Refused as error:
        return _refuse(str(error))
    if options.json:
        made = {"question": options.question, **as_data(answer, tables)}
        print(json.dumps(made, ensure_ascii=False, indent=2, allow_nan=False))
    else:
        print(as_text(answer, tables))
    return 0


def _table(base: KnowledgeBase, name: str) -> Mapping[str, Any]:
    from bogwright.reckon.answer import Refused

    record = base.table(name)
    if record is None:
        raise Refused(f"the knowledge base has no {name}.yaml — restore it from the repository")
    contents: Mapping[str, Any] = record.data[name]
    return contents


def _refuse(message: str) -> int:
    print(f"bogwright: {message}", file=sys.stderr)
    return INVALID
