"""What to cut, print, buy, rework, keep and scrap to get from one state to another: pieces, not names."""

from collections import Counter, defaultdict
from collections.abc import Collection, Hashable, Iterator, Mapping, Sequence
from math import ceil

from msgspec import Struct

from lineage.drawings.moments import Measures
from lineage.figures.contents import PartContent, Typed, content_of, measure_key
from lineage.spec.assembly import Assembly, Lookup, Spec, Thing, assemble
from lineage.spec.records import Part, Rework, Stock, Use
from lineage.values.quantity import Quantity

NESTING = 1.3  # sheet that plates take against their own area: this project's rule, no source


class Cut(Struct, frozen=True, kw_only=True):
    """Pieces to cut from sheet or bar."""

    ref: str
    drawing: str | None
    stock: str
    count: int


class Print(Struct, frozen=True, kw_only=True):
    """Pieces to print."""

    ref: str
    count: int
    note: str | None


class StockNeed(Struct, frozen=True, kw_only=True):
    """How much of a stock is needed; sheets and bars are None where no size to buy is typed."""

    name: str
    area_mm2: float | None
    length_mm: float | None
    sheets: int | None
    bars: int | None
    cut_length_mm: float | None


class Buy(Struct, frozen=True, kw_only=True):
    """Items to buy; `cost` in `currency`, None where no price is typed."""

    item: str
    count: int
    cost: float | None
    currency: str | None


class ReworkNeed(Struct, frozen=True, kw_only=True):
    """Work on a piece before it goes in."""

    ref: str
    do: str
    takes_s: float | None


class Bill(Struct, frozen=True, kw_only=True):
    """The whole work."""

    cut: tuple[Cut, ...]
    print: tuple[Print, ...]
    stock: tuple[StockNeed, ...]
    buy: tuple[Buy, ...]
    screws: Mapping[str, int]
    rework: tuple[ReworkNeed, ...]
    keep: tuple[str, ...]
    scrap: tuple[str, ...]
    cost_by_currency: Mapping[str, float]


Everything = Mapping[str, tuple[Assembly, Thing]]


def everything(spec: Spec, lookup: Lookup, *, deep: bool = False) -> Everything:
    """Every thing of a design, those of all its choices too: what is swapped in has to be made as well.

    spec: the state. lookup: gives modules. deep: inside modules too, those of all their choices likewise.
    Result: by reference, with the assembly that it is in: a module's own for what is inside one.
    Source: no rule but the spec's own.
    """
    found: dict[str, tuple[Assembly, Thing]] = {}
    fitted = [{option: choice} for option, choices in spec.design.options.items() for choice in choices]
    for choices in [{}, *fitted]:
        assembly = assemble(spec, lookup, choices)
        for ref, thing in assembly.things.items():
            if thing.place == "":
                found.setdefault(ref, (assembly, thing))
    if deep:
        for place, (_, thing) in tuple(found.items()):
            if thing.kind == "place":
                inside = everything(lookup(thing.use.use), lookup, deep=True)
                found |= {f"{place}.{ref}": at for ref, at in inside.items()}
    return found


def work_between(
    before: Everything,
    after: Everything,
    measures: Mapping[str, Measures],
    renames: Mapping[str, str],
    described_better: Collection[str] = (),
) -> Bill:
    """The work from one state to another, from nothing where `before` is empty.

    A piece that is the same is not made again, whatever it is called. sheets = ⌈1.3 · area ÷ sheet area⌉,
    bars = ⌈length ÷ bar⌉. before, after: from `everything`. measures: of drawings by `measure_key`.
    renames: old names to new ones, of what is inside a module by its full reference. described_better: what is
    the same piece as before, however it reads now.
    Result: counts of pieces, mm, mm², money by currency; what is not known is None.
    Source: the share of sheet lost between plates is this project's rule, no source.
    """
    worker = _Worker(before, after, measures, renames, frozenset(described_better))
    return worker.bill()


def is_printed(part: Part) -> bool:
    """Whether a part with a mass of its own is printed."""
    return part.process is not None and "print" in part.process.lower()


