"""The reference site as built: every page is there, every link leads somewhere, every figure shows its evidence."""

import posixpath
import socket
from html.parser import HTMLParser
from pathlib import Path
from typing import NamedTuple
from urllib.parse import unquote, urlsplit

import pytest
from markupsafe import escape

from bogwright import data
from bogwright.report.site import build as building
from bogwright.report.site import links
from bogwright.report.site.atlas import Atlas
from bogwright.report.site.hook import MARKER
from bogwright.report.site.markup import scientific
from bogwright.report.site.sheet import row_anchor
from bogwright.report.site.wording import figure
from bogwright.sharing.months import both_halves
from sites import built_in

ENGINE = Path(__file__).parents[2] / "engine"


class Built(NamedTuple):
    """A finished site. folder : where it is; atlas : the knowledge it was made from; pages : text by path."""

    folder: Path
    atlas: Atlas
    pages: dict[str, str]

    def page(self, url: str) -> str:
        return self.pages[f"{url}index.html"]


class Reader(HTMLParser):
    """Collects what a browser would follow, load or jump to, and what a strict content policy would refuse."""

    def __init__(self) -> None:
        super().__init__()
        self.targets: set[str] = set()
        self.loaded: set[str] = set()
        self.anchors: list[str] = []
        self.refused: list[str] = []
        self.open: list[str] = []

    def handle_starttag(self, tag, attrs):
        found = dict(attrs)
        inline = tag == "script" and not (found.get("src") and found.get("type") == "module")
        if inline or "style" in found or any(name.startswith("on") for name in found):
            self.refused.append(self.get_starttag_text() or tag)
        if tag == "a" and found.get("href"):
            self.targets.add(found["href"])
        if tag in ("link", "img", "script", "iframe", "source"):
            self.loaded.add(found.get("href") or found.get("src") or "")
        if "id" in found:
            self.anchors.append(found["id"])


