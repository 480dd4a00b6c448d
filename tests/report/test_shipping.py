"""What leaves the house: downloads, the edition they bear, the sitemap, and the workflow that publishes the site."""

import csv
import io
import json
import os
import re
import shlex
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path
from xml.etree import ElementTree

import jsonschema
import pytest
import yaml

from bogwright import cli
from bogwright.judge.bench import Bench
from bogwright.knowledge.edition import Edition
from bogwright.report.downloads import darwin_core
from bogwright.report.downloads.bibliography import csl_items
from bogwright.report.downloads.files import downloads
from bogwright.report.plant import plant_content
from bogwright.report.site import build as building
from bogwright.report.site import links
from bogwright.report.site.data_page import size
from bogwright.report.site.progress import Progress

ROOT = Path(__file__).parents[2]
ADDRESS = "https://example.org/garden/"
SCHEMA = json.loads((ROOT / "schemas" / "knowledge.schema.json").read_text(encoding="utf-8"))
LOADED_BY_PAGES = (
    "compare.json",
    "rules.json",
    "search.json",
    "share.json",
)  # made for the scripts of the site, in no lasting shape
KEPT = ("dionaea",)  # genera of the small knowledge base


def run(code: str, kb: Path, cache: Path) -> subprocess.CompletedProcess[str]:
    """Python code in a process of its own, over a knowledge base of its own."""
    env = {
        **os.environ,
        "PYTHONPATH": str(ROOT / "engine"),
        "BOGWRIGHT_KB": str(kb),
        "BOGWRIGHT_CACHE": str(cache),
    }
    env.pop("BOGWRIGHT_ADDRESS", None)
    return subprocess.run([sys.executable, "-c", code], env=env, capture_output=True, text=True, check=False)


@pytest.fixture(scope="module")
def small(tmp_path_factory):
    """The shipped knowledge with the plants and sources of few genera."""

    def left_out(folder: str, names: list[str]) -> list[str]:
        kept = {"profiles": KEPT, "sources": tuple(f"{genus}.yaml" for genus in KEPT)}.get(Path(folder).name, names)
        return [name for name in names if name not in kept or name == "outline"]

    kb = tmp_path_factory.mktemp("small") / "kb"
    shutil.copytree(ROOT / "kb", kb, ignore=left_out)
    return kb


@pytest.fixture(scope="module")
def cache(tmp_path_factory):
    return tmp_path_factory.mktemp("shipping-cache")


@pytest.fixture(scope="module")
def site(small, cache, tmp_path_factory):
    """The small knowledge base as a site that knows its address."""
    out = tmp_path_factory.mktemp("shipped") / "out"
    argv = ["site", "build", "--strict", "--out", str(out), "--address", ADDRESS]
    done = run(f"import sys; from bogwright.cli import main; sys.exit(main({argv!r}))", small, cache)
    assert done.returncode == 0, done.stdout + done.stderr
    assert done.stderr == ""  # no bar where nobody looks at it
    assert "no --address" not in done.stdout
    return out


@pytest.fixture
def bench():
    """The shipped knowledge."""
    return Bench.open()


@pytest.fixture
def tables(bench):
    return darwin_core.tables(bench.base)


# the downloads


def test_the_claims_are_as_the_schema_says(site):
    made = json.loads((site / "data" / "bogwright.json").read_bytes())
    jsonschema.Draft202012Validator(SCHEMA).validate(made)
    assert {plant["id"].partition("/")[0] for plant in made["plants"]} == set(KEPT)
    assert (site / "data" / made["schema"]).read_bytes() == (ROOT / "schemas" / made["schema"]).read_bytes()


