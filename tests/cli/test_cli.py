"""The command line as a grower meets it:

exit statuses, one clear message for each kind of bad input, same bytes twice.
"""

import io
import json
import os
import shutil
import subprocess
import sys
import xml.etree.ElementTree as ET
from pathlib import Path

import pytest
from jsonschema import Draft202012Validator

from bogwright.cli import main
from invented import label_plan

ROOT = Path(__file__).parents[2]
KB = ROOT / "kb"
DEMO = ROOT / "kb" / "plans" / "landing-case.yaml"
SAME_CASE = ["Drosera capensis", "Drosera spatulata"]


def run(capsys, *argv):
    """(status, stdout, stderr) of one command."""
    status = main([str(a) for a in argv])
    out, err = capsys.readouterr()
    assert "Traceback" not in out + err
    return status, out, err


def test_sound_or_conditional_is_zero_and_unsound_is_one(capsys):
    """Two subtropical sundews share; a steamy lowlander and a cool-night highlander cannot."""
    status, out, _ = run(capsys, "judge", *SAME_CASE)
    assert status == 0 and out.split()[0] in ("SOUND", "CONDITIONAL")
    status, out, _ = run(capsys, "judge", "Nepenthes bicalcarata", "Nepenthes villosa")
    assert status == 1 and out.startswith("UNSOUND")
    assert "leave out Nepenthes villosa" in out and "leave out Nepenthes bicalcarata" in out


def test_json_keeps_its_schema_and_says_the_same(capsys):
    """Both questions print JSON of schemas/verdict.schema.json, with the verdict on top."""
    check = Draft202012Validator(json.loads((ROOT / "schemas" / "verdict.schema.json").read_text(encoding="utf-8")))
    for argv in (
        ["Dionaea muscipula", *SAME_CASE],
        ["Nepenthes bicalcarata", "Nepenthes villosa"],
        [DEMO],
        ["Drosera binata"],
    ):
        _, out, _ = run(capsys, "judge", "--json", *argv)
        made = json.loads(out)
        assert not list(check.iter_errors(made))
        assert next(iter(made)) == "verdict"


@pytest.mark.parametrize(
    ("argv", "says"),
    [
        (["Drosera capensus"], "did you mean Drosera capensis"),
        (["Rosa canina"], "no plant 'Rosa canina' is known"),
        ([], "no plant is named"),
        (["Drosera capensis", "Drosera capensis"], "is the same plant as"),
        (["D. capensis", "Cape sundew"], "is the same plant as"),
        (["no-such-plan.yaml"], "there is no such file"),
        (["kb/profiles"], "this is a folder"),
        (["kb/regimes.yaml"], "this file is no enclosure plan"),
        (["kb/plans/landing-case.yaml", "Drosera capensis"], "a plan is judged alone"),
        (["--for", "ever", "Drosera capensis"], "invalid choice"),
        (["--no-such-option"], "unrecognized arguments"),
    ],
)
def test_bad_questions_get_one_clear_line_and_two(capsys, monkeypatch, argv, says):
    """One message, exit status 2, no traceback."""
    monkeypatch.chdir(ROOT)
    status, out, err = run(capsys, "judge", *argv)
    assert status == 2 and says in err and not out


def changed(text, *swaps):
    for old, new in swaps:
        assert old in text, old
        text = text.replace(old, new, 1)
    return text