@pytest.fixture(scope="module")
def site(shipped_site, run_cache):
    """The shipped knowledge, built once."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("BOGWRIGHT_CACHE", str(run_cache))
        patch.delenv("BOGWRIGHT_KB", raising=False)
        return Built(shipped_site, Atlas.open(), links.read_site(shipped_site))


@pytest.fixture(scope="module")
def read(site):
    """Every page as a parser sees it, by path."""
    found = {}
    for path, text in site.pages.items():
        found[path] = Reader()
        found[path].feed(text)
        found[path].close()
    return found


def test_every_taxon_genus_and_group_has_a_page(site):
    for entry in site.atlas.base.entries.values():
        assert str(scientific(entry.name)) in site.page(site.atlas.url(entry)) or entry.kind == "group"
        if entry.listed:
            assert f'id="{row_anchor(entry)}"' in site.page(site.atlas.url(entry))
    for genus in site.atlas.genera:
        assert f"plants/{genus}/index.html" in site.pages


def test_every_rule_and_source_has_a_page(site):
    for rule, _ in site.atlas.rules.values():
        assert "What follows" in site.page(f"rules/{rule.id}/")
    for source in site.atlas.base.sources().values():
        assert source["custom"]["read"] in site.page(f"sources/{source['id']}/")


def test_no_link_or_anchor_is_dead(site, read):
    files = {file.relative_to(site.folder).as_posix() for file in site.folder.rglob("*") if file.is_file()}
    dead = []
    for path, page in read.items():
        for target in page.targets | page.loaded:
            parts = urlsplit(target)
            if parts.scheme or parts.netloc:
                continue
            assert not parts.path.startswith("/"), f"{path}: {target} works only at the root of a server"
            to = posixpath.normpath(posixpath.join(posixpath.dirname(path), unquote(parts.path)))
            to = path if not parts.path else to
            to = to if to in files else posixpath.normpath(f"{to}/index.html")
            if to not in files or (parts.fragment and unquote(parts.fragment) not in read[to].anchors):
                dead.append(f"{path}: {target}")
    assert not dead, "\n".join(dead[:20])


def test_nothing_is_loaded_from_elsewhere_and_nothing_needs_a_lax_policy(site, read):
    for path, page in read.items():
        assert all(not urlsplit(target).netloc and not urlsplit(target).scheme for target in page.loaded), path
        assert not page.refused, f"{path}: {page.refused[:3]}"
        assert len(page.anchors) == len(set(page.anchors)), f"{path} has an anchor twice"
    style = (site.folder / "css" / "site.css").read_text(encoding="utf-8")
    assert "url(" not in style
    assert "@import" not in style


@pytest.mark.parametrize("taxon", ["dionaea/muscipula", "drosera/binata/t-form", "heliamphora/nutans"])
def test_a_published_figure_shows_its_standing_source_passage_and_line(site, taxon):
    profile = site.atlas.base.profile(taxon)
    text = site.page(site.atlas.url(profile.entry)).replace("&#39;", "'")
    row = text[text.index('id="air-temperature-day"') :]
    row = row[: row.index("</tr>")]
    claim = profile.band("air.temperature_day")
    published = [end for end in claim.ends() if end.basis == "published"]
    assert published
    assert "standing-published" in row
    for end in published:
        assert f"sources/{end.sources[0].id}/" in text
        assert end.sources[0].locator in text
        assert f"kb/{end.origin.record.name}:{end.origin.line}" in text
    low, high = claim.value("prefers", "low"), claim.value("prefers", "high")
    assert figure(low, high, "degC") in row


def test_an_inherited_figure_names_and_links_who_states_it(site):
    text = site.page("plants/drosera/binata/t-form/")
    assert "inherited from <a href=" in text
    assert '<a href="../../../../groups/drosera/forked/">Forked sundews</a>' in text


def test_what_is_unknown_and_what_is_disputed_is_said(site):
    unknown, disputed = 0, 0
    for entry in site.atlas.base.taxa():
        profile = site.atlas.base.profile(entry.id)
        text = site.page(site.atlas.url(entry))
        if any((claim := profile.claim(path)) and claim.unknown for path in profile.fields()):
            unknown += 1
            assert "looked for, not found" in text
        for path in profile.readings():
            disputed += 1
            assert f'href="#{path.replace(".", "-").replace("_", "-")}"' in text
    assert unknown
    assert disputed


def test_a_source_lists_every_claim_that_cites_it(site):
    cited = {ref.id for end in site.atlas.base.profile("dionaea/muscipula").band("air.temperature_day").ends()
             for ref in end.sources}  # fmt: skip
    for source in cited:
        assert "plants/dionaea/muscipula/#air-temperature-day" in site.page(f"sources/{source}/")


def test_a_rule_page_says_what_it_tests_in_words(site):
    for rule, record in site.atlas.rules.values():
        text = site.page(f"rules/{rule.id}/")
        assert f"kb/{record.name}:" in text
        assert "When it holds" in text
        assert all(f"<b>{escape(example.name)}</b>" in text for example in (*rule.fires, *rule.near_misses))
        assert all(f"sources/{ref['id']}/" in text for ref in rule.sources)


def test_the_home_page_counts_what_is_there(site):
    home = site.pages["index.html"]
    assert f"<dd>{sum(taxon.form is None for taxon in site.atlas.base.taxa())}</dd>" in home
    care = site.atlas.counts.care
    assert f"<dd>{100 * care['published'] / sum(care.values()):.0f} %</dd>" in home


def test_two_builds_give_the_same_bytes(site, run_cache, tmp_path):
    built_in(tmp_path / "again", run_cache, "2")
    first = {file.relative_to(site.folder): file.read_bytes() for file in site.folder.rglob("*") if file.is_file()}
    again = {file.relative_to(tmp_path / "again"): file.read_bytes()
             for file in (tmp_path / "again").rglob("*") if file.is_file()}  # fmt: skip
    assert first.keys() == again.keys()
    assert [path for path in first if first[path] != again[path]] == []
    assert not (site.folder / "sitemap.xml").exists()


def test_a_folder_with_other_things_in_it_is_not_emptied(tmp_path, capsys):
    (tmp_path / "thesis.txt").write_text("years of work", encoding="utf-8")
    assert building.build(tmp_path) == 2
    assert "holds no earlier site" in capsys.readouterr().err
    assert (tmp_path / "thesis.txt").read_text(encoding="utf-8") == "years of work"


def test_the_sources_of_the_site_are_not_overwritten(capsys):
    inside = data.site_folder() / "pages" / "new"
    assert building.build(inside) == 2
    assert "inside the sources of the site" in capsys.readouterr().err
    assert not inside.exists()
    assert building.build(data.site_folder().parent) == 2


def test_a_folder_that_cannot_be_made_is_reported(tmp_path, capsys):
    (tmp_path / "file").write_text("", encoding="utf-8")
    assert building.build(tmp_path / "file" / "site") == 2
    assert "cannot be written" in capsys.readouterr().err


def test_a_port_that_is_taken_is_reported_before_building(capsys):
    with socket.socket() as other:
        other.bind(("127.0.0.1", 0))
        other.listen()
        assert building.serve(other.getsockname()[1]) == 2
    assert building.serve(70000) == 2
    assert capsys.readouterr().err.count("cannot be used") == 2


def test_output_stays_out_of_the_packages(tmp_path, monkeypatch):
    monkeypatch.chdir(tmp_path)
    assert building.default_folder() == ENGINE.parent / "build" / "site"
    monkeypatch.setattr(data, "PACKAGE", tmp_path / "site-packages" / "bogwright")
    monkeypatch.setattr(data, "site_folder", lambda: tmp_path / "site-packages" / "bogwright" / "_data" / "site")
    assert building.default_folder() == tmp_path / "build" / "site"


def test_a_finished_site_is_marked_so_that_it_can_be_built_again(site):
    assert (site.folder / MARKER).is_file()


PAGES = {"index.html": '<p id="top"></p><a href="a/#x">a</a>', "a/index.html": '<a id="x" href="../#top">home</a>'}


@pytest.mark.parametrize(
    ("written", "said"),
    [
        ('<a href="gone/">x</a>', "leads nowhere"),
        ('<a href="a/#y">x</a>', "no such anchor"),
        ('<a href="/a/">x</a>', "root of a server"),
        ('<img src="https://example.org/p.png">', "from another site"),
        ('<script src="//example.org/p.js"></script>', "from another site"),
    ],
)
def test_the_check_of_links_finds_each_fault(written, said):
    files = frozenset(PAGES)
    assert list(links.faults(PAGES, files)) == []
    assert said in next(links.faults({**PAGES, "index.html": PAGES["index.html"] + written}, files))
    fine = '<link rel="canonical" href="https://example.org/"><a href="https://example.org/">out</a>'
    assert list(links.faults({**PAGES, "index.html": PAGES["index.html"] + fine}, files)) == []


@pytest.mark.parametrize(
    ("name", "shown"),
    [
        ("Drosera binata var. dichotoma", "<i>Drosera binata</i> var. <i>dichotoma</i>"),
        ("Drosera binata (T-form)", "<i>Drosera binata</i> (T-form)"),
        ("Drosera binata var. multifida (with f. extrema)",
         "<i>Drosera binata</i> var. <i>multifida</i> (with f. <i>extrema</i>)"),
        ("Genlisea lobata × violacea", "<i>Genlisea lobata</i> × <i>violacea</i>"),
        ("Utricularia bisquamata 'Betty's Bay'", "<i>Utricularia bisquamata</i> &#39;Betty&#39;s Bay&#39;"),
        ("Drosera <script>", "<i>Drosera &lt;script&gt;</i>"),
    ],
)  # fmt: skip
def test_only_the_latin_of_a_name_is_in_italics(name, shown):
    assert str(scientific(name)) == shown


def test_figures_read_well():
    assert figure(15000, 25000, "lux") == "15\u202f000–25\u202f000\u00a0lux"
    assert figure(None, 5, "cm") == "at most 5\u00a0cm"
    assert figure(5, None, "K") == "at least 5\u00a0°C"
    assert figure(-3, 10, "degC") == "−3 to 10\u00a0°C"
    assert both_halves([10, 11, 0, 1]) == "Oct–Jan in the north, Apr–Jul in the south"
    assert both_halves(range(12)) == "all year"
