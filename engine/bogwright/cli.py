"""The command line. Exit status: 0 sound or conditional, 1 unsound, 2 invalid input, 3 unproven, 4 internal error,
130 interrupted, 141 broken pipe; ``lint`` and ``reckon`` 0 or 2; ``fits`` 1 also where nothing
fits."""

from __future__ import annotations

import argparse
import errno
import gc
import json
import os
import sys
from collections.abc import Sequence
from typing import Any, NoReturn

from bogwright import __version__
from bogwright.reckon import command as reckon

STATUS = {"sound": 0, "conditional": 0, "unsound": 1, "unproven": 3}
INVALID, INTERNAL, INTERRUPTED, BROKEN_PIPE = 2, 4, 130, 141


class _Parser(argparse.ArgumentParser):
    """argparse with the mend in the same line as the fault."""

    def error(self, message: str) -> NoReturn:
        self.exit(INVALID, f"bogwright: {message} — see '{self.prog} --help'\n")

    def parse_known_args(self, args: Any = None, namespace: Any = None) -> Any:
        for one in sys.argv[1:] if args is None else args:
            if one.startswith("--") and one.endswith("=--"):  # argparse drops such a value and then stumbles
                self.error(f"argument {one[:-3]}: '--' is no value")
        return super().parse_known_args(args, namespace)


def _parser() -> argparse.ArgumentParser:
    top = _Parser(prog="bogwright", description="Which carnivorous plants can share an enclosure, and what it must be.")
    top.add_argument("--version", action="version", version=f"bogwright {__version__}")
    commands = top.add_subparsers(dest="command", required=True, metavar="COMMAND", parser_class=_Parser)
    judge = commands.add_parser(
        "judge",
        help="judge plant names, or a plan file",
        description=(
            "Judge plant names (can they share any enclosure?) or one plan file (will this enclosure serve them?). "
            "An argument is a plan if it ends in .yaml or .yml or holds a path separator."
        ),
    )
    judge.add_argument("what", nargs="*", metavar="NAME | PLAN.yaml")
    _add_question(judge, " (names only; a plan says its own)")
    judge.add_argument("--why", action="store_true", help="print why each rule holds, and the chain that led to it")
    judge.add_argument("--all", action="store_true", help="print every finding")
    judge.add_argument("--json", action="store_true", help="print JSON (schemas/verdict.schema.json)")
    conditions = commands.add_parser(
        "conditions",
        help="what a planned enclosure will be: light, air, medium and water, month by month",
        description="Predict the conditions of a plan file as ranges, with what they rest on and what they lack.",
    )
    conditions.add_argument("plan", metavar="PLAN.yaml")
    conditions.add_argument("--all", action="store_true", help="print all that each figure rests on")
    conditions.add_argument("--json", action="store_true", help="print JSON (schemas/conditions.schema.json)")
    conditions.add_argument("--picture", metavar="FILE.svg", help="write a cross-section and the year as a picture")
    fits = commands.add_parser(
        "fits",
        help="what else would fit with these plants",
        description="Which other plants can share an enclosure with those named, soundly or with conditions: "
        "of each the roomiest first.",
    )
    fits.add_argument("what", nargs="*", metavar="NAME")
    _add_question(fits)
    fits.add_argument("--genus", metavar="GENUS", help="only plants of this genus")
    fits.add_argument("--names", action="store_true", help="also plants known by name only, judged by their group")
    fits.add_argument("--all", action="store_true", help="list every plant that fits, not only the roomiest")
    fits.add_argument("--json", action="store_true", help="print JSON (schemas/fits.schema.json)")
    plant = commands.add_parser("plant", help="show a profile with the standing and origin of every figure")
    plant.add_argument("name", nargs="*", metavar="NAME", help="none lists all known plants")
    plant.add_argument("--json", action="store_true", help="print JSON")
    reckon.add(commands, _Parser)
    lint = commands.add_parser("lint", help="check the knowledge base, or some of its files")
    lint.add_argument("paths", nargs="*", metavar="PATH")
    lint.add_argument("--all", action="store_true", help="print every warning also where no path is named")
    lint.add_argument("--json", action="store_true", help="print JSON")
    lint.add_argument(
        "--outliers", action="store_true", help="list figures far from their genus instead: for review, not errors"
    )
    stats = commands.add_parser("stats", help="what the knowledge base holds, its standing, and gaps worth filling")
    stats.add_argument("--json", action="store_true", help="print JSON")
    site = commands.add_parser("site", help="build or serve the reference site")
    actions = site.add_subparsers(dest="action", required=True, metavar="ACTION", parser_class=_Parser)
    build = actions.add_parser("build", help="build the site")
    build.add_argument("--out", metavar="FOLDER", help="where to write it (default: build/site)")
    build.add_argument("--strict", action="store_true", help="fail on any warning")
    build.add_argument(
        "--address",
        metavar="URL",
        default="",
        help="where it will be read, for the sitemap and canonical links (default: BOGWRIGHT_ADDRESS, else none)",
    )
    serve = actions.add_parser("serve", help="serve the site on this machine")
    serve.add_argument("--port", type=int, default=8000)
    return top


