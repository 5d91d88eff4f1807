"""What to pack: pieces used so far, per item, and how many the bouts to come may take."""

from collections import defaultdict
from collections.abc import Iterable, Mapping, Sequence

from msgspec import Struct

from lineage.evidence.bouts import Failure, RobotBout
from lineage.evidence.gamma_poisson import Demand, chance_any_short, chance_short, quantity_for
from lineage.spec.assembly import Assembly, Thing


class ItemThing(Struct, frozen=True, kw_only=True):
    """An item of a robot: what it is called, and all things of it that are in, at every depth."""

    item: str
    refs: tuple[str, ...]
    thing: Thing


class Spare(Struct, frozen=True, kw_only=True):
    """One item to pack; quantity and chance None where nothing was ever used in the family."""

    item: str
    ref: str
    quantity: int | None
    chance_short: float | None
    used: int
    bouts: int


def items_of(assembly: Assembly) -> Mapping[str, ItemThing]:
    """Items of an assembly, modules opened, choices fitted, fastener groups not.

    An item is what a part says it is, else its module and reference there; all its places count together.
    """
    found: dict[str, list[Thing]] = defaultdict(list)
    for thing in assembly.parts:
        found[item_name(thing)].append(thing)
    return {
        item: ItemThing(item=item, refs=tuple(t.ref for t in things), thing=things[0])
        for item, things in found.items()
    }


def item_name(thing: Thing) -> str:
    """What a part is as a spare."""
    if thing.part.item is not None:
        return " ".join(thing.part.item.split())
    return f"{thing.spec.ref.design}.{thing.name}"


def pieces_used(bouts: Iterable[RobotBout], refs: Sequence[str]) -> int:
    """Pieces of an item that bouts took: what `used` says of it, else one for each weakened or disabling damage."""
    wanted = set(refs)
    return sum(_used(failure, wanted) for bout in bouts for failure in bout.failures if not failure.was_found)


def _used(failure: Failure, wanted: set[str]) -> int:
    said = sum(n for ref, n in failure.used.items() if ref in wanted)
    if said or any(ref in failure.used for ref in wanted):
        return said
    if not failure.counts or not wanted.intersection(failure.things):
        return 0
    return 1


def family_demand(robot_bouts: Iterable[tuple[RobotBout, Assembly]]) -> Demand:
    """Pieces used over the family, and the sum over robot-bouts of the items that were in."""
    pieces = exposure = 0
    known: dict[int, tuple[Assembly, Sequence[ItemThing]]] = {}
    for bout, assembly in robot_bouts:
        if id(assembly) not in known:
            known[id(assembly)] = assembly, tuple(items_of(assembly).values())
        items = known[id(assembly)][1]
        exposure += len(items)
        pieces += sum(pieces_used((bout,), item.refs) for item in items) if bout.failures else 0
    return Demand(pieces, exposure)


def spare(item: ItemThing, own: Demand, family: Demand, bouts: int, carried: int = 0) -> Spare:
    """How many of an item to pack for so many bouts.

    The least number whose chance of running short is at most 5 %, by the gamma-Poisson predictive with a prior from
    the family; never fewer than always travel. own: since the thing last changed. family: as `family_demand` says.
    Source: as in gamma_poisson.py.
    """
    wanted = quantity_for(own, family, bouts)
    quantity = None if wanted is None else max(wanted, carried)
    return Spare(
        item=item.item,
        ref=item.refs[0],
        quantity=quantity,
        chance_short=None if quantity is None else chance_short(own, family, bouts, quantity),
        used=own.pieces,
        bouts=int(own.bouts),
    )


def chance_box_short(spares: Iterable[Spare]) -> float | None:
    """The chance that any item of a box runs short; None where nothing is known of any."""
    chances = [s.chance_short for s in spares if s.chance_short is not None]
    return chance_any_short(chances) if chances else None
