"""What a drawing holds, gathered into an outline with every problem found on the way."""

from collections.abc import Mapping, Sequence

from msgspec import Struct

from lineage.drawings import faults
from lineage.drawings.blocks import (
    MOST_COPIES,
    Block,
    block_name,
    block_of,
    copies,
    grid,
    is_ignored,
    placements,
    spot,
)
from lineage.drawings.entities import Entity, cuts_of
from lineage.drawings.faults import Faulty
from lineage.drawings.flatten import FLATTENING
from lineage.drawings.joining import Cut, Joined, Ring, join, without_doubles
from lineage.drawings.moments import bounds
from lineage.drawings.nesting import Clash, nest
from lineage.drawings.outline import Outline, Point
from lineage.drawings.placement import Placement, scaled
from lineage.drawings.sketch import Sketch, Spot, sketch_of
from lineage.problems import Level, Problem, in_order
from lineage.values.formatting import count_of

MOST_SEGMENTS = 60_000
MOST_TOLD = 20
"""Problems of one drawing that are told one by one."""

MILLIMETRES = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, "ft": 304.8, "mil": 0.0254, "um": 0.001}
HEADER_UNITS = {1: "in", 2: "ft", 4: "mm", 5: "cm", 6: "m", 9: "mil", 13: "um"}
"""$INSUNITS → unit (DXF reference, HEADER section)."""


class Reading(Struct, frozen=True, kw_only=True):
    """What a drawing holds. With an error among its problems there is no outline, but a sketch of where it is."""

    outline: Outline | None
    problems: tuple[Problem, ...] = ()
    sketch: Sketch | None = None


class Content(Struct, kw_only=True):
    """What a file holds that may be cut, with nothing worked out yet."""

    unit_code: int = 0
    entities: list[Entity] = []
    blocks: dict[str, Block] = {}