@pytest.mark.parametrize(
    ("old", "new", "says"),
    [
        ("humidity: [60, 75]", "humidity: [60, 140]", "140"),
        ("light: {ppfd: [160, 220]}", "light: {ppfd: [-5, 220]}", "-5"),
        ("photoperiod: [11, 12,", "photoperiod: [30, 12,", "30"),
        ("humidity: [60, 75]", "humidity: [75, 60]", "runs backwards"),
        ("water: ledge\n    crown", "water: ledeg\n    crown", "is not a water unit of this plan"),
        ("taxon: Drosera spatulata", "taxon: Drosera spatulatta", "did you mean Drosera spatulata"),
        ("potted: false, removable: false", "potted: false, removable: true", "cannot be lifted out"),
        ("lamp_in_lid: false", "lamp_in_lidd: false", "lamp_in_lid"),
        ("latitude: 52", "latitude: 520", "520"),
        ("latitude: 52", "latitude: 52 N", "write 52 alone: the unit is fixed"),
        ("humidity: [60, 75]", "humidity: 60-75 %", "write [60, 75]"),
        ("humidity: [60, 75]", "humidity: about half", "a number, [low, high]"),
        ("inside_cm: [80, 45, 50]", "inside_cm: 80x45x50", "write [80, 45, 50]"),
        ("components: [peat,", "components: [peet,", "unknown material 'peet' — did you mean 'peat'"),
        ("crown_height: 11", "crown_height: 91", "the crowns are at 91 cm, above the lid at 50 cm"),
        ('horizon: {from: "2027-03", for: indefinitely}', 'horizon: {from: "2027-03", for: ever}', "ever"),
        ("plan: enclosure", "plan: enclosure\nplan: enclosure", "plan"),
    ],
)
def test_a_plan_with_a_fault_names_place_and_mend(capsys, tmp_path, monkeypatch, old, new, says):
    """file:line:column: what is wrong — how to mend it."""
    text = changed(DEMO.read_text(encoding="utf-8"), (old, new))
    line = text[: text.index(new)].count("\n") + 1 + (new == "plan: enclosure\nplan: enclosure")
    file = tmp_path / "plan.yaml"
    file.write_text(text, encoding="utf-8")
    monkeypatch.chdir(tmp_path)
    status, out, err = run(capsys, "judge", "plan.yaml")
    first = err.splitlines()[0]
    assert status == 2 and not out
    assert first.startswith(f"plan.yaml:{line}:") and says in first and " — " in first


def test_all_faults_of_a_plan_come_at_once(capsys, tmp_path):
    """Three faults, three messages, one run."""
    text = changed(
        DEMO.read_text(encoding="utf-8"),
        ("humidity: [60, 75]", "humidity: [60, 140]"),
        ("latitude: 52", "latitude: 520"),
        ("lamp_in_lid: false", "lamp_in_lidd: false"),
    )
    file = tmp_path / "plan.yaml"
    file.write_text(text, encoding="utf-8")
    status, _, err = run(capsys, "judge", file)
    assert status == 2 and "3 errors" in err


def test_unknown_plants_are_told_with_the_other_faults(capsys, tmp_path):
    """A misspelt plant and a misspelt place in one run, alike for both commands."""
    text = changed(
        DEMO.read_text(encoding="utf-8"),
        ("taxon: Drosera spatulata", "taxon: Drosera spatulatta"),
        ("water: ledge\n", "water: ledeg\n"),
    )
    file = tmp_path / "plan.yaml"
    file.write_text(text, encoding="utf-8")
    status, _, err = run(capsys, "judge", file)
    assert status == 2 and "2 errors" in err and "did you mean 'ledge'" in err and "did you mean Drosera" in err
    assert run(capsys, "conditions", file) == (2, "", err)


@pytest.mark.parametrize(
    ("contents", "says"),
    [
        (b"\x00\x01\x02binary", "zero bytes"),
        (b"plan: enclosure\n" + b"# filler\n" * 6_000_000, "too large"),
        ("plan: enclosure\ntitle: x".encode("utf-16"), "UTF-16"),
        (b"", "empty"),
        (b"plan: enclosure\n\tcase: x\n", "tab"),
        (b"- just\n- a list\n", "no enclosure plan"),
        (b"plan: enclosure\na: &a [1]\nb: *a\nc: {d: [*a, *a, *a, *a, *a, *a, *a, *a, *a, *a, *a]}\n", ""),
    ],
)
def test_files_that_are_no_plan(capsys, tmp_path, contents, says):
    """Binary, 50 MB, wrong encoding, empty, tabs, wrong kind, aliases: one message, exit status 2."""
    file = tmp_path / "plan.yaml"
    file.write_bytes(contents)
    status, out, err = run(capsys, "judge", file)
    assert status == 2 and not out and says in err


def test_a_file_without_read_permission(capsys, tmp_path, monkeypatch):
    """The error is injected, since tests may run as root."""
    file = tmp_path / "plan.yaml"
    file.write_text("plan: enclosure", encoding="utf-8")
    whole = Path.open

    def refuse(self, *args, **kwargs):
        if self == file:
            raise PermissionError(13, "Permission denied")
        return whole(self, *args, **kwargs)

    monkeypatch.setattr(Path, "open", refuse)
    status, _, err = run(capsys, "judge", file)
    assert status == 2 and "may not be read" in err


