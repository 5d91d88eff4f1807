"""Changes of one step in groups, so that a reason is asked for once and not for every line."""

from collections.abc import Iterable, Sequence

from msgspec import Struct

from lineage.changes.pairing import own_things
from lineage.reports.views.compare import ChangeView
from lineage.spec.records import FastenerGroup, Part, Use
from lineage.tasks.states import State

WHOLE = "the whole"
DESCRIBED = "only described better"


class Group(Struct, frozen=True, kw_only=True):
    """Changes that most likely have one reason: of one role, of one step of a module, or of the design itself."""

    name: str
    changes: tuple[ChangeView, ...]

    @property
    def about(self) -> tuple[str, ...]:
        """Where its changes are."""
        return tuple(dict.fromkeys(change.where for change in self.changes))


def grouped(changes: Sequence[ChangeView], states: Iterable[State]) -> tuple[Group, ...]:
    """Changes by role, those of a module by its step; screws go with what they hold. The order is of the first."""
    things: dict[str, Part | FastenerGroup | Use] = {}
    for state in states:
        things |= own_things(state.spec.design)
    groups: dict[str, list[ChangeView]] = {}
    for change in changes:
        name = DESCRIBED if change.described_better else _name(change, things)
        groups.setdefault(name, []).append(change)
    return tuple(Group(name=name, changes=tuple(found)) for name, found in groups.items())


def _name(change: ChangeView, things: dict[str, Part | FastenerGroup | Use]) -> str:
    if change.kind == "module moved on":
        return f"{change.from_} → {change.to}"
    if change.kind == "option":
        return f"option {change.where}"
    return _role(change.where.partition(".")[0], things) or WHOLE


def _role(name: str, things: dict[str, Part | FastenerGroup | Use], most: int = 3) -> str | None:
    """The role of a thing, of screws that of what they hold."""
    thing = things.get(name)
    if isinstance(thing, Part):
        return thing.role or "other"
    if isinstance(thing, Use):
        return thing.role or thing.use.design
    if thing is None or not most:
        return None
    held = (_role(ref.partition(".")[0], things, most - 1) for ref in thing.holds)
    return next((role for role in held if role is not None), "fasteners")
