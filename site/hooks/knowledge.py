"""MkDocs hook: adds the pages made from the knowledge base, and checks every link when the site is built."""

from __future__ import annotations

import importlib.util
import sys
from pathlib import Path
from typing import Any

if importlib.util.find_spec("bogwright") is None:  # a checkout that is not installed
    sys.path.insert(0, str(Path(__file__).resolve().parents[2] / "engine"))

from bogwright.report.site import hook

_site: hook.Site | None = None
_served = False


def on_startup(command: str, dirty: bool) -> None:
    global _served
    _served = command == "serve"


def on_pre_build(config: Any) -> None:
    global _site
    hook.mark_folder(Path(config.site_dir))
    _site = hook.Site(config.extra.get("repository") or "")


def on_files(files: Any, config: Any) -> Any:
    return _site.add_files(files, config) if _site else files


def on_page_content(html: str, page: Any, config: Any, files: Any) -> str:
    return _site.content(html, page.file.src_uri) if _site else html


def on_page_context(context: Any, page: Any, config: Any, nav: Any) -> Any:
    context["served"] = _served
    return _site.context(context, page.file.src_uri) if _site else context


def on_template_context(context: Any, template_name: str, config: Any) -> Any:
    if _site:
        _site.progress.end()
        context |= {"edition": _site.edition, "served": _served}
    return context


def on_post_template(output: str, template_name: str, config: Any) -> str:
    """The sitemap is written at the end; a page for what is not found needs the address, since it has no place."""
    return output if config.site_url and template_name != "sitemap.xml" else ""


def on_post_build(config: Any) -> None:
    if _site:
        _site.progress.end()
    hook.check_links(Path(config.site_dir), config.site_url or "")
    if config.site_url:
        hook.write_sitemap(Path(config.site_dir), config.site_url)


def on_serve(server: Any, config: Any, builder: Any) -> Any:
    for folder in hook.watched():
        server.watch(folder)
    return server
