"""``bogwright fits`` as a grower meets it: how many fit, the list, JSON, exit statuses, errors, progress."""

import io
import json
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from bogwright.cli import main
from bogwright.report.fits import Progress, show_fits, status_of

ROOT = Path(__file__).parents[2]
ASK = ["fits", "Dionaea muscipula", "Sarracenia flava", "--genus", "heliamphora"]
NO_GROUP = ["fits", "Nepenthes bicalcarata", "Nepenthes villosa"]


def run(capsys, *argv):
    status = main([*argv])
    out, err = capsys.readouterr()
    assert "Traceback" not in out + err
    return status, out, err


def test_terminal_and_json_say_the_same(capsys):
    """The count on line one; every plant listed with verdict and margin; the schema holds; the same bytes twice."""
    status, out, err = run(capsys, *ASK)
    assert status == 0 and not err and "\x1b" not in out
    _, text, _ = run(capsys, *ASK, "--json")
    made = json.loads(text)
    schema = json.loads((ROOT / "schemas" / "fits.schema.json").read_text(encoding="utf-8"))
    assert not list(Draft202012Validator(schema).iter_errors(made))
    fit = sum(made["fit"].values())
    assert out.startswith(f"{fit} of {made['tried']} other plants fit with Dionaea muscipula, Sarracenia flava: ")
    rows = [line for line in out.splitlines() if "room to spare: " in line and line.startswith("  ")][1:]
    assert len(rows) == len(made["plants"]) <= fit
    for plant, row in zip(made["plants"], rows, strict=True):
        assert row.startswith(f"  {plant['plant']}  ") and f"room to spare: {plant['margin']:.1f} times" in row
    assert "what a grower's control misses by" in " ".join(out.split())
    assert [p["verdict"] for p in made["plants"]] == sorted((p["verdict"] for p in made["plants"]), reverse=True)
    assert all(len(line) <= 100 for line in out.splitlines())
    assert run(capsys, *ASK)[1] == out


def test_what_is_not_shown_is_told(capsys):
    """Twelve of each kind at most, with the way to more."""
    _, out, _ = run(capsys, "fits", "Drosera capensis", "--genus", "Sarracenia")
    assert "add --all" in out and "(12 of " in out
    _, out, _ = run(capsys, "fits", "Drosera capensis", "--genus", "Sarracenia", "--all")
    assert "add --all" not in out and out.count("room to spare") > 21


def test_months_of_the_southern_half(capsys):
    """What binds at midwinter binds in June there."""

    def months(*more):
        made = json.loads(run(capsys, *ASK, "--json", *more)[1])
        return made["alone"]["binding"]["months"]

    assert sorted((m + 6 - 1) % 12 + 1 for m in months()) == sorted(months("--south"))


def test_a_group_that_cannot_share_says_what_to_leave_out(capsys):
    """Exit status 1, no list, and the judge's own words; JSON of the same schema."""
    status, out, _ = run(capsys, *NO_GROUP)
    assert status == 1 and out.startswith("UNSOUND") and "other plants fit" not in out
    assert "leave out Nepenthes villosa" in out
    status, text, _ = run(capsys, *NO_GROUP, "--json")
    schema = json.loads((ROOT / "schemas" / "fits.schema.json").read_text(encoding="utf-8"))
    assert status == 1 and not list(Draft202012Validator(schema).iter_errors(json.loads(text)))


@pytest.mark.parametrize(
    ("verdict", "plants", "open_ones", "status"),
    [
        ("sound", ["conditional"], ["Nepenthes alata"], "sound"),
        ("conditional", ["sound"], [], "sound"),
        ("sound", [], ["Nepenthes alata"], "unproven"),
        ("sound", [], [], "unsound"),
        ("unproven", [], [], "unproven"),
        ("unsound", [], [], "unsound"),
    ],
)
def test_the_exit_status_follows_the_best_of_the_list(verdict, plants, open_ones, status):
    """0 when something works, 3 when nobody can say, 1 when the group or every newcomer is refused."""
    made = {"verdict": verdict, "plants": [{"verdict": v} for v in plants], "open": open_ones}
    assert status_of(made) == status


def test_a_group_of_which_nobody_can_say_gets_no_list():
    """The reason stands below; nothing is added."""
    out = io.StringIO()
    made = {"verdict": "unproven", "group": ["A", "B"], "reasons": ["Its night is not known."], "actions": []}
    show_fits(made, out)
    assert out.getvalue().startswith("UNPROVEN: A and B may or may not share")
    assert "Its night is not known." in out.getvalue()


@pytest.mark.parametrize(
    ("argv", "says"),
    [
        (["Drosera capensus"], "did you mean Drosera capensis"),
        ([], "no plant is named — name one or more plants\n"),
        (["Drosera capensis", "Drosera capensis"], "is the same plant as"),
        (["kb/plans/landing-case.yaml"], "not of a plan"),
        (["Drosera capensis", "--genus", "Nepentes"], "did you mean Nepenthes?"),
        (["Drosera capensis", "--stage", "egg"], "invalid choice"),
    ],
)
def test_bad_questions_get_one_clear_line_and_two(capsys, argv, says):
    """One message, exit status 2, no traceback."""
    status, out, err = run(capsys, "fits", *argv)
    assert status == 2 and says in err and not out and err.startswith("bogwright: ") and err.count("\n") == 1


def test_progress_only_on_a_terminal_and_only_after_a_second(monkeypatch):
    """Silent at once and in a pipe; later one line that is cleared."""

    class Terminal(io.StringIO):
        def isatty(self):
            return True

    now = [0.0]
    monkeypatch.setattr("time.monotonic", lambda: now[0])
    pipe, terminal = io.StringIO(), Terminal()
    bars = [Progress(pipe), Progress(terminal)]
    for bar in bars:
        bar("searching", 1, 9)
    assert not terminal.getvalue()
    now[0] = 1.5
    for bar in bars:
        bar("searching", 5, 9)
        bar("searching", 6, 9)
        bar.clear()
    assert not pipe.getvalue()
    assert terminal.getvalue() == "\rsearching: 5 of 9\x1b[K\r\x1b[K"