def test_interrupt_and_internal_error(capsys, monkeypatch):
    """Ctrl-C is 130 and silent; a fault of ours is 4, named, without a traceback."""
    import bogwright.cli as cli

    def interrupt(options):
        raise KeyboardInterrupt

    def fault(options):
        raise ZeroDivisionError("inside")

    monkeypatch.setattr(cli, "_judge", interrupt)
    assert run(capsys, "judge", "x") == (130, "", "")
    monkeypatch.setattr(cli, "_judge", fault)
    status, _, err = run(capsys, "judge", "x")
    assert status == 4 and "internal error: ZeroDivisionError: inside" in err


def test_broken_pipe_is_silent():
    """The reader went away: exit status 141, nothing on stderr."""
    reader, writer = os.pipe()
    os.close(reader)
    done = subprocess.run(
        [sys.executable, "-m", "bogwright", "plant", "Dionaea muscipula"],
        stdout=writer,
        stderr=subprocess.PIPE,
        check=False,
    )
    os.close(writer)
    assert done.returncode == 141 and done.stderr == b""


def test_same_input_same_bytes():
    """Two processes with different hash seeds print the same."""
    printed = []
    for seed in ("1", "2"):
        for argv in (
            ["judge", "--all", "--why", str(DEMO)],
            ["judge", "Sarracenia purpurea", "Drosera capensis", "Nepenthes villosa"],
        ):
            done = subprocess.run(
                [sys.executable, "-m", "bogwright", *argv],
                capture_output=True,
                env={**os.environ, "PYTHONHASHSEED": seed},
                check=False,
            )
            printed.append(done.stdout)
    assert printed[:2] == printed[2:] and all(printed)


def test_no_colour_off_a_terminal(capsys):
    """Escape codes go to terminals only."""
    _, out, _ = run(capsys, "judge", *SAME_CASE)
    assert "\x1b" not in out


def test_colour_on_a_terminal_unless_refused(monkeypatch):
    """Bold on a terminal; NO_COLOR turns it off."""
    from bogwright.report.terminal import bold

    class Terminal(io.StringIO):
        def isatty(self):
            return True

    monkeypatch.delenv("NO_COLOR", raising=False)
    assert bold("x", Terminal()) == "\x1b[1mx\x1b[0m"
    monkeypatch.setenv("NO_COLOR", "1")
    assert bold("x", Terminal()) == "x"


def test_plant_shows_standing_source_and_place(capsys):
    """Every figure of a profile says where it stands and what it rests on."""
    status, out, _ = run(capsys, "plant", "Venus", "flytrap")
    assert status == 0 and "Dionaea muscipula" in out
    lines = [line for line in out.splitlines() if "tolerates" in line]
    assert lines and all("muscipula.yaml:" in line or "_genus.yaml:" in line for line in lines)
    assert any("published (" in line for line in lines)
    status, out, _ = run(capsys, "plant")
    assert status == 0 and "Dionaea muscipula" in out.splitlines()


def test_lint_passes_on_the_whole_base(capsys):
    """No error in the knowledge base as shipped."""
    status, out, _ = run(capsys, "lint")
    assert status == 0, out


def test_python_gives_the_same_answer(capsys):
    """import bogwright answers as the command line does."""
    import bogwright

    _, out, _ = run(capsys, "judge", "--json", *SAME_CASE)
    assert bogwright.share(SAME_CASE) == json.loads(out)
    _, out, _ = run(capsys, "judge", "--json", DEMO)
    assert bogwright.judge_plan(str(DEMO)) == json.loads(out)


@pytest.mark.skipif(not Path("/dev/full").exists(), reason="no device that is always full")
def test_a_full_disk_is_told_without_a_trace():
    """What cannot be written is no answer: a plain sentence, and the status of bad input."""
    with Path("/dev/full").open("w") as full:
        done = subprocess.run(
            [sys.executable, "-m", "bogwright", "judge", "Drosera capensis"],
            stdout=full,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
        )
    assert done.returncode == 2
    assert "the disk is full" in done.stderr and "Traceback" not in done.stderr


IMPOSSIBLE = """\
profile: taxon
name: Drosera impossibilis
rank: species
group: subtropical
identity:
  hemisphere: {value: south, basis: from-memory}
air:
  temperature_day:
    prefers: {band: [30.2, 30.4], basis: from-memory}
    tolerates: {band: [30, 30.5], basis: from-memory}
    outside: {low: death, high: death, basis: from-memory}
habit:
  growth_form: {value: rosette, basis: from-memory}
  height: {high: 5, basis: from-memory}
"""