class _Worker:
    def __init__(
        self,
        before: Everything,
        after: Everything,
        measures: Mapping[str, Measures],
        renames: Mapping[str, str],
        described_better: frozenset[str],
    ) -> None:
        self.before, self.after, self.measures = before, after, measures
        self.described_better = described_better
        self.renamed = {_renamed(ref, renames): ref for ref in before}
        self.names = {ref: name for name, ref in self.renamed.items()}
        self.pool = Counter[Hashable]()
        for ref, (_, thing) in before.items():
            if thing.kind == "part":
                self.pool[self._piece_before(ref)] += thing.part.count
        self.stays: dict[str, int] = {}
        self.prices: dict[str, Quantity | None] = {}  # of one sheet or bar of a stock
        self.new = self._new_pieces()

    def _new_pieces(self) -> dict[str, int]:
        """Pieces that are not there yet, by reference; things under their own names take theirs first."""
        new = {}
        parts = {ref: at[1].part for ref, at in self.after.items() if at[1].kind == "part"}
        self.stays = {ref: self._taken(ref, most=self._had(ref)) for ref in parts}
        for ref, part in parts.items():
            found = self.stays[ref] + self._taken(ref, most=part.count - self.stays[ref])
            new[ref] = part.count - found
        return new

    def _old(self, ref: str) -> tuple[Assembly, Thing] | None:
        """The thing of the first state that has this name now."""
        return self.before.get(self.renamed.get(ref, ""))

    def _piece_before(self, ref: str) -> Hashable:
        """What a piece of the first state is, by the name that it has now."""
        return _piece(*self.before[ref], self.names.get(ref, ref))

    def _piece_of(self, ref: str) -> Hashable:
        """What a piece is: what it was before, where it is only described better."""
        old = self._old(ref)
        if ref in self.described_better and old is not None and old[1].kind == "part":
            return self._piece_before(self.renamed[ref])
        piece = _piece(*self.after[ref], ref)
        if (
            old is not None
            and old[1].kind == "part"
            and _is_printed_otherwise(old[1].part, self.after[ref][1].part)
        ):
            return (piece, "printed otherwise")
        return piece

    def _had(self, ref: str) -> int:
        """How many of these very pieces the thing of this name had."""
        old = self._old(ref)
        if old is None or old[1].kind != "part":
            return 0
        if self._piece_before(self.renamed[ref]) != self._piece_of(ref):
            return 0
        return min(old[1].part.count, self.after[ref][1].part.count)

    def _taken(self, ref: str, most: int) -> int:
        piece = self._piece_of(ref)
        taken = min(most, self.pool[piece])
        self.pool[piece] -= taken
        return taken

    def bill(self) -> Bill:
        cut, printed, bought = list(self._cut()), list(self._print()), self._buy()
        stock = tuple(self._stock(cut))
        return Bill(
            cut=tuple(cut),
            print=tuple(printed),
            stock=stock,
            buy=bought,
            screws=self._screws(),
            rework=tuple(self._rework()),
            keep=tuple(self._keep()),
            scrap=tuple(self._scrap()),
            cost_by_currency=self._cost(bought, stock),
        )

    def _parts(self) -> Iterator[tuple[str, Thing, int]]:
        for ref, count in self.new.items():
            if count:
                yield ref, self.after[ref][1], count

    def _cut(self) -> Iterator[Cut]:
        for ref, thing, count in self._parts():
            if thing.part.stock is not None:
                yield Cut(ref=ref, drawing=thing.part.outline, stock=thing.part.stock, count=count)

    def _print(self) -> Iterator[Print]:
        for ref, thing, count in self._parts():
            if thing.part.stock is None and is_printed(thing.part):
                yield Print(ref=ref, count=count, note=thing.part.note)

    def _buy(self) -> tuple[Buy, ...]:
        wanted: dict[str, list[tuple[Part, int]]] = defaultdict(list)
        for ref, thing, count in self._parts():
            if thing.part.stock is None and not is_printed(thing.part):
                wanted[thing.part.item or ref].append((thing.part, count))
        return tuple(_bought(item, parts) for item, parts in wanted.items())

    def _stock(self, cut: Sequence[Cut]) -> Iterator[StockNeed]:
        """What pieces take of each stock; two designs may have stocks of their own under one name."""
        by_stock: dict[tuple[str, str], list[Cut]] = defaultdict(list)
        stocks: dict[tuple[str, str], Stock] = {}
        for piece in cut:
            of = self.after[piece.ref][1].stock
            if of is not None:
                key = (piece.stock, _said_of(of.stock))
                stocks.setdefault(key, of.stock)
                by_stock[key].append(piece)
        names = Counter(name for name, _ in by_stock)
        for (name, made_of), pieces in by_stock.items():
            shown = name if names[name] == 1 else f"{name} ({made_of})"
            stock = stocks[name, made_of]
            self.prices[shown] = stock.price
            yield self._need(shown, stock, pieces)

    def _need(self, name: str, stock: Stock, pieces: Sequence[Cut]) -> StockNeed:
        things = [(self.after[piece.ref][1], piece.count) for piece in pieces]
        plates = [(thing, n) for thing, n in things if thing.part.length is None]
        bars = [(thing.part.length.value, n) for thing, n in things if thing.part.length is not None]
        area = _sum([(self._area(thing), n) for thing, n in plates])
        length = _sum([(value, n) for value, n in bars])
        edge = _sum([(self._edge(thing), n) for thing, n in plates])
        sheet, bar = stock.sheet, stock.bar
        sheet_area = None if sheet is None else sheet.length.value * sheet.width.value
        return StockNeed(
            name=name,
            area_mm2=area,
            length_mm=length,
            sheets=None if area is None or not sheet_area else _whole(NESTING * area / sheet_area),
            bars=None if length is None or bar is None else _whole(length / bar.value),
            cut_length_mm=edge,
        )

    def _area(self, thing: Thing) -> float | None:
        if thing.part.area is not None:
            return thing.part.area.centred
        drawn = self._measures(thing)
        return None if drawn is None else drawn.area_mm2

    def _edge(self, thing: Thing) -> float | None:
        drawn = self._measures(thing)
        return None if drawn is None else drawn.perimeter_mm

    def _measures(self, thing: Thing) -> Measures | None:
        key = measure_key(thing)
        return None if key is None else self.measures.get(key)

    def _screws(self) -> dict[str, int]:
        have, want = _screws_of(self.before), _screws_of(self.after)
        return {kind: count - have[kind] for kind, count in want.items() if count > have[kind]}

    def _rework(self) -> Iterator[ReworkNeed]:
        for ref, (_, thing) in self.after.items():
            if thing.kind == "place":
                yield from self._moved_on(ref, thing.use)
            elif thing.kind == "part" and ref not in self.described_better:
                done = set() if self.new[ref] else {r.do for r in self._rework_before(ref)}
                for rework in thing.part.rework:
                    if rework.do not in done:
                        takes = None if rework.takes is None else rework.takes.value
                        yield ReworkNeed(ref=ref, do=rework.do, takes_s=takes)

    def _rework_before(self, ref: str) -> Sequence[Rework]:
        old = self._old(ref)
        return old[1].part.rework if old is not None and old[1].kind == "part" else ()

    def _moved_on(self, ref: str, use: Use) -> Iterator[ReworkNeed]:
        old = self._old(ref)
        if old is None or old[1].kind != "place":
            yield ReworkNeed(ref=ref, do=f"build {use.use}", takes_s=None)
        elif old[1].use.use != use.use:
            yield ReworkNeed(ref=ref, do=f"{old[1].use.use} → {use.use}", takes_s=None)

    def _keep(self) -> Iterator[str]:
        for ref, (_, thing) in self.after.items():
            old = self._old(ref)
            if thing.kind == "part":
                if self.new[ref] < thing.part.count:
                    yield ref
            elif old is not None and old[1].kind == thing.kind and _is_the_same(old[1], thing):
                yield ref

    def _scrap(self) -> Iterator[str]:
        """What has pieces left over: of two that are the same, the one that is gone or went down in number."""
        now = {old: ref for ref, old in self.renamed.items() if ref in self.stays}
        left, lost = Counter(self.pool), set[str]()
        parts = {ref: at for ref, at in self.before.items() if at[1].kind == "part"}
        stay = {ref: self.stays[now[ref]] if ref in now else 0 for ref in parts}
        for ref, at in sorted(parts.items(), key=lambda item: stay[item[0]] > 0):
            piece, free = self._piece_before(ref), at[1].part.count - stay[ref]
            if free > 0 and left[piece] > 0:
                left[piece] -= free
                lost.add(ref)
        yield from (ref for ref in parts if ref in lost)

    def _cost(self, bought: Sequence[Buy], stock: Sequence[StockNeed]) -> dict[str, float]:
        cost: dict[str, float] = defaultdict(float)
        for buy in bought:
            if buy.cost is not None and buy.currency is not None:
                cost[buy.currency] += buy.cost
        for need in stock:
            price, pieces = self.prices.get(need.name), need.sheets or need.bars
            if price is not None and pieces is not None:
                cost[price.unit] += price.value * pieces
        return dict(cost)


