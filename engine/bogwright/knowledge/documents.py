"""A file that was read: plain data with the place of every key and value."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, field
from typing import Any

from .problems import Problem

Path = tuple[str | int, ...]
Place = tuple[int, int]


class Positions:
    """Line and column (1-based) of every key and value of a document, by path.

    Kept as one flat list in document order: two numbers for each value and, before the value of a
    mapping entry, two for its key. That is short to store; the lookup is built when first asked for.
    """

    __slots__ = ("_data", "_flat", "_index")

    def __init__(self, data: Any, flat: list[int] | str) -> None:
        self._data = data
        self._flat = flat
        self._index: dict[Path, tuple[Place, Place]] | None = None

    def packed(self) -> str:
        """The flat list as text, for the snapshot."""
        return self._flat if isinstance(self._flat, str) else " ".join(map(str, self._flat))

    def value(self, path: Path) -> Place:
        """Where the value stands; of the nearest parent if the path does not exist."""
        return self._find(path)[1]

    def key(self, path: Path) -> Place:
        """Where the key of this entry stands; the value itself in a list or at the top."""
        return self._find(path)[0]

    def _find(self, path: Path) -> tuple[Place, Place]:
        if self._index is None:
            flat = self._flat if isinstance(self._flat, list) else list(map(int, self._flat.split()))
            self._index = dict(_walk(self._data, iter(flat)))
        while path not in self._index and path:
            path = path[:-1]
        return self._index.get(path, ((1, 1), (1, 1)))


def _walk(data: Any, numbers: Iterator[int]) -> Iterator[tuple[Path, tuple[Place, Place]]]:
    """Every path of the data with its places; entries still to visit wait on a stack, the next on top."""
    waiting: list[tuple[Path, Any, bool]] = [((), data, False)]
    while waiting:
        path, value, keyed = waiting.pop()
        key = (next(numbers), next(numbers)) if keyed else None
        place = (next(numbers), next(numbers))
        yield path, (key or place, place)
        if isinstance(value, dict):
            waiting.extend(((*path, name), value[name], True) for name in reversed(value))
        elif isinstance(value, list):
            waiting.extend(((*path, index), value[index], False) for index in reversed(range(len(value))))


@dataclass(frozen=True)
class Document:
    """What reading a file gave.

    data : dict, list, str, int, float, bool or None (None as well if the file cannot be read at all).
    positions : where everything stands. problems : what is wrong with it as YAML.
    """

    file: str
    data: Any
    positions: Positions
    problems: tuple[Problem, ...] = ()
    readable: bool = True


@dataclass(frozen=True)
class Record:
    """A checked source file of the knowledge base. name : path inside the kb folder, with slashes."""

    name: str
    file: str
    data: Any = field(repr=False)
    positions: Positions = field(repr=False)
