"""The demo enclosure: drawn, predicted, judged; every assumption a condition names has its row."""

import re

import pytest

from bogwright.report.site import demo_page
from bogwright.report.site.atlas import Atlas


@pytest.fixture(scope="module")
def atlas(run_cache):
    """The shipped knowledge, opened once."""
    with pytest.MonkeyPatch.context() as patch:
        patch.setenv("BOGWRIGHT_CACHE", str(run_cache))
        patch.delenv("BOGWRIGHT_KB", raising=False)
        return Atlas.open()


def test_the_page_draws_predicts_and_judges(atlas):
    page = demo_page.page(atlas)
    assert page.body.count("<svg") == page.body.count("<desc") == 2
    assert {anchor for _, anchor in page.toc} >= {"picture", "conditions", "rests-on", "verdict"}
    linked = set(re.findall(r'href="#(figure-\d+)"', page.body))
    assert linked and linked <= set(re.findall(r'id="(figure-\d+)"', page.body))
    rules = re.findall(r'href="\.\./rules/([a-z0-9-]+)/"', page.body)
    assert set(rules) <= set(atlas.rules)
    assert "invented" in page.body


def test_a_base_without_the_plan_or_its_plants_still_has_the_page(atlas, monkeypatch, tmp_path):
    monkeypatch.setattr(demo_page, "DEMO", "plans/none.yaml")
    assert "no sound plan" in demo_page.page(atlas).body
    kept = demo_page.data.kb_folder() / "plans" / "landing-case.yaml"
    (tmp_path / "plans").mkdir()
    text = kept.read_text(encoding="utf-8").replace("Dionaea muscipula", "Dionaea nusquam")
    (tmp_path / "plans" / "none.yaml").write_text(text, encoding="utf-8")
    monkeypatch.setattr(demo_page.data, "kb_folder", lambda: tmp_path)
    body = demo_page.page(atlas).body
    assert "Not judged: no plant" in body and body.count("<svg") == 2
