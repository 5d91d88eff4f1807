"""A robot's box for the next bouts."""

from collections.abc import Iterator

from lineage.evidence.bouts import RobotBout
from lineage.evidence.gamma_poisson import Demand
from lineage.evidence.spares import (
    ItemThing,
    Spare,
    chance_box_short,
    family_demand,
    items_of,
    pieces_used,
    spare,
)
from lineage.evidence.windows import Touched
from lineage.problems import LineageError
from lineage.reports.views.lessons import PackingView, PackView
from lineage.spec.assembly import Assembly
from lineage.spec.records import BuildRef
from lineage.tasks.consumables import consumables
from lineage.tasks.judging import Judge
from lineage.values.formatting import count_of


class Packer:
    """Packs boxes for the robots of one workspace."""

    def __init__(self, judge: Judge) -> None:
        self.judge, self.workspace = judge, judge.workspace

    def box(self, robot: str, bouts: int) -> PackingView:
        """What to pack for so many bouts of a robot."""
        last = self.workspace.last(robot)
        if last is None:
            return PackingView(packing=(), chance_box_short=None, basis="no build yet")
        assembly = self.workspace.assembly(last)
        items = items_of(assembly)
        carried = {name: _carried(item, assembly) for name, item in items.items()}
        spares = {
            name: spare(item, self._own(robot, last, item), self.family, bouts, carried[name])
            for name, item in items.items()
        }
        listed = [s for s in spares.values() if s.used or s.quantity or carried[s.item]]
        packing = [_item(s, _rework(items[s.item], assembly), carried[s.item]) for s in listed]
        packing += [
            PackView(item=p.item, ref=None, quantity=p.count, chance_short=None, rework=(), always=True)
            for p in assembly.design.packing
        ]
        return PackingView(
            packing=tuple(packing),
            chance_box_short=chance_box_short(listed),
            basis=f"for {count_of(bouts, 'bout')}; used since each thing last changed, "
            f"{count_of(self.family.pieces, 'piece')} over the family to go by",
            consumables=consumables(assembly, self.judge.bouts.get(robot, ())),
        )

    @property
    def family(self) -> Demand:
        """Pieces used over the family, worked out once for a workspace."""
        known = self.workspace.worked_out
        if "family demand" not in known:
            known["family demand"] = family_demand(self._all())
        found = known["family demand"]
        assert isinstance(found, Demand)
        return found

    def _all(self) -> Iterator[tuple[RobotBout, Assembly]]:
        for bouts in self.judge.bouts.values():
            for bout in bouts:
                if not bout.is_exposure or bout.label is None:
                    continue
                try:
                    yield bout, self.workspace.assembly(BuildRef(bout.robot, bout.label), bout.fitted)
                except LineageError:
                    continue

    def _own(self, robot: str, last: BuildRef, item: ItemThing) -> Demand:
        """Pieces and bouts since the thing last changed, of the bouts that it was in."""
        labels = [last.label]
        steps = [step.as_step for step in self.judge.steps.of(robot)]
        by_after = {step.after: step for step in steps}
        while labels[-1] in by_after:
            step = by_after[labels[-1]]
            if any(_touches(ref, step.touched) for ref in item.refs):
                break
            labels.append(step.before)
        thing = Touched(refs=frozenset(item.refs))
        bouts = [
            bout
            for bout in self.judge.bouts.get(robot, ())
            if bout.is_exposure and bout.label in labels and self.judge.is_in(bout, thing)
        ]
        return Demand(pieces_used(bouts, item.refs), len(bouts))


def _item(found: Spare, rework: tuple[str, ...], carried: int) -> PackView:
    return PackView(
        item=found.item,
        ref=found.ref,
        quantity=carried or None if found.quantity is None else found.quantity,
        chance_short=found.chance_short,
        rework=rework,
        always=bool(carried),
    )


def _carried(item: ItemThing, assembly: Assembly) -> int:
    """Spares that always travel, the most that any of an item's places asks for."""
    return max(assembly.things[ref].part.carry or 0 for ref in item.refs)


def _rework(item: ItemThing, assembly: Assembly) -> tuple[str, ...]:
    """What a spare needs before it can go in at any of its places."""
    done = (rework.do for ref in item.refs for rework in assembly.things[ref].part.rework)
    return tuple(dict.fromkeys(done))


def _touches(ref: str, touched: frozenset[str]) -> bool:
    return any(ref == other or ref.startswith(f"{other}.") for other in touched)