def test_plants_of_every_kind_are_as_the_schema_says(bench):
    """Every twentieth plant: disputes, unknowns, young stages, derived limits and lamps are all among them."""
    validator = jsonschema.Draft202012Validator({"$ref": "#/$defs/plant", "$defs": SCHEMA["$defs"]})
    seen = set()
    for taxon in bench.base.taxa()[::20]:
        plant = json.loads(json.dumps(plant_content(bench, taxon.id)))
        validator.validate(plant)
        seen |= plant.keys() | {key for field in plant["fields"] for key in field}
        seen |= {key for field in plant["fields"] for entry in field.get("entries", ()) for key in entry}
    assert {"unknown", "disputed", "stages", "derived", "hours", "for_days", "from", "sources"} <= seen


def test_a_claim_keeps_its_standing_source_and_line(site, bench):
    made = json.loads((site / "data" / "bogwright.json").read_bytes())
    plant = next(plant for plant in made["plants"] if plant["id"] == "dionaea/muscipula")
    field = next(field for field in plant["fields"] if field["field"] == "identity.elevation")
    end = bench.base.profile("dionaea/muscipula").range("identity.elevation").low
    entry = field["entries"][0]
    assert (entry["low"], entry["basis"], entry["line"]) == (end.value, end.basis, end.origin.line)
    assert entry["sources"] == [source._asdict() for source in end.sources]
    assert "elevation" in (ROOT / entry["file"]).read_text(encoding="utf-8").splitlines()[entry["line"] - 1]
    rest = next(way for way in plant["ways"] if way["way"] == "rests-in-case")
    assert rest["file"].startswith("kb/profiles/dionaea/")


def test_every_row_of_the_tables_has_its_taxon(tables):
    core, *others = tables
    names = [name for name, _ in core.columns]
    rows = [dict(zip(names, row, strict=True)) for row in core.rows]
    ids = [row["taxonID"] for row in rows]
    assert len(ids) == len(set(ids))
    accepted = {row["taxonID"] for row in rows if not row["acceptedNameUsageID"]}
    assert {row["acceptedNameUsageID"] for row in rows if row["acceptedNameUsageID"]} <= accepted
    assert {row["parentNameUsageID"] for row in rows if row["parentNameUsageID"]} <= accepted
    assert {row["taxonomicStatus"] for row in rows} == {"accepted", "synonym", ""}
    for table in others:
        assert {row[0] for row in table.rows} <= accepted
        assert all(len(row) == len(table.columns) for row in table.rows)
    places = [row[1] for row in others[1].rows if row[1]]
    assert all(re.fullmatch("TDWG:[A-Z]{3}", place) for place in places)
    assert all(bool(row[1]) != bool(row[2]) and row[3] for row in others[1].rows)
    flytrap = next(row for row in rows if row["taxonID"] == "dionaea/muscipula")
    assert flytrap["scientificName"] == "Dionaea muscipula J.Ellis"
    assert (flytrap["family"], flytrap["genus"], flytrap["taxonRank"]) == ("Droseraceae", "Dionaea", "species")
    assert ["dionaea/muscipula", "TDWG:NCA"] in [row[:2] for row in others[1].rows]


@pytest.mark.parametrize(
    ("name", "parts"),
    [
        ("Drosera adelae", ("species", "Drosera", "adelae", "", "")),
        ("Drosera × obovata", ("species", "Drosera", "obovata", "", "")),
        ("Drosera x badgerupii", ("species", "Drosera", "badgerupii", "", "")),
        ("Sarracenia purpurea subsp. venosa", ("subspecies", "Sarracenia", "purpurea", "venosa", "")),
        ("Sarracenia purpurea subsp. venosa var. burkii", ("variety", "Sarracenia", "purpurea", "burkii", "")),
        ("Dionaea muscipula 'Akai Ryu'", ("cultivar", "Dionaea", "muscipula", "", "Akai Ryu")),
        ("Nepenthes 'Gaya'", ("cultivar", "Nepenthes", "", "", "Gaya")),
        ("Genlisea lobata × violacea", ("", "", "", "", "")),
        ("Drosera anglica (Hawaii)", ("", "", "", "", "")),
    ],
)
def test_names_are_taken_apart(name, parts):
    assert darwin_core.parts_of(name) == parts