def test_lint_finds_a_plant_that_cannot_live_and_a_climate_that_is_not_there(tmp_path, monkeypatch, capsys):
    """Figures that exclude one another are found by the solver, over the whole base."""
    kb = tmp_path / "kb"
    shutil.copytree(KB, kb)
    (kb / "profiles" / "drosera" / "impossibilis.yaml").write_text(IMPOSSIBLE, encoding="utf-8")
    genus = kb / "profiles" / "byblis" / "_genus.yaml"
    genus.write_text(genus.read_text(encoding="utf-8").replace("identity:", "climate: nowhere\nidentity:", 1), "utf-8")
    monkeypatch.setenv("BOGWRIGHT_KB", str(kb))
    assert main(["lint"]) == 2
    said = capsys.readouterr().out
    assert "impossibilis.yaml:2:1: no enclosure could serve Drosera impossibilis even alone" in said
    assert "no method of kb/climates.yaml is called 'nowhere'" in said


def test_stats_and_outliers(capsys):
    """Both print, and as JSON hold what they print."""
    assert main(["stats"]) == 0
    assert "Gaps worth a contribution" in capsys.readouterr().out
    assert main(["stats", "--json"]) == 0
    made = json.loads(capsys.readouterr().out)
    assert made["taxa"]["profiled"] >= 200 and made["claims"]["species_care_bands"]["published_share"] >= 0.65
    assert made["sources"]["cited_by_claims"] >= 80 and made["sources"]["cited_by_tables"] >= 30
    assert main(["lint", "--outliers"]) == 0
    assert "its genus has" in capsys.readouterr().out
    assert main(["lint", "--outliers", "--json"]) == 0
    assert {"taxon", "median", "score", "line"} <= json.loads(capsys.readouterr().out)[0].keys()
    assert main(["lint", "--outliers", "kb"]) == 2


def test_a_mere_name_is_judged_by_its_group_and_says_so(capsys):
    assert main(["judge", "Nepenthes diabolica", "--json"]) == 0
    said = [one["says"] for one in json.loads(capsys.readouterr().out)["cautions"]]
    assert any(one.startswith("Nepenthes diabolica has no profile: this answer rests on its group") for one in said)
    assert main(["plant", "Nepenthes diabolica"]) == 0
    shown = capsys.readouterr().out
    assert "No profile yet" in shown and "range of the profiled members of Nepenthes, highland group" in shown


def test_a_plant_of_which_nothing_is_known_is_never_cleared(capsys):
    """Philcoxia has no temperature that anybody stated."""
    assert main(["judge", "Philcoxia minensis"]) == 3
    assert "uncertain" in capsys.readouterr().out


def test_conditions_of_a_plan(capsys, tmp_path):
    """The demo plan and one known by its labels print their conditions, keep their schema and draw their picture."""
    check = Draft202012Validator(json.loads((ROOT / "schemas" / "conditions.schema.json").read_text(encoding="utf-8")))
    plan = tmp_path / "label.yaml"
    plan.write_text(json.dumps(label_plan()), encoding="utf-8")
    for path in (DEMO, plan):
        status, out, _ = run(capsys, "conditions", path)
        assert status == 0 and out.startswith("Conditions: ")
        picture = tmp_path / "picture.svg"
        status, out, err = run(capsys, "conditions", path, "--json", "--picture", picture)
        assert err == f"picture written to {picture}\n"
        assert status == 0 and not list(check.iter_errors(json.loads(out)))
        assert ET.parse(picture).getroot().tag == "{http://www.w3.org/2000/svg}svg"
    first = run(capsys, "conditions", plan, "--all")
    assert first == run(capsys, "conditions", plan, "--all")


def test_conditions_refuse_what_is_no_plan(capsys, tmp_path):
    """The same words as for judging it; a picture that cannot be written names the mend."""
    wrong = tmp_path / "wrong.yaml"
    wrong.write_text("plan: enclosure\n", encoding="utf-8")
    for path in (wrong, tmp_path / "missing.yaml"):
        status, out, err = run(capsys, "conditions", path)
        judged = run(capsys, "judge", path)
        assert (status, out) == (2, "") and err == judged[2]
    status, _, err = run(capsys, "conditions", DEMO, "--picture", tmp_path / "no" / "picture.svg")
    assert status == 2 and "cannot be written" in err and "name another file" in err
