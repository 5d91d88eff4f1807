"""What has to come off and be undone before something can be taken off, by the cheapest of its ways.

Things and fastener groups are items; each has routes, and a route names the items that are gone before the item
itself can go. One route is chosen for each item that goes, and the choice is sound when no item waits for
itself. Items that wait for nobody are gone at once; those whose waiting never ends have no way.
"""

from collections import deque
from collections.abc import Iterator, Mapping, Sequence
from math import prod

from msgspec import Struct

MOST_COMBINATIONS = 4096
NANO = 1_000_000_000


class Route(Struct, frozen=True):
    """One way of taking an item off: what is gone before, in order, and tools beside those of screws."""

    needs: tuple[str, ...] = ()
    tools: tuple[str, ...] = ()


class Item(Struct, frozen=True, kw_only=True):
    """A thing to take off or a group to undo; `seconds` once, without tools, None where nobody knows."""

    ref: str
    routes: tuple[Route, ...]
    seconds: float | None = 0.0
    screws: int = 0
    tool: str | None = None


class Removal(Struct, frozen=True, kw_only=True):
    """The cheapest way to take one item off.

    `order` are the items in the order in which they go, the item itself last; None where there is no way, or more
    combinations than are searched. `open_routes` says how many of the item's own routes can be gone.
    """

    order: tuple[str, ...] | None
    tools: tuple[str, ...] = ()
    open_routes: int = 0
    over_budget: bool = False


class Removals:
    """All removals of one set of items, with what they share worked out once."""

    def __init__(self, items: Sequence[Item], tool_seconds: float) -> None:
        self.items = tuple(items)
        self.number = {item.ref: number for number, item in enumerate(self.items)}
        self.tool_seconds = tool_seconds
        self.needs = tuple(
            tuple(tuple(self.number[ref] for ref in route.needs) for route in item.routes)
            for item in self.items
        )
        self.core = _on_or_between_rings(self.needs)
        self.gone_in_order = _gone_in_order(self.needs)
        self.can_go = frozenset(self.gone_in_order)
        self.open = tuple(
            tuple(way for way, needs in enumerate(routes) if self.can_go.issuperset(needs))
            for routes in self.needs
        )
        self._search = _Search(self)

    def of(self, ref: str) -> Removal:
        """The cheapest way to take `ref` off."""
        number = self.number[ref]
        if number not in self.can_go:
            return Removal(order=None)
        open_routes = len(self._open_without_itself(number))
        chosen = self._search.cheapest(number)
        if chosen is None:
            return Removal(order=None, open_routes=open_routes, over_budget=True)
        order = self.order(number, chosen)
        assert order is not None
        return Removal(
            order=tuple(self.items[n].ref for n in order),
            tools=self._tools(order, chosen),
            open_routes=open_routes,
        )

    def order(self, number: int, chosen: Mapping[int, int]) -> list[int] | None:
        """Items in the order in which they go, depth first; None where one waits for itself."""
        order: list[int] = []
        waiting = {number}
        gone: set[int] = set()
        stack: list[tuple[int, Iterator[int]]] = [(number, iter(self.needs_of(number, chosen)))]
        while stack:
            current, needs = stack[-1]
            for need in needs:
                if need in waiting:
                    return None
                if need not in gone:
                    waiting.add(need)
                    stack.append((need, iter(self.needs_of(need, chosen))))
                    break
            else:
                stack.pop()
                waiting.discard(current)
                gone.add(current)
                order.append(current)
        return order

    def needs_of(self, number: int, chosen: Mapping[int, int]) -> tuple[int, ...]:
        """What is gone before an item by the route chosen for it, or by its only open one."""
        return self.needs[number][self._route(number, chosen)]

    def _route(self, number: int, chosen: Mapping[int, int]) -> int:
        return chosen[number] if number in chosen else self.open[number][0]

    def _tools(self, order: Sequence[int], chosen: Mapping[int, int]) -> tuple[str, ...]:
        tools: list[str] = []
        for number in order:
            item = self.items[number]
            tools += item.routes[self._route(number, chosen)].tools
            tools += [item.tool] if item.tool else []
        return tuple(dict.fromkeys(tools))

    def _open_without_itself(self, number: int) -> tuple[int, ...]:
        """The routes of an item that need nothing which needs the item."""
        if number not in self.core:
            return self.open[number]
        others = frozenset(_gone_in_order(self.needs, without=number))
        return tuple(way for way in self.open[number] if others.issuperset(self.needs[number][way]))


class _Bundle(Struct, frozen=True):
    """Items, tools and still undecided items, as bits of whole numbers."""

    items: int = 0
    tools: int = 0
    undecided: int = 0

    def with_(self, other: "_Bundle") -> "_Bundle":
        return _Bundle(self.items | other.items, self.tools | other.tools, self.undecided | other.undecided)


Cost = tuple[bool, int, int]  # without a known time, nanoseconds, screws