def _renamed(ref: str, renames: Mapping[str, str]) -> str:
    """A reference by its new name: its own, else that of the place around it."""
    if ref in renames:
        return renames[ref]
    around, dot, name = ref.rpartition(".")
    return f"{_renamed(around, renames)}{dot}{name}" if dot else ref


def _piece(assembly: Assembly, thing: Thing, name: str) -> Hashable:
    """What makes two pieces the same: what they are made of, not what is done to them or how they are held.

    Density, kerf and the spread of a thickness are what is known of a sheet: learning them cuts nothing anew.
    """
    content = content_of(assembly, thing.ref)
    assert isinstance(content, PartContent)
    part = thing.part
    if part.item is not None:
        return ("item", " ".join(part.item.casefold().split()))
    stock = content.stock
    if stock is None:
        return (content.mass, content.material, name)
    return (
        stock.material,
        _nominal(stock.thickness),
        None if stock.section is None else (stock.section[0], *map(_nominal, stock.section[1])),
        content.outline,
        _nominal(content.area),
        _nominal(content.length),
        content.material,
    )


def _is_printed_otherwise(before: Part, after: Part) -> bool:
    """Whether a printed part got other measures; one that is typed for the first time is no other measure."""
    if not (is_printed(before) and is_printed(after)):
        return False
    pairs = [(before.dims[name], after.dims[name]) for name in before.dims.keys() & after.dims.keys()]
    if before.size is not None and after.size is not None:
        pairs += [(before.size.length, after.size.length), (before.size.width, after.size.width)]
        if before.size.height is not None and after.size.height is not None:
            pairs.append((before.size.height, after.size.height))
    return any(old.value != new.value for old, new in pairs)