class Gathering:
    """Makes one outline, and remembers what is wrong."""

    def __init__(self, file: str, ignore: Sequence[str], unit: str | None) -> None:
        self.file, self.ignore, self.unit = file, ignore, unit
        self.problems: list[Problem] = []
        self.spots: list[Spot] = []
        self.drawn: list[Cut] = []
        self.copied = self.segments = 0

    def read(self, content: Content) -> Reading:
        """The outline, unless something is wrong."""
        outline = None
        try:
            placement = scaled(_millimetres(content.unit_code, self.unit))
            cuts = self._cuts(content, placement)
            if not self._has_errors():
                outline = self._outline(cuts)
        except Faulty as fault:
            self.tell(1, fault.code, fault.what)
        sketch = None if outline is not None else sketch_of([c.segments for c in self.drawn], self.spots)
        return Reading(outline=outline, problems=self._told(), sketch=sketch)

    def tell(self, line: int, code: str, what: str, level: Level = "error", at: Sequence[Point] = ()) -> None:
        """Remember a problem, and of an error the places to show."""
        self.problems.append(faults.problem(self.file, line, code, what, level))
        if level == "error" and len(self.spots) < MOST_TOLD:
            self.spots += (Spot(at=place, what=what) for place in at)

    def _told(self) -> tuple[Problem, ...]:
        """The first problems one by one, and how many there are beside them."""
        problems = in_order(self.problems)
        more = len(problems) - MOST_TOLD
        if more <= 1:
            return problems
        # An error among those passed over is never lost behind a warning.
        last = min(problems[MOST_TOLD:], key=lambda problem: problem.level != "error")
        what = f"{last.what}; and {count_of(more - 1, 'more problem')}"
        place = last.place.line
        return (*problems[:MOST_TOLD], faults.problem(self.file, place, last.code, what, last.level))

    # Entities into cuts

    def _cuts(self, content: Content, placement: Placement) -> list[Cut]:
        cuts: list[Cut] = []
        for entity in content.entities:
            if is_ignored(entity.layer, self.ignore):
                continue
            try:
                for part, where in self._placed(entity, content.blocks, placement):
                    cuts += self._counted(self._cuts_of(part, where, entity))
                    self.drawn = cuts
            except Faulty as fault:
                what = f"{_named(entity, placement)}: {fault.what}"
                self.tell(entity.line, fault.code, what, at=_spots(entity, placement))
            if any(problem.code == "drawing.too-big" for problem in self.problems[-1:]):
                break
        return cuts

    def _counted(self, cuts: list[Cut]) -> list[Cut]:
        self.segments += sum(len(cut.segments) for cut in cuts)
        if self.segments > MOST_SEGMENTS:
            raise Faulty("drawing.too-big", f"more than {MOST_SEGMENTS:,} cuts with those before")
        return cuts

    def _placed(
        self, entity: Entity, blocks: Mapping[str, Block], placement: Placement
    ) -> list[tuple[Entity, Placement]]:
        """An entity, or those of the block that it inserts, each with where it lies."""
        if entity.kind != "INSERT":
            return [(entity, placement)]
        block = block_of(entity, blocks)
        columns, rows = grid(entity)
        self.copied += columns * rows * (len(block.entities) + 1)
        if self.copied > MOST_COPIES:
            raise Faulty(
                "drawing.too-big",
                f"{columns:,} × {rows:,} copies of a block of {count_of(len(block.entities), 'entity', 'entities')}",
            )
        parts = copies(entity, block, self.ignore)
        return [(part, where) for where in placements(entity, block, placement) for part in parts]

    def _cuts_of(self, entity: Entity, placement: Placement, drawn: Entity) -> list[Cut]:
        try:
            cuts = cuts_of(entity, placement)
        except Faulty as fault:
            inside = f" in block `{block_name(drawn)}`" if drawn is not entity else ""
            what = f"{_named(entity, placement)}{inside}: {fault.what}"
            self.tell(entity.line, fault.code, what, at=_spots(entity, placement))
            return []
        if not cuts:
            self.tell(
                entity.line, "drawing.no-length", f"{_named(entity, placement)} has no length", "warning"
            )
        return cuts

    # Cuts into an outline

    def _outline(self, cuts: Sequence[Cut]) -> Outline | None:
        if not cuts:
            raise Faulty("drawing.no-outline", "nothing in it is a cut")
        kept, doubled = without_doubles(cuts)
        self._tell_doubled(doubled)
        joined = join(kept)
        self._tell_joined(joined)
        if self._has_errors():
            return None
        nested = nest(joined.rings)
        for clash in nested.clashes:
            self._tell_clash(clash)
        if self._has_errors():
            return None
        chords = [cut for cut in kept if cut.flattened]
        outline = Outline(
            pieces=nested.pieces,
            flattening_mm=FLATTENING if chords else 0.0,
            flattened_mm=sum(cut.length for cut in chords),
        )
        self._tell_outline(outline)
        return outline

    def _has_errors(self) -> bool:
        return any(problem.level == "error" for problem in self.problems)

    def _tell_doubled(self, doubled: Sequence[Cut]) -> None:
        if doubled:
            first = doubled[0]
            what = f"{len(doubled)} of the cuts are drawn twice, the first {first.origin} at {faults.at(first.start)}"
            self.tell(first.origin.line, "drawing.doubled", what, "warning")

    def _tell_joined(self, joined: Joined) -> None:
        for branch in joined.branches:
            names = ", ".join(list(dict.fromkeys(str(origin) for origin in branch.origins))[:5])
            what = f"{len(branch.origins)} cuts end at {faults.at(branch.at)}: {names}"
            self.tell(branch.origins[0].line, "drawing.branch", what, at=(branch.at,))
        for chain in joined.open_chains if not joined.branches else ():
            what = (
                f"the cut from {faults.at(chain.start)} ({chain.start_origin}) to {faults.at(chain.end)} "
                f"({chain.end_origin}) is open"
            )
            self.tell(chain.start_origin.line, "drawing.open-outline", what, at=(chain.start, chain.end))
        if joined.gaps and not self._has_errors():
            width, where = max(joined.gaps)
            closed = f"{count_of(len(joined.gaps), 'gap is', 'gaps are')} closed"
            what = f"{closed}, the widest {width:.3f} mm at {faults.at(where)}"
            self.tell(1, "drawing.gap", what, "warning")

    def _tell_clash(self, clash: Clash) -> None:
        names = " and ".join(_ring_named(ring) for ring in clash.rings)
        codes = {
            "crosses itself": ("drawing.crossing", "crosses or touches itself"),
            "cross": ("drawing.crossing", "cross"),
            "share an edge": ("drawing.shared-edge", "share an edge"),
            "encloses nothing": ("drawing.no-area", "encloses nothing"),
        }
        code, verb = codes[clash.way]
        what = f"{names} {verb} at {faults.at(clash.at)}"
        self.tell(clash.rings[0].origin.line, code, what, at=(clash.at,))

    def _tell_outline(self, outline: Outline) -> None:
        left, low, right, high = bounds(outline)
        longest = max(right - left, high - low)
        if not 1 <= longest <= 3000:
            self.tell(1, "drawing.unlikely-size", f"the plate is {longest:.6g} mm long", "warning")
        if len(outline.pieces) > 1:
            places = ", ".join(faults.at(piece.outside.segments[0].start) for piece in outline.pieces[:4])
            what = f"{len(outline.pieces)} separate plates, at {places}"
            self.tell(1, "drawing.several-plates", what, "warning")


def _named(entity: Entity, placement: Placement) -> str:
    where = spot(entity, placement)
    return f"{entity.origin} at {faults.at(where)}" if where else str(entity.origin)


def _spots(entity: Entity, placement: Placement) -> tuple[Point, ...]:
    where = spot(entity, placement)
    return (where,) if where else ()


def _ring_named(ring: Ring) -> str:
    return f"the outline that begins with {ring.origin}"


def _millimetres(code: int, unit: str | None) -> float:
    """How many millimetres the unit of a drawing has: the header's, else the part's."""
    if unit is not None and unit not in MILLIMETRES:
        raise Faulty("drawing.unknown-unit", f"`{unit}` is no unit of a drawing")
    if code == 0:
        if unit is None:
            raise Faulty("drawing.no-unit", "the drawing says no unit")
        return MILLIMETRES[unit]
    said = HEADER_UNITS.get(code)
    if said is None:
        raise Faulty(
            "drawing.unknown-unit", f"the drawing says a unit that no plate is drawn in ($INSUNITS {code})"
        )
    if unit is not None and unit != said:
        raise Faulty("drawing.two-units", f"the drawing says {said}, `drawing_unit` says {unit}")
    return MILLIMETRES[said]
