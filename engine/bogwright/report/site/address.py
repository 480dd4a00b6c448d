"""Addresses on the web that whoever builds the site gives it: where it will be read, where its sources stand."""

from __future__ import annotations

import re

_ADDRESS = re.compile(r"https?://[^\s/?#]+(?:/[^\s?#]*)?")


def checked(address: str, setting: str) -> str:
    """The address as it was given, "" for none. setting : who gave it. Raises ValueError where it is no address."""
    if address and not _ADDRESS.fullmatch(address):
        raise ValueError(f"{address!r} is no address — give {setting} one such as https://example.org/bogwright/")
    return address
