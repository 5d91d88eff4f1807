"""In how many ways a thing can be put in, and whether a wrong one can be seen."""

from collections.abc import Mapping
from typing import Protocol

from msgspec import Struct

from lineage.spec.assembly import Assembly, Thing
from lineage.spec.records import Marked, Part, Use


class WaysRound(Protocol):
    """What the symmetry of an outline says: turns and flips that leave its loops as they were, the right one
    counted, None for what every turn leaves alone; and how near the closest other one comes, mm."""

    @property
    def orientations(self) -> int | None: ...
    @property
    def nearest_mm(self) -> float | None: ...


class WrongWay(Struct, frozen=True, kw_only=True):
    """In how many ways one thing goes in, the right one counted.

    `nearest_mm` is how far off the closest way is that does not quite go in. `can_go_wrong`: there is another way
    than the right one, and nothing marks it.
    """

    orientations: int | None
    marked: Marked | None
    nearest_mm: float | None

    @property
    def can_go_wrong(self) -> bool:
        """Whether to warn."""
        return self.orientations is not None and self.orientations > 1 and self.marked != "yes"


def wrong_ways(assembly: Assembly, symmetry: Mapping[str, WaysRound]) -> Mapping[str, WrongWay]:
    """Parts and places of which something is known about the ways they go in, by full reference.

    An outline says it by its symmetry; without one, what is typed.
    symmetry: of outlines, by content id of the drawing.
    Result: orientations None where every turn leaves the outline alone, or a drawing could not be read.
    Source: plain geometry of the outline; typed counts are the builder's.
    """
    found = {}
    for thing in assembly.things.values():
        wrong_way = _of(thing, symmetry)
        if wrong_way is not None:
            found[thing.ref] = wrong_way
    return found


def _of(thing: Thing, symmetry: Mapping[str, WaysRound]) -> WrongWay | None:
    if not isinstance(thing.what, Part | Use):
        return None
    if isinstance(thing.what, Part) and thing.what.outline is not None:
        round_ = symmetry.get(thing.spec.drawings.get(thing.what.outline, ""))
        return WrongWay(
            orientations=round_.orientations if round_ else None,
            marked=thing.what.marked,
            nearest_mm=round_.nearest_mm if round_ else None,
        )
    if thing.what.orientations is None and thing.what.marked is None:
        return None
    return WrongWay(orientations=thing.what.orientations, marked=thing.what.marked, nearest_mm=None)