def test_the_archive_describes_its_tables(site):
    folder = site / "data"
    space = {"": "http://rs.tdwg.org/dwc/text/"}
    described = ElementTree.parse(folder / "meta.xml").getroot()
    assert [part.tag.rpartition("}")[2] for part in described] == ["core", "extension", "extension"]
    for part in described:
        lines = list(
            csv.reader(io.StringIO((folder / part.findtext("files/location", None, space)).read_text("utf-8")))
        )
        indexed = {int(field.get("index")): field.get("term") for field in part.findall("field", space)
                   if field.get("index")}  # fmt: skip
        assert all(term.rpartition("/")[2] == lines[0][index] for index, term in indexed.items())
        assert {len(line) for line in lines} == {max(indexed) + 1}
    with zipfile.ZipFile(folder / "darwin-core.zip") as zipped:
        assert {name: zipped.read(name) for name in zipped.namelist()} == {
            name: (folder / name).read_bytes()
            for name in ("taxon.csv", "vernacularname.csv", "distribution.csv", "meta.xml")
        }


def test_sources_are_csl(bench):
    items = csl_items(bench.base)
    assert [item["id"] for item in items] == sorted(bench.base.sources())
    for item in items:
        assert item["custom"]["read"] == "{:04}-{:02}-{:02}".format(*item["accessed"]["date-parts"][0])
        assert all(isinstance(part, int) for part in item.get("issued", item["accessed"])["date-parts"][0])


def test_the_same_knowledge_gives_the_same_bytes(small, monkeypatch):
    monkeypatch.setenv("BOGWRIGHT_KB", str(small))
    edition = Edition.read()
    assert downloads(Bench.open(), edition) == downloads(Bench.open(), edition)


def test_the_data_page_lists_every_file(site):
    page = (site / "data" / "index.html").read_text(encoding="utf-8")
    assert "CC BY 4.0" in page
    for file in (site / "data").iterdir():
        if file.name not in ("index.html", *LOADED_BY_PAGES):
            assert f'href="{file.name}"' in page
            assert f">{size(file.stat().st_size)}</td>" in page
    assert [size(count) for count in (7, 1200, 999_499, 999_500)] == [
        "7\u00a0bytes",
        "1\u00a0kB",
        "999\u00a0kB",
        "1.0\u00a0MB",
    ]


# the edition


def test_every_page_and_download_tells_which_knowledge_it_is_of(site, small):
    edition = Edition.read(small)
    assert edition.date is None  # a copy outside any history
    for page in site.rglob("*.html"):
        assert f"<code>{edition.hash}</code>" in page.read_text(encoding="utf-8"), page
    assert json.loads((site / "data" / "bogwright.json").read_bytes())["edition"] == {"hash": edition.hash}
    assert edition.hash in (site / "data" / "meta.xml").read_text(encoding="utf-8")


def git(folder: Path, *command: str) -> None:
    who = ["-c", "user.name=A Tester", "-c", "user.email=tester@example.org"]
    env = {key: value for key, value in os.environ.items() if not key.startswith("GIT_")}
    when = {"GIT_COMMITTER_DATE": "2024-02-29T23:30:00-05:00"}
    subprocess.run(["git", *who, *command], cwd=folder, env=env | when, capture_output=True, check=True)