def _nominal(typed: Typed | None) -> float | None:
    return None if typed is None else typed[0]


def _said_of(stock: Stock) -> str:
    """Material and thickness or section, to tell stocks of one name apart."""
    size = stock.thickness or stock.section
    return stock.material if size is None else f"{stock.material}, {size.text}"


def _is_the_same(old: Thing, new: Thing) -> bool:
    """Whether a place has the same module in it, or a group the same screws: some of them stay at the least."""
    if new.kind == "place":
        return old.use.use == new.use.use
    return _screw(old) == _screw(new)


def _screw(thing: Thing) -> Hashable:
    group = thing.group
    return group.type, group.material, group.washers, group.nuts


def _bought(item: str, parts: Sequence[tuple[Part, int]]) -> Buy:
    count = sum(n for _, n in parts)
    prices = {(part.price.value, part.price.unit) for part, _ in parts if part.price is not None}
    if len(prices) != 1:
        return Buy(item=item, count=count, cost=None, currency=None)
    price, currency = prices.pop()
    return Buy(item=item, count=count, cost=price * count, currency=currency)


def _whole(number: float) -> int:
    """As many as it takes; what is whole but for the last bits of a float is whole."""
    return ceil(number - 1e-9)


def _sum(terms: Sequence[tuple[float | None, int]]) -> float | None:
    known = [(value, n) for value, n in terms if value is not None]
    if not terms or len(known) < len(terms):
        return None
    return sum(value * n for value, n in known)


def _screws_of(things: Everything) -> Counter[str]:
    count = Counter[str]()
    for _, thing in things.values():
        if thing.kind == "fasteners":
            group = thing.group
            kind = group.type if group.material is None else f"{group.type}, {group.material}"
            count[kind] += group.count
            if group.nuts:
                count[f"nut for {kind}"] += group.nuts * group.count
            if group.washers:
                count[f"washer for {kind}"] += group.washers * group.count
    return count