class _Search:
    """Goes through combinations of routes of those items that have more than one."""

    def __init__(self, removals: Removals) -> None:
        self.removals = removals
        self.tool_bits: dict[str, int] = {}
        self.costs: dict[tuple[int, int], Cost] = {}
        self.routes: dict[int, tuple[_Bundle, ...]] = {}
        self.bundles: dict[int, _Bundle] = {}
        self._gather()

    def _gather(self) -> None:
        """Bundles of all items; what goes one way only has been met in the order in which things go."""
        several = [n for n in self.removals.gone_in_order if len(self.removals.open[n]) > 1]
        for number in several:
            self.bundles[number] = _Bundle(undecided=1 << number)
        for number in self.removals.gone_in_order:
            if number not in self.bundles:
                self.bundles[number] = self._by_route(number, self.removals.open[number][0])
        for number in several:
            self.routes[number] = tuple(self._by_route(number, way) for way in self.removals.open[number])

    def _by_route(self, number: int, way: int) -> _Bundle:
        item = self.removals.items[number]
        bundle = _Bundle(items=1 << number)
        for need in self.removals.needs[number][way]:
            bundle = bundle.with_(self.bundles[need])
        for tool in (*item.routes[way].tools, *([item.tool] if item.tool else [])):
            bundle = bundle.with_(_Bundle(tools=self._bit_of(tool)))
        return bundle

    def _bit_of(self, tool: str) -> int:
        return self.tool_bits.setdefault(tool, 1 << len(self.tool_bits))

    def cheapest(self, number: int) -> dict[int, int] | None:
        """For each item with several routes that goes, the route of the cheapest way; None: too many."""
        start = self.bundles[number]
        if not start.undecided:
            return {}
        if self._combinations(start.undecided) > MOST_COMBINATIONS:
            return None
        return _Cheapest(self, number).among(start)

    def _combinations(self, undecided: int) -> int:
        """The product of the numbers of routes over all items on the way that have more than one."""
        met, left = 0, undecided
        while left:
            bit = left & -left
            met |= bit
            for bundle in self.routes[bit.bit_length() - 1]:
                left |= bundle.undecided
            left &= ~met
        return prod(len(self.routes[number]) for number in _bits(met))

    def cost(self, items: int, tools: int) -> Cost:
        """What a set of items and tools costs; in whole nanoseconds, so that ties are ties."""
        key = (items, tools)
        if key not in self.costs:
            members = [self.removals.items[number] for number in _bits(items)]
            known = [item.seconds for item in members if item.seconds is not None]
            nanoseconds = sum(round(seconds * NANO) for seconds in known)
            nanoseconds += tools.bit_count() * round(self.removals.tool_seconds * NANO)
            timed = len(known) == len(members)
            self.costs[key] = (not timed, nanoseconds if timed else 0, sum(item.screws for item in members))
        return self.costs[key]

    def names(self, bundle: _Bundle) -> tuple[list[str], list[str]]:
        """What decides between equal costs: names of what goes, then those of tools."""
        tools = [tool for tool, bit in self.tool_bits.items() if bundle.tools & bit]
        return sorted(self.removals.items[number].ref for number in _bits(bundle.items)), sorted(tools)


class _Cheapest:
    """The cheapest combination found so far for one item. Costs never fall as items are added."""

    def __init__(self, search: _Search, number: int) -> None:
        self.search = search
        self.number = number
        self.best: tuple[Cost, tuple[list[str], list[str]]] | None = None
        self.chosen: dict[int, int] = {}

    def among(self, start: _Bundle) -> dict[int, int]:
        self._explore(start, {})
        assert self.best is not None
        return self.chosen

    def _explore(self, bundle: _Bundle, chosen: dict[int, int]) -> None:
        cost = self.search.cost(bundle.items, bundle.tools)
        if self.best is not None and cost > self.best[0]:
            return
        if not bundle.undecided:
            self._compare(cost, bundle, chosen)
            return
        number = (bundle.undecided & -bundle.undecided).bit_length() - 1
        open_routes = self.search.removals.open[number]
        for way, route in zip(open_routes, self.search.routes[number], strict=True):
            decided = {**chosen, number: way}
            both = bundle.with_(route)
            left = both.undecided & ~sum(1 << done for done in decided)
            self._explore(_Bundle(both.items, both.tools, left), decided)

    def _compare(self, cost: Cost, bundle: _Bundle, chosen: dict[int, int]) -> None:
        removals = self.search.removals
        if removals.core and removals.order(self.number, chosen) is None:
            return
        found = (cost, self.search.names(bundle))
        if self.best is None or found < self.best:
            self.best, self.chosen = found, chosen


def _bits(number: int) -> Iterator[int]:
    while number:
        bit = number & -number
        yield bit.bit_length() - 1
        number ^= bit


def _gone_in_order(needs: Sequence[Sequence[Sequence[int]]], without: int | None = None) -> list[int]:
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


def _on_or_between_rings(needs: Sequence[Sequence[Sequence[int]]]) -> frozenset[int]:
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