@pytest.mark.skipif(shutil.which("git") is None, reason="git is not installed")
def test_the_date_is_of_the_last_commit_and_of_nothing_less(tmp_path):
    kb, schemas = tmp_path / "one" / "kb", tmp_path / "one" / "schemas"
    (kb / "profiles").mkdir(parents=True)
    schemas.mkdir()
    (kb / "axes.yaml").write_text("a: 1\n", encoding="utf-8")
    (schemas / "axes.schema.json").write_text("{}", encoding="utf-8")
    unknown = Edition.read(kb, schemas)
    assert unknown.date is None
    git(kb.parent, "init", "-q")
    git(kb.parent, "add", ".")
    git(kb.parent, "commit", "-q", "-m", "first")
    committed = Edition.read(kb, schemas)
    assert (committed.hash, committed.date) == (unknown.hash, "2024-03-01")  # in UTC
    assert str(committed) == f"{committed.hash} of 2024-03-01"
    git(tmp_path, "clone", "-q", "--depth=1", f"file://{kb.parent}", "two")
    assert Edition.read(tmp_path / "two" / "kb", tmp_path / "two" / "schemas") == unknown  # a cut-off history
    (kb / "axes.yaml").write_text("a: 2\n", encoding="utf-8")
    changed = Edition.read(kb, schemas)
    assert changed.hash != committed.hash
    assert changed.date is None
    git(kb.parent, "checkout", "-q", "--", "kb")
    (schemas / "axes.schema.json").write_text("[]", encoding="utf-8")
    assert Edition.read(kb, schemas).hash not in (committed.hash, changed.hash)


# the site as a whole


def test_the_sitemap_names_every_page_once(site):
    space = {"": "http://www.sitemaps.org/schemas/sitemap/0.9"}
    named = [loc.text for loc in ElementTree.parse(site / "sitemap.xml").getroot().iterfind("url/loc", space)]
    pages = {file.parent.relative_to(site).as_posix() for file in site.rglob("index.html")}
    assert sorted(named) == sorted(ADDRESS + ("" if page == "." else f"{page}/") for page in pages)
    assert not (site / "sitemap.xml.gz").exists()
    canonical = f'<link rel="canonical" href="{ADDRESS}plants/dionaea/muscipula/">'
    assert canonical in (site / "plants" / "dionaea" / "muscipula" / "index.html").read_text(encoding="utf-8")


def test_only_the_page_for_what_is_not_found_knows_the_sub_path(site):
    for path, text in links.read_site(site).items():
        absolute = re.findall(r'(?:href|src|action)="(/[^"]*)"', text)
        if path == links.NOT_FOUND:
            assert absolute
            assert all(target.startswith("/garden/") for target in absolute)
        else:
            assert not absolute, path
    files = frozenset(file.relative_to(site).as_posix() for file in site.rglob("*"))
    wrong = {links.NOT_FOUND: '<a href="/garden/plants/">x</a><a href="/garden/gone/">x</a><a href="/plants/">x</a>'}
    found = list(links.faults(wrong, files, "/garden/"))
    assert [("nowhere" in fault, "root of a server" in fault) for fault in found] == [(True, False), (False, True)]


def test_every_page_forbids_what_is_not_its_own(site):
    for path, text in links.read_site(site).items():
        assert """<meta http-equiv="Content-Security-Policy" content="default-src 'self'""" in text, path
        assert not re.search(r"<style|<script(?![^>]*\ssrc=)|<[^>]*\s(?:style|on[a-z]+)=", text), path


@pytest.mark.parametrize("address", ["example.org", "ftp://example.org/", "https://example.org/?a", "https://a b/"])
def test_what_is_no_address_is_refused(tmp_path, capsys, address):
    assert building.build(tmp_path / "out", address=address) == 2
    assert "is no address — give --address or BOGWRIGHT_ADDRESS one such as" in capsys.readouterr().err
    assert not (tmp_path / "out").exists()


