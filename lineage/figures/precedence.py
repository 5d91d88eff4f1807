"""What can go and what waits for itself, where items have routes and a route names what is gone before."""

from collections import deque
from collections.abc import Mapping, Sequence


def gone_in_order(needs: Sequence[Sequence[Sequence[int]]], without: int | None = None) -> list[int]:
    """Items in an order in which they can go, each after all needs of one of its routes."""
    waits: dict[int, list[tuple[int, int]]] = {}
    missing: dict[tuple[int, int], int] = {}
    ready: deque[int] = deque()
    for number, routes in enumerate(needs):
        for way, route in enumerate(routes):
            distinct = set(route)
            missing[number, way] = len(distinct)
            for need in distinct:
                waits.setdefault(need, []).append((number, way))
        if number != without and any(not route for route in routes):
            ready.append(number)
    order: list[int] = []
    met = set(ready) | {without}
    while ready:
        number = ready.popleft()
        order.append(number)
        for waiting, way in waits.get(number, ()):
            missing[waiting, way] -= 1
            if not missing[waiting, way] and waiting not in met:
                met.add(waiting)
                ready.append(waiting)
    return order


def on_or_between_rings(needs: Sequence[Sequence[Sequence[int]]]) -> frozenset[int]:
    """Items that wait for something on a ring and that something on a ring waits for; empty without rings."""
    after = {n: {need for route in routes for need in route} for n, routes in enumerate(needs)}
    before: dict[int, set[int]] = {n: set() for n in after}
    for number, further in after.items():
        for need in further:
            before[need].add(number)
    return _stripped(_stripped(frozenset(after), after, before), before, after)


def _stripped(
    numbers: frozenset[int], forward: Mapping[int, set[int]], backward: Mapping[int, set[int]]
) -> frozenset[int]:
    """`numbers` less those from which every path forward ends."""
    left = set(numbers)
    onward = {number: len(forward[number] & numbers) for number in numbers}
    ends = [number for number, count in onward.items() if not count]
    while ends:
        number = ends.pop()
        left.discard(number)
        for earlier in backward[number] & left:
            onward[earlier] -= 1
            if not onward[earlier]:
                ends.append(earlier)
    return frozenset(left)
