"""Where the data folders live: in a checkout, an editable install or an installed wheel."""

from __future__ import annotations

import os
from pathlib import Path

PACKAGE = Path(__file__).resolve().parent
KB_VARIABLE = "BOGWRIGHT_KB"


class DataNotFound(Exception):
    """A data folder is missing; the message says where it was looked for and how to mend it."""


def kb_folder() -> Path:
    """The knowledge base: the folder named by BOGWRIGHT_KB, or the one that came with the program.

    Raises DataNotFound if that folder does not exist.
    """
    named = os.environ.get(KB_VARIABLE)
    if not named:
        return _shipped("kb")
    folder = Path(named).expanduser()
    if not folder.is_dir():
        raise DataNotFound(
            f"{KB_VARIABLE} names {named!r}, which is not a folder — point it at a kb folder, or unset it"
        )
    return folder.resolve()


def schemas_folder() -> Path:
    """The JSON Schemas that came with the program. Raises DataNotFound."""
    return _shipped("schemas")


def site_folder() -> Path:
    """The sources of the reference site. Raises DataNotFound."""
    return _shipped("site")


def _shipped(name: str) -> Path:
    wheel = PACKAGE / "_data" / name
    checkout = PACKAGE.parent.parent / name
    for folder in (wheel, checkout):
        if folder.is_dir():
            return folder
    raise DataNotFound(f"the folder {name!r} is in neither {wheel} nor {checkout} — install bogwright again")