def test_a_broken_link_fails_a_strict_build_only(small, cache, tmp_path):
    pages = tmp_path / "site"
    shutil.copytree(ROOT / "site", pages)
    with (pages / "pages" / "cautions.md").open("a", encoding="utf-8") as page:
        page.write('\n<p><a href="../gone/">a link that leads nowhere</a></p>\n')
    code = f"""
from pathlib import Path
from bogwright import data
from bogwright.report.site.build import build
data.site_folder = lambda: Path({str(pages)!r})
print([build(Path({str(tmp_path / "out")!r}), strict) for strict in (False, True)])
"""
    done = run(code, small, cache)
    assert done.stdout.endswith("[0, 2]\n"), done.stdout + done.stderr
    assert "1 warning" in done.stdout
    assert "no --address: no sitemap" in done.stdout
    assert done.stderr.count("warning: cautions/index.html: the link leads nowhere: ../gone/\n") == 2
    assert not (tmp_path / "out" / "sitemap.xml").exists()
    assert not (tmp_path / "out" / links.NOT_FOUND).exists()


class Terminal(io.StringIO):
    def isatty(self) -> bool:
        return True


def test_the_bar_shows_pages_done_and_the_part_at_work():
    seen, unseen = Terminal(), io.StringIO()
    for out in (seen, unseen):
        bar = Progress(out)
        bar.begin("making pages")
        bar.page("plants")
        bar.begin("writing pages", 12)
        for _ in range(12):
            bar.page("rules")
        bar.end()
    assert unseen.getvalue() == ""
    drawn = seen.getvalue().split("\r\x1b[K")
    assert "making pages 0 plants" in drawn
    assert f"writing pages [{'#' * 25}{'.' * 5}] 10/12 rules" in drawn
    assert f"writing pages [{'#' * 30}] 12/12 rules" in drawn
    assert drawn[-1] == ""


# the workflow


@pytest.fixture(scope="module")
def workflow():
    file = ROOT / ".github" / "workflows" / "site.yml"
    if not file.is_file():
        pytest.skip("not a checkout")
    return yaml.safe_load(file.read_text(encoding="utf-8"))


def test_the_workflow_runs_commands_that_exist(workflow):
    jobs = workflow["jobs"]
    commands = [step["run"] for job in jobs.values() for step in job["steps"] if "run" in step]
    readme = (ROOT / "README.md").read_text(encoding="utf-8")
    test_command = re.search(r"<!-- test command -->\s+```sh\n(.+)\n```", readme)[1]
    assert test_command in [step.get("run") for step in jobs["test"]["steps"]]
    ours = [shlex.split(command)[1:] for command in commands if command.startswith(".venv/bin/bogwright ")]
    parsed = [cli._parser().parse_args(argv) for argv in ours]
    assert [(one.command, one.action, one.strict) for one in parsed] == [("site", "build", True)]
    kept = next(step for step in jobs["build"]["steps"] if step.get("uses", "").startswith("actions/upload-pages"))
    assert kept["with"]["path"] == parsed[0].out
    for command in commands:
        for part in command.split("&&"):
            assert shlex.split(part)[0] in {
                "apt-get",
                "python3",
                ".venv/bin/pip",
                ".venv/bin/pytest",
                ".venv/bin/bogwright",
            }


def test_the_workflow_may_do_no_more_than_it_must(workflow):
    jobs = workflow["jobs"]
    assert workflow["permissions"] == {"contents": "read"}
    assert "permissions" not in jobs["test"]
    assert jobs["build"]["permissions"] == {"contents": "read", "pages": "read"}
    assert jobs["publish"]["permissions"] == {"pages": "write", "id-token": "write"}
    assert set(jobs["publish"]["needs"]) == {"test", "build"}
    assert "github.event_name != 'pull_request'" in jobs["publish"]["if"]
    assert jobs["test"]["strategy"]["matrix"]["python"] == ["3.11", "3.12"]
    assert jobs["test"]["env"] == {"BOGWRIGHT_BROWSER": "required"}
    used = {step["uses"] for job in jobs.values() for step in job["steps"] if "uses" in step}
    assert all(re.fullmatch(r"actions/[a-z-]+@v\d+", name) for name in used)
    assert set(workflow["concurrency"]) == {"group", "cancel-in-progress"}
