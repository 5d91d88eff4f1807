"""In how many ways a thing can be put in, which wrong ones look right, and whether a wrong one can be seen."""

from collections.abc import Mapping
from typing import Protocol

from msgspec import Struct

from lineage.figures.contents import measure_key
from lineage.spec.assembly import Assembly, Thing
from lineage.spec.records import Marked, Part, Use

NEAR_MM = 3.0
"""A wrong way that misses by no more looks right until the screws go in; this project's choice, no source."""


class WaysRound(Protocol):
    """What the symmetry of an outline says: turns and flips that leave its loops as they were, the right one
    counted, None for what every turn leaves alone; and how near the closest other one comes, mm."""

    @property
    def orientations(self) -> int | None: ...
    @property
    def nearest_mm(self) -> float | None: ...


class WrongWay(Struct, frozen=True, kw_only=True):
    """In how many ways one thing goes in, the right one counted.

    `nearest_mm` is how far off the closest way is that does not quite go in. `mirror_of` are the plates that it is
    the mirror image of: turned over, it goes where they belong.
    """

    orientations: int | None
    marked: Marked | None
    nearest_mm: float | None
    mirror_of: tuple[str, ...] = ()

    @property
    def looks_right(self) -> bool:
        """Whether a way that does not quite go in is so near that it looks right."""
        return self.nearest_mm is not None and self.nearest_mm <= NEAR_MM

    @property
    def can_go_wrong(self) -> bool:
        """Whether to warn: there is another way than the right one, or one that looks right, and nothing marks it."""
        several = self.orientations is not None and self.orientations > 1
        return self.marked != "yes" and (several or self.looks_right or bool(self.mirror_of))


def wrong_ways(
    assembly: Assembly,
    symmetry: Mapping[str, WaysRound],
    mirrored: Mapping[str, tuple[str, ...]] | None = None,
) -> Mapping[str, WrongWay]:
    """Parts and places of which something is known about the ways they go in, by full reference.

    An outline says it by its symmetry; without one, what is typed.
    symmetry: of outlines, by key of their measures. mirrored: plates that each plate is the mirror image of.
    Result: orientations None where every turn leaves the outline alone, or a drawing could not be read.
    Source: plain geometry of the outline; typed counts are the builder's.
    """
    found = {}
    for thing in assembly.things.values():
        wrong_way = _of(thing, symmetry, (mirrored or {}).get(thing.ref, ()))
        if wrong_way is not None:
            found[thing.ref] = wrong_way
    return found


def _of(thing: Thing, symmetry: Mapping[str, WaysRound], mirror_of: tuple[str, ...]) -> WrongWay | None:
    if not isinstance(thing.what, Part | Use):
        return None
    if isinstance(thing.what, Part) and thing.what.outline is not None:
        round_ = symmetry.get(measure_key(thing) or "")
        return WrongWay(
            orientations=round_.orientations if round_ else None,
            marked=thing.what.marked,
            nearest_mm=round_.nearest_mm if round_ else None,
            mirror_of=mirror_of,
        )
    if thing.what.orientations is None and thing.what.marked is None:
        return None
    return WrongWay(orientations=thing.what.orientations, marked=thing.what.marked, nearest_mm=None)
