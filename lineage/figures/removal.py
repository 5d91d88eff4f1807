"""What has to come off and be undone before something can be taken off, by the cheapest of its ways.

Things and fastener groups are items; each has routes, and a route names the items that are gone before the item
itself can go. One route is chosen for each item that goes, and the choice is sound when no item waits for
itself. Items that wait for nobody are gone at once; those whose waiting never ends have no way.
"""

from collections.abc import Callable, Iterator, Mapping, Sequence
from functools import reduce
from math import prod

from msgspec import Struct

from lineage.figures.precedence import gone_in_order, on_or_between_rings

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
        self.core = on_or_between_rings(self.needs)
        self.gone_in_order = gone_in_order(self.needs)
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
        others = frozenset(gone_in_order(self.needs, without=number))
        return tuple(way for way in self.open[number] if others.issuperset(self.needs[number][way]))


class _Bundle(Struct, frozen=True):
    """Items, tools and still undecided items, as bits of whole numbers."""

    items: int = 0
    tools: int = 0
    undecided: int = 0

    def with_(self, other: "_Bundle") -> "_Bundle":
        return _Bundle(self.items | other.items, self.tools | other.tools, self.undecided | other.undecided)

    def in_both(self, other: "_Bundle") -> "_Bundle":
        return _Bundle(self.items & other.items, self.tools & other.tools, self.undecided & other.undecided)

    def without(self, other: "_Bundle") -> "_Bundle":
        return _Bundle(
            self.items & ~other.items, self.tools & ~other.tools, self.undecided & ~other.undecided
        )

    def shares_with(self, other: "_Bundle") -> bool:
        return self.in_both(other) != _Bundle()


Cost = tuple[bool, int, int]  # without a known time, nanoseconds, screws


class _Search:
    """Goes through combinations of routes of those items that have more than one.

    `sure` is what goes with an item whichever routes are chosen, `may_go` all that can; items whose choices touch
    nothing in common are chosen for apart, so that twelve of two routes each are 24 trials and not 4,096.
    """

    def __init__(self, removals: Removals) -> None:
        self.removals = removals
        self.tool_bits: dict[str, int] = {}
        self.costs: dict[_Bundle, Cost] = {}
        self.core = sum(1 << number for number in removals.core)
        several = [n for n in removals.gone_in_order if len(removals.open[n]) > 1]
        self.sure = {number: _Bundle(1 << number, 0, 1 << number) for number in several}
        self.routes: dict[int, tuple[_Bundle, ...]] = {}
        before: dict[int, _Bundle] | None = None
        while several and before != self.sure:  # again, until what has several routes says no more
            before = dict(self.sure)
            self._gather()
        if not several:
            self._gather()
        self.may_go = {number: self._all_that_may_go(number) for number in several}

    def _gather(self) -> None:
        """What is sure to go with each item, from what waits for nothing on."""
        for number in self.removals.gone_in_order:
            routes = tuple(self._by_route(number, way) for way in self.removals.open[number])
            if len(routes) == 1:
                self.sure[number] = routes[0]
            else:
                self.sure[number] = self.sure[number].with_(reduce(_Bundle.in_both, routes))
                self.routes[number] = routes

    def _by_route(self, number: int, way: int) -> _Bundle:
        item = self.removals.items[number]
        items, tools, undecided = 1 << number, 0, 0
        for need in self.removals.needs[number][way]:
            # One of several routes may need what is met only later; the next round knows it.
            bundle = self.sure.get(need) or _Bundle(1 << need)
            items, tools, undecided = items | bundle.items, tools | bundle.tools, undecided | bundle.undecided
        for tool in (*item.routes[way].tools, *([item.tool] if item.tool else [])):
            tools |= self._bit_of(tool)
        return _Bundle(items, tools, undecided)

    def _bit_of(self, tool: str) -> int:
        return self.tool_bits.setdefault(tool, 1 << len(self.tool_bits))

    def _all_that_may_go(self, number: int) -> _Bundle:
        found, looked_at = self.sure[number], 0
        while left := found.undecided & ~looked_at:
            bit = left & -left
            looked_at |= bit
            found = reduce(_Bundle.with_, self.routes[bit.bit_length() - 1], found)
        return found

    def cheapest(self, number: int) -> dict[int, int] | None:
        """For each item with several routes that goes, the route of the cheapest way; None: too many."""
        start = self.sure[number]
        if not start.undecided:
            return {}
        may_go = reduce(_Bundle.with_, (self.may_go[n] for n in _bits(start.undecided)), start)
        if prod(len(self.routes[n]) for n in _bits(may_go.undecided)) > MOST_COMBINATIONS:
            return None
        apart = None if may_go.items & self.core else self._chosen_apart(number, start)
        return _Cheapest(self, number, start).among(start.undecided) if apart is None else apart

    def _chosen_apart(self, number: int, start: _Bundle) -> dict[int, int] | None:
        """The cheapest routes of each group that touches no other; None where the groups bear on each other."""
        chosen: dict[int, int] = {}
        for group in self._groups(start):
            cheapest = _Cheapest(self, number, start, alone=False)
            chosen |= cheapest.among(group)
            if cheapest.is_unsure:
                return None
        return chosen

    def _groups(self, start: _Bundle) -> list[int]:
        """Undecided items that are sure to go, by what their routes may bring that is not sure to go."""
        groups: list[tuple[int, _Bundle]] = []
        for number in _bits(start.undecided):
            bits, more = 1 << number, self._all_that_may_come(number, start)
            for group in [group for group in groups if group[1].shares_with(more)]:
                groups.remove(group)
                bits, more = bits | group[0], more.with_(group[1])
            groups.append((bits, more))
        return [bits for bits, _ in groups]

    def _all_that_may_come(self, number: int, start: _Bundle) -> _Bundle:
        """What the routes of an item may bring; what is sure to go brings its own."""
        found, looked_at = reduce(_Bundle.with_, self.routes[number]), start.undecided
        while left := found.undecided & ~looked_at:
            bit = left & -left
            looked_at |= bit
            found = reduce(_Bundle.with_, self.routes[bit.bit_length() - 1], found)
        return found.without(start)

    def cost(self, bundle: _Bundle) -> Cost:
        """What a set of items and tools costs; in whole nanoseconds, so that ties are ties."""
        if bundle not in self.costs:
            members = [self.removals.items[number] for number in _bits(bundle.items)]
            known = [item.seconds for item in members if item.seconds is not None]
            nanoseconds = sum(round(seconds * NANO) for seconds in known)
            nanoseconds += bundle.tools.bit_count() * round(self.removals.tool_seconds * NANO)
            timed = len(known) == len(members)
            self.costs[bundle] = (
                not timed,
                nanoseconds if timed else 0,
                sum(item.screws for item in members),
            )
        return self.costs[bundle]

    def item_names(self, items: int) -> Iterator[str]:
        return (self.removals.items[number].ref for number in _bits(items))

    def tool_names(self, tools: int) -> Iterator[str]:
        return (tool for tool, bit in self.tool_bits.items() if tools & bit)


