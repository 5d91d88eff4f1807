"""Which changes touch the way in to a thing: before and after side by side, no shares are invented."""

from collections.abc import Iterable, Mapping, Sequence

from msgspec import Struct

from lineage.changes.diff import things_of
from lineage.changes.ops import Change, Kind

_TOUCHING: frozenset[Kind] = frozenset({
    "part added", "part dropped", "part swapped", "module added", "module dropped", "module moved on",
    "module swapped", "fasteners", "access", "option", "text",
})  # fmt: skip


class WayFigure(Struct, frozen=True, kw_only=True):
    """A way in as worked out."""

    screws: int | None
    seconds: float | None
    undo: tuple[str, ...] = ()
    off: tuple[str, ...] = ()


class WayChange(Struct, frozen=True, kw_only=True):
    """The way in to one thing before and after, and the changes that touch it."""

    ref: str
    before: WayFigure
    after: WayFigure
    touched_by: tuple[str, ...]

    @property
    def is_changed(self) -> bool:
        """Whether screws or seconds differ."""
        return (self.before.screws, self.before.seconds) != (self.after.screws, self.after.seconds)


def way_changes(
    before: Mapping[str, WayFigure],
    after: Mapping[str, WayFigure],
    changes: Sequence[Change],
    renames: Mapping[str, str],
    options: Mapping[str, str],
) -> tuple[WayChange, ...]:
    """The ways in to everything that both states have, in the order of the second.

    `options` maps own things that belong to a choice to their option.
    """
    old = {_renamed(ref, renames): _under(way, renames) for ref, way in before.items()}
    return tuple(
        WayChange(
            ref=ref,
            before=old[ref],
            after=way,
            touched_by=tuple(_touching(ref, old[ref], way, changes, options)),
        )
        for ref, way in after.items()
        if ref in old
    )


def _renamed(ref: str, renames: Mapping[str, str]) -> str:
    head, dot, rest = ref.partition(".")
    return renames.get(head, head) + dot + rest


def _under(way: WayFigure, renames: Mapping[str, str]) -> WayFigure:
    return WayFigure(
        screws=way.screws,
        seconds=way.seconds,
        undo=tuple(_renamed(ref, renames) for ref in way.undo),
        off=tuple(_renamed(ref, renames) for ref in way.off),
    )


def _touching(
    ref: str, old: WayFigure, new: WayFigure, changes: Sequence[Change], options: Mapping[str, str]
) -> Iterable[str]:
    refs = {r for way in (old, new) for r in (*way.undo, *way.off)} | {ref}
    on_the_way = refs | {r.partition(".")[0] for r in refs}
    on_the_way |= {options[name] for name in on_the_way if name in options}
    for change in changes:
        own = things_of(change)
        if change.kind not in _TOUCHING or (change.kind == "text" and not _is_how_it_comes_off(change)):
            continue
        if on_the_way.intersection((*own, change.where)):
            yield change.id


def _is_how_it_comes_off(change: Change) -> bool:
    """Whether an edit without a kind of its own is of how a thing is joined: no other has a part in its time."""
    return any(edit.leaf[-1] == "joined" for edit in change.edits)
