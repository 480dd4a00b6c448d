"""Every generated page of the site."""

from __future__ import annotations

from collections.abc import Iterator

from bogwright.report.site import (
    compare_page,
    demo_page,
    difficulty_page,
    how_numbers_page,
    indexes,
    lamp_pages,
    material_pages,
    needs_pages,
    profile_pages,
    rule_pages,
    search_page,
    share_page,
    source_pages,
    statistics_page,
)
from bogwright.report.site.atlas import Atlas, Page


def generate(atlas: Atlas) -> Iterator[Page]:
    """All pages made from the knowledge, indexes first. The pages of site/pages/ are not among them."""
    yield share_page.page(atlas)
    yield compare_page.page(atlas)
    yield indexes.plants(atlas)
    yield indexes.groups(atlas)
    yield indexes.names(atlas)
    yield indexes.rules(atlas)
    yield indexes.sources(atlas)
    yield from needs_pages.pages(atlas)
    yield from material_pages.pages(atlas)
    yield from lamp_pages.pages(atlas)
    yield difficulty_page.page(atlas)
    yield demo_page.page(atlas)
    for genus in atlas.genera:
        if atlas.genus(genus) is None:
            yield indexes.genus_without_profile(atlas, genus)
    yield search_page.page(atlas)
    yield statistics_page.page(atlas)
    yield how_numbers_page.page(atlas)
    for entry in atlas.base.entries.values():
        if entry.listed:
            continue
        yield profile_pages.page(atlas, entry)
    for rule, record in atlas.rules.values():
        yield rule_pages.page(atlas, rule, record)
    for source in atlas.base.sources().values():
        yield source_pages.page(atlas, source)