class _Cheapest:
    """The cheapest combination found so far for one item. Costs never fall as items are added.

    What is sure to go costs the same in all, and is left out. Where it is looked for in a group that does not stand
    alone, `is_unsure` says that the other groups have a say: a time is not known, or names do not decide.
    """

    def __init__(self, search: _Search, number: int, sure: _Bundle, *, alone: bool = True) -> None:
        self.search, self.number, self.sure, self.alone = search, number, sure, alone
        self.is_timed = not search.cost(_Bundle(sure.items))[0]
        self.best: tuple[Cost, _Bundle] | None = None
        self.chosen: dict[int, int] = {}
        self.is_unsure = False

    def among(self, undecided: int) -> dict[int, int]:
        """The cheapest routes of some of the items that are sure to go, and of what they bring along."""
        self._explore(
            _Bundle(self.sure.items, self.sure.tools, undecided), self.sure.undecided & ~undecided, {}
        )
        assert self.best is not None
        self.is_unsure |= self.is_timed and self.best[0][0]
        return self.chosen

    def _explore(self, bundle: _Bundle, settled: int, chosen: dict[int, int]) -> None:
        cost = self._cost(bundle)
        if self.best is not None and cost > self.best[0]:
            return
        if not bundle.undecided:
            self._compare(cost, bundle, chosen)
            return
        bit = bundle.undecided & -bundle.undecided
        number = bit.bit_length() - 1
        for way, route in zip(self.search.removals.open[number], self.search.routes[number], strict=True):
            both = bundle.with_(route)
            left = both.undecided & ~(settled | bit)
            self._explore(_Bundle(both.items, both.tools, left), settled | bit, {**chosen, number: way})

    def _cost(self, bundle: _Bundle) -> Cost:
        more = _Bundle(bundle.items & ~self.sure.items, bundle.tools & ~self.sure.tools)
        without_time, nanoseconds, screws = self.search.cost(more)
        return (without_time, nanoseconds, screws) if self.is_timed else (True, 0, screws)

    def _compare(self, cost: Cost, bundle: _Bundle, chosen: dict[int, int]) -> None:
        removals = self.search.removals
        if removals.core and removals.order(self.number, chosen) is None:
            return
        if self.best is None or cost < self.best[0] or self._is_named_first(bundle, self.best[1]):
            self.best, self.chosen = (cost, bundle), chosen

    def _is_named_first(self, bundle: _Bundle, other: _Bundle) -> bool:
        """Between equal costs the names of what goes decide, in order, then those of tools."""
        if bundle.items != other.items:
            return self._comes_first(bundle.items, other.items, self.search.item_names)
        if bundle.tools != other.tools:
            return self._comes_first(bundle.tools, other.tools, self.search.tool_names)
        return False

    def _comes_first(self, one: int, two: int, names: Callable[[int], Iterator[str]]) -> bool:
        """Whether the sorted names of one are before those of two: the first that only one of them has decides.

        Where the other's names all stand before it, the shorter list comes first, unless other groups go on with it.
        """
        first = min(names(one ^ two))
        has_it = first in names(one & ~two)
        if any(name > first for name in names(two if has_it else one)):
            return has_it
        self.is_unsure |= not self.alone
        return not has_it


def _bits(number: int) -> Iterator[int]:
    while number:
        bit = number & -number
        yield bit.bit_length() - 1
        number ^= bit
