"""Rings: things that wait for one another, so that none of them can be taken off by those ways."""

from collections import deque
from collections.abc import Iterable, Sequence

from msgspec import Struct

from lineage.figures.removal import Removals
from lineage.problems import Level


class Ring(Struct, frozen=True, kw_only=True):
    """References in a ring, each waiting for the next and the last for the first.

    `at` is the one at whose line it is reported, the first in the order of the specs. An error: none of them has
    a way left; a warning: another way is open.
    """

    refs: tuple[str, ...]
    level: Level

    @property
    def at(self) -> str:
        """Where to report it."""
        return self.refs[0]


class Rings:
    """The rings of one set of removals: for every item on one, the shortest through it."""

    def __init__(self, removals: Removals) -> None:
        self.removals = removals
        self.after = tuple(
            tuple(dict.fromkeys(need for route in routes for need in route)) for routes in removals.needs
        )
        self.closed = removals.core - removals.can_go
        self.found = self._all()

    def _all(self) -> dict[tuple[int, ...], Ring]:
        found: dict[tuple[int, ...], Ring] = {}
        for number in sorted(self.removals.core):
            ring = self._through(number)
            if ring is not None:
                found.setdefault(ring, self._named(ring))
        return found

    def _through(self, number: int) -> tuple[int, ...] | None:
        """The shortest ring through an item: among items that have no way left where there is one."""
        ring = self._shortest(number, self.closed) if number in self.closed else None
        return ring or self._shortest(number, self.removals.core)

    def _shortest(self, number: int, among: frozenset[int]) -> tuple[int, ...] | None:
        came_from: dict[int, int] = {}
        queue = deque((number,))
        while queue:
            current = queue.popleft()
            for need in self.after[current]:
                if need == number:
                    return _from_the_first(_path_back(current, number, came_from))
                if need in among and need not in came_from:
                    came_from[need] = current
                    queue.append(need)
        return None

    def _named(self, ring: Sequence[int]) -> Ring:
        return Ring(
            refs=tuple(self.removals.items[number].ref for number in ring),
            level="error" if self.closed.issuperset(ring) else "warning",
        )

    def blocking(self, ref: str) -> tuple[str, ...] | None:
        """The nearest ring without a way left that a thing without a way waits for."""
        start = self.removals.number[ref]
        met, queue = {start}, deque((start,))
        while queue:
            current = queue.popleft()
            ring = self._shortest(current, self.closed) if current in self.closed else None
            if ring is not None:
                return self._named(ring).refs
            for need in self._without_way(self.after[current]):
                if need not in met:
                    met.add(need)
                    queue.append(need)
        return None

    def _without_way(self, numbers: Iterable[int]) -> list[int]:
        return [number for number in numbers if number not in self.removals.can_go]


def _path_back(last: int, first: int, came_from: dict[int, int]) -> list[int]:
    path = [last]
    while path[-1] != first:
        path.append(came_from[path[-1]])
    return path[::-1]


def _from_the_first(ring: list[int]) -> tuple[int, ...]:
    start = ring.index(min(ring))
    return tuple(ring[start:] + ring[:start])