def _add_question(command: argparse.ArgumentParser, only: str = "") -> None:
    """What every question about plant names may say besides the names."""
    command.add_argument(
        "--for",
        dest="horizon",
        choices=("indefinitely", "two-years", "one-season"),
        default="indefinitely",
        help=f"how long it shall work{only}",
    )
    command.add_argument(
        "--stage",
        choices=("flask", "seedling", "juvenile", "adult"),
        default="adult",
        help=f"life stage{only}",
    )
    command.add_argument("--south", action="store_true", help=f"calendar months of the southern half{only}")


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command; returns the exit status."""
    # a question makes many objects and few cycles: looking for cycles less often saves a twentieth of its time
    gc.set_threshold(100_000)
    try:
        options = _parser().parse_args(argv)
        status = _run(options)
        sys.stdout.flush()
        return status
    except KeyboardInterrupt:
        return INTERRUPTED
    except BrokenPipeError:
        # the reader is gone: let nothing complain when the interpreter flushes on its way out
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return BROKEN_PIPE
    except OSError as error:
        if error.errno != errno.ENOSPC:
            return _internal(error)
        print(
            "bogwright: the disk is full, so the answer is not whole — free some space and ask again", file=sys.stderr
        )
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return INVALID
    except SystemExit as leaving:
        return leaving.code if isinstance(leaving.code, int) else INVALID
    except Exception as error:
        return _internal(error)


def _internal(error: Exception) -> int:
    if os.environ.get("BOGWRIGHT_DEBUG"):
        raise error
    print(
        f"bogwright: internal error: {type(error).__name__}: {error} — please report it; "
        "BOGWRIGHT_DEBUG=1 shows where it happened",
        file=sys.stderr,
    )
    return INTERNAL


def _run(options: argparse.Namespace) -> int:
    from bogwright.data import DataNotFound
    from bogwright.knowledge.base import KnowledgeError

    try:
        run: dict[str, Any] = {
            "judge": _judge,
            "conditions": _conditions,
            "fits": _fits,
            "plant": _plant,
            "reckon": reckon.run,
            "lint": _lint,
            "stats": _stats,
            "site": _site,
        }
        return int(run[options.command](options))
    except KnowledgeError as error:
        from bogwright.knowledge.problems import terminal

        print(f"bogwright: the knowledge base has errors\n{terminal(error.problems)}", file=sys.stderr)
        return INVALID
    except DataNotFound as error:
        return _refuse([str(error)])


def _refuse(messages: Sequence[str]) -> int:
    for message in messages:
        print(f"bogwright: {message}", file=sys.stderr)
    return INVALID


def is_plan(argument: str) -> bool:
    """Whether an argument of ``judge`` names a plan file rather than a plant."""
    return argument.endswith((".yaml", ".yml")) or os.sep in argument or bool(os.altsep and os.altsep in argument)


def _judge(options: argparse.Namespace) -> int:
    from bogwright.judge.ask import AskError, ask_names
    from bogwright.judge.bench import Bench

    plans = [w for w in options.what if is_plan(w)]
    if plans and (len(plans) > 1 or len(options.what) > 1):
        return _refuse(["a plan is judged alone — give one plan file, or plant names"])
    if plans and (options.south or options.horizon != "indefinitely" or options.stage != "adult"):
        return _refuse(
            ["--south, --for and --stage are for plant names — a plan says its own latitude, horizon and stages"]
        )
    bench = Bench.open()
    if plans:
        return _judge_plan(bench, plans[0], options)
    try:
        answer = ask_names(bench, options.what, options.horizon, options.stage, 6 if options.south else 12)
    except AskError as error:
        return _refuse(error.problems)
    return _print(answer, options)


def _judge_plan(bench: Any, path: str, options: argparse.Namespace) -> int:
    from bogwright.judge.ask import AskError, ask_plan
    from bogwright.judge.read import PlanError, load_plan
    from bogwright.knowledge.problems import Problem, terminal

    names: list[Problem] = []
    try:
        loaded = load_plan(bench, path)
        answer = ask_plan(bench, loaded.plan, loaded.data, lambda n, message: names.append(loaded.say_name(n, message)))
    except PlanError as error:
        print(terminal(error.problems), file=sys.stderr)
        return INVALID
    except AskError as error:
        if not names:
            return _refuse(error.problems)
        print(terminal(names), file=sys.stderr)
        return INVALID
    return _print(answer, options)


def _print(answer: Any, options: argparse.Namespace) -> int:
    from bogwright.report.content import content

    made = content(answer)
    if options.json:
        json.dump(made, sys.stdout, ensure_ascii=False, indent=2)
        sys.stdout.write("\n")
    else:
        from bogwright.report.terminal import show

        show(made, everything=options.all, why=options.why)
    return STATUS[answer.verdict]


def _conditions(options: argparse.Namespace) -> int:
    from bogwright.judge.bench import Bench
    from bogwright.judge.read import PlanError, load_plan
    from bogwright.knowledge.problems import terminal
    from bogwright.report.conditions import conditions_content

    bench = Bench.open()
    try:
        plan = load_plan(bench, options.plan).plan
    except PlanError as error:
        print(terminal(error.problems), file=sys.stderr)
        return INVALID
    made = conditions_content(bench, plan)
    if options.picture:
        from pathlib import Path

        from bogwright.report.section import standing_alone

        try:
            picture = standing_alone(plan, made)
            Path(options.picture).write_text(picture, encoding="utf-8", newline="\n")
        except OSError as error:
            return _refuse([f"{options.picture} cannot be written: {error.strerror} — name another file"])
        print(f"picture written to {options.picture}", file=sys.stderr)
    if options.json:
        json.dump(made, sys.stdout, ensure_ascii=False, indent=2)
        sys.stdout.write("\n")
    else:
        from bogwright.report.conditions_view import show_conditions

        show_conditions(made, everything=options.all)
    return 0


def _fits(options: argparse.Namespace) -> int:
    from bogwright.judge.ask import AskError
    from bogwright.judge.bench import Bench
    from bogwright.judge.fits import fits
    from bogwright.report.fits import MOST_LISTED, Progress, fits_content, show_fits, status_of

    if any(is_plan(w) for w in options.what):
        return _refuse(["what else would fit is asked of plant names, not of a plan — name the plants"])
    progress = Progress()
    try:
        found = fits(
            Bench.open(),
            options.what,
            options.horizon,
            options.stage,
            6 if options.south else 12,
            genus=options.genus,
            outline=options.names,
            tell=progress,
        )
    except AskError as error:
        return _refuse(error.problems)
    finally:
        progress.clear()
    made = fits_content(found, None if options.all else MOST_LISTED)
    if options.json:
        json.dump(made, sys.stdout, ensure_ascii=False, indent=2)
        sys.stdout.write("\n")
    else:
        show_fits(made)
    return STATUS[status_of(made)]


def _plant(options: argparse.Namespace) -> int:
    from bogwright.judge.ask import AskError, resolve
    from bogwright.judge.bench import Bench
    from bogwright.report.plant import plant_content, show_plant

    bench = Bench.open()
    name = " ".join(options.name)
    if not name:
        print("\n".join(entry.name for entry in bench.base.taxa()))
        return 0
    try:
        ids = resolve(bench, name)
    except AskError as error:
        return _refuse(error.problems)
    made = [plant_content(bench, i) for i in ids]
    if options.json:
        json.dump({"plants": made}, sys.stdout, ensure_ascii=False, indent=2)
        sys.stdout.write("\n")
    else:
        for one in made:
            show_plant(one)
    return 0


def _lint(options: argparse.Namespace) -> int:
    from bogwright.judge.check import check_knowledge
    from bogwright.knowledge.problems import as_json, in_brief, terminal

    if options.outliers:
        return _outliers(options)
    problems = check_knowledge(options.paths)
    shown = as_json if options.json else terminal if options.paths or options.all else in_brief
    print(shown(problems))
    return INVALID if any(p.severity == "error" for p in problems) else 0


def _outliers(options: argparse.Namespace) -> int:
    from bogwright.knowledge.base import KnowledgeBase
    from bogwright.knowledge.outliers import outliers
    from bogwright.report.statistics import show_outliers

    if options.paths:
        return _refuse(["--outliers looks at the whole knowledge base — leave the paths out"])
    found = outliers(KnowledgeBase.open())
    if options.json:
        print(json.dumps([one._asdict() for one in found], ensure_ascii=False, indent=2))
    else:
        show_outliers(found)
    return 0


def _stats(options: argparse.Namespace) -> int:
    from bogwright.knowledge.base import KnowledgeBase
    from bogwright.knowledge.statistics import statistics
    from bogwright.report.statistics import show_statistics

    made = statistics(KnowledgeBase.open())
    if options.json:
        print(json.dumps(made, ensure_ascii=False, indent=2))
    else:
        show_statistics(made)
    return 0


def _site(options: argparse.Namespace) -> int:
    from bogwright.report.site.build import build, serve

    if options.action == "serve":
        return serve(options.port)
    from pathlib import Path

    return build(Path(options.out) if options.out else None, options.strict, options.address)


if __name__ == "__main__":
    sys.exit(main())
