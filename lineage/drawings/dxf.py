"""Plate outlines from DXF drawings. The only door to ezdxf.

ezdxf reads the tags of a file, text or binary; from there on nothing is repaired, dropped or flattened by a library,
since what a library leaves out is material that nobody weighs. Sizes and counts are bounded while tags come in.
"""

import io
import re
import struct
from collections.abc import Iterable, Iterator, Sequence
from itertools import pairwise
from typing import Any

from msgspec import Struct

from lineage.drawings import faults
from lineage.drawings.blocks import MOST_COPIES, Block, block_name, copies, grid, is_ignored, placements, spot
from lineage.drawings.entities import NOT_CUT, Entity, Field, cuts_of, whole
from lineage.drawings.faults import Faulty
from lineage.drawings.flatten import FLATTENING
from lineage.drawings.joining import Cut, Joined, Ring, join, without_doubles
from lineage.drawings.moments import bounds
from lineage.drawings.nesting import Clash, nest
from lineage.drawings.outline import Outline
from lineage.drawings.placement import Placement, scaled
from lineage.problems import Level, Problem, in_order

LARGEST_FILE = 20_000_000
MOST_ENTITIES = 20_000
MOST_POINTS = 100_000
MOST_FIELDS = 1_000_000
MOST_SEGMENTS = 100_000
MOST_TOLD = 20
"""Problems of one drawing that are told one by one."""

BINARY = b"AutoCAD Binary DXF\r\n\x1a\x00"
SECTIONS = frozenset({"HEADER", "BLOCKS", "ENTITIES"})

MILLIMETRES = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "in": 25.4, "ft": 304.8, "mil": 0.0254, "um": 0.001}
HEADER_UNITS = {1: "in", 2: "ft", 4: "mm", 5: "cm", 6: "m", 9: "mil", 13: "um"}
"""$INSUNITS → unit (DXF reference, HEADER section)."""


class Reading(Struct, frozen=True, kw_only=True):
    """What a drawing holds. With an error among its problems there is no outline."""

    outline: Outline | None
    problems: tuple[Problem, ...] = ()


def read_drawing(data: bytes, file: str, *, ignore: tuple[str, ...] = (), unit: str | None = None) -> Reading:
    """The outline that a drawing cuts, with every problem found in it.

    `ignore` are patterns of layers to leave out, `unit` is that of a drawing that says none.
    """
    return _Reader(file, ignore, unit).read(data)


class _Content(Struct, kw_only=True):
    """What was read of a file."""

    unit_code: int = 0
    entities: list[Entity] = []
    blocks: dict[str, Block] = {}


class _Reader:
    """Reads one drawing and gathers its problems."""

    def __init__(self, file: str, ignore: Sequence[str], unit: str | None) -> None:
        self.file, self.ignore, self.unit = file, ignore, unit
        self.problems: list[Problem] = []

    def read(self, data: bytes) -> Reading:
        outline = None
        try:
            content = _content(data)
            placement = scaled(_millimetres(content.unit_code, self.unit))
            cuts = self._cuts(content, placement)
            if not self._has_errors():
                outline = self._outline(cuts, len(content.entities))
        except Faulty as fault:
            self._tell(1, fault.code, fault.what)
        return Reading(outline=outline, problems=self._told())

    def _tell(self, line: int, code: str, what: str, level: Level = "error") -> None:
        self.problems.append(faults.problem(self.file, line, code, what, level))

    def _told(self) -> tuple[Problem, ...]:
        """The first problems one by one, and how many there are beside them."""
        problems = in_order(self.problems)
        more = len(problems) - MOST_TOLD
        if more <= 1:
            return problems
        last = problems[MOST_TOLD]
        what = f"{last.what}; and {more - 1} more problems"
        place = last.place.line
        return (*problems[:MOST_TOLD], faults.problem(self.file, place, last.code, what, last.level))

    # Entities into cuts

    def _cuts(self, content: _Content, placement: Placement) -> list[Cut]:
        cuts: list[Cut] = []
        segments = copied = 0
        for entity in content.entities:
            if is_ignored(entity.layer, self.ignore):
                continue
            try:
                wanted = self._placed(entity, content.blocks, placement, copied)
                copied += len(wanted) if entity.kind == "INSERT" else 0
                for part, where in wanted:
                    made = self._cuts_of(part, where, entity)
                    cuts += made
                    segments += sum(len(cut.segments) for cut in made)
            except Faulty as fault:
                self._tell(entity.line, fault.code, f"{_named(entity, placement)}: {fault.what}")
            if segments > MOST_SEGMENTS:
                raise Faulty("drawing.too-big", f"curves and blocks come to more than {MOST_SEGMENTS:,} cuts")
        return cuts

    def _placed(
        self, entity: Entity, blocks: dict[str, Block], placement: Placement, copied: int
    ) -> list[tuple[Entity, Placement]]:
        """An entity, or those of the block that it inserts, each with where it lies."""
        if entity.kind != "INSERT":
            return [(entity, placement)]
        parts = copies(entity, blocks, self.ignore)
        columns, rows = grid(entity)
        count = columns * rows * len(parts)
        if copied + count > MOST_COPIES:
            raise Faulty(
                "drawing.too-big", f"{columns:,} × {rows:,} copies of a block of {len(parts)} entities"
            )
        if not parts:
            return []
        block = blocks[block_name(entity).casefold()]
        return [(part, where) for where in placements(entity, block, placement) for part in parts]

    def _cuts_of(self, entity: Entity, placement: Placement, drawn: Entity) -> list[Cut]:
        try:
            cuts = cuts_of(entity, placement)
        except Faulty as fault:
            inside = f" in block `{block_name(drawn)}`" if drawn is not entity else ""
            self._tell(entity.line, fault.code, f"{_named(entity, placement)}{inside}: {fault.what}")
            return []
        if not cuts and entity.kind not in NOT_CUT:
            self._tell(
                entity.line, "drawing.no-length", f"{_named(entity, placement)} has no length", "warning"
            )
        return cuts

    # Cuts into an outline

    def _outline(self, cuts: Sequence[Cut], entities: int) -> Outline | None:
        if not cuts:
            raise Faulty("drawing.no-outline", f"{entities} entities, and none of them is a cut")
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
            self._tell(first.origin.line, "drawing.doubled", what, "warning")

    def _tell_joined(self, joined: Joined) -> None:
        for branch in joined.branches:
            names = ", ".join(list(dict.fromkeys(str(origin) for origin in branch.origins))[:5])
            what = f"{len(branch.origins)} cuts end at {faults.at(branch.at)}: {names}"
            self._tell(branch.origins[0].line, "drawing.branch", what)
        for chain in joined.open_chains if not joined.branches else ():
            what = (
                f"the cut from {faults.at(chain.start)} ({chain.start_origin}) to {faults.at(chain.end)} "
                f"({chain.end_origin}) is open"
            )
            self._tell(chain.start_origin.line, "drawing.open-outline", what)
        if joined.gaps and not self._has_errors():
            width, where = max(joined.gaps)
            what = f"{len(joined.gaps)} gaps are closed, the widest {width:.3f} mm at {faults.at(where)}"
            self._tell(1, "drawing.gap", what, "warning")

    def _tell_clash(self, clash: Clash) -> None:
        names = " and ".join(_ring_named(ring) for ring in clash.rings)
        codes = {
            "crosses itself": ("drawing.crossing", "crosses or touches itself"),
            "cross": ("drawing.crossing", "cross"),
            "share an edge": ("drawing.shared-edge", "share an edge"),
            "encloses nothing": ("drawing.no-area", "encloses nothing"),
        }
        code, verb = codes[clash.way]
        self._tell(clash.rings[0].origin.line, code, f"{names} {verb} at {faults.at(clash.at)}")

    def _tell_outline(self, outline: Outline) -> None:
        left, low, right, high = bounds(outline)
        longest = max(right - left, high - low)
        if not 1 <= longest <= 3000:
            self._tell(1, "drawing.unlikely-size", f"the plate is {longest:.6g} mm long", "warning")
        if len(outline.pieces) > 1:
            places = ", ".join(faults.at(piece.outside.segments[0].start) for piece in outline.pieces[:4])
            what = f"{len(outline.pieces)} separate plates, at {places}"
            self._tell(1, "drawing.several-plates", what, "warning")


def _named(entity: Entity, placement: Placement) -> str:
    where = spot(entity, placement)
    return f"{entity.origin} at {faults.at(where)}" if where else str(entity.origin)


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


# Bytes into entities


def _content(data: bytes) -> _Content:
    """Everything that may matter of a file, with nothing worked out yet."""
    if len(data) > LARGEST_FILE:
        raise Faulty("drawing.too-big", f"the file has {len(data) / 1e6:.0f} MB")
    if data[:4] == b"AC10":
        raise Faulty("drawing.not-dxf", "this is a DWG file")
    is_binary = data.startswith(BINARY)
    if not is_binary and b"SECTION" not in data[:100_000]:
        raise Faulty("drawing.not-dxf", "the file has no DXF section")
    if not is_binary and b"EOF" not in data[-1000:]:
        raise Faulty("drawing.cut-off", "the file stops before its end")
    return _sorted_in(_records(_tags(data, is_binary=is_binary)))


def _tags(data: bytes, *, is_binary: bool) -> Iterator[Any]:
    """Tags of a file, as ezdxf reads them; its faults in our words."""
    from ezdxf.lldxf.const import DXFError  # noqa: PLC0415 - heavy, and wanted only when a drawing is read
    from ezdxf.lldxf.tagger import ascii_tags_loader, binary_tags_loader  # noqa: PLC0415

    try:
        if is_binary:
            yield from binary_tags_loader(data, errors="replace")
        else:
            text = io.TextIOWrapper(io.BytesIO(data), encoding=_encoding(data), errors="replace")
            yield from ascii_tags_loader(text, skip_comments=False)
    except (struct.error, IndexError) as error:
        raise Faulty("drawing.cut-off", "the file stops in the middle of a value") from error
    except (DXFError, ValueError, LookupError) as error:
        said = " ".join(str(error).split())[:120]
        raise Faulty("drawing.not-dxf", f"the file is no readable DXF: {said}") from error


def _encoding(data: bytes) -> str:
    """UTF-8 from R2007 on, before that what the header says."""
    from ezdxf.tools.codepage import toencoding  # noqa: PLC0415

    head = data[:20_000]
    version = re.search(rb"\$ACADVER\s+1\s+AC(\d{4})", head)
    if version and int(version[1]) >= 1021:
        return "utf-8"
    page = re.search(rb"\$DWGCODEPAGE\s+3\s+(\w+)", head)
    return str(toencoding(page[1].decode("ascii", "replace"))) if page else "cp1252"


_Record = tuple[str, Entity]


def _records(tags: Iterable[Any]) -> Iterator[_Record]:
    """Everything between two tags 0 of the sections that are read, with its section."""
    section, record = "", Entity(kind="", line=0)
    fields = points = entities = 0
    is_read = False
    for count, tag in enumerate(tags):
        code = tag.code
        if code == 0:
            if is_read:
                yield section, record
            kind = str(tag.value).strip()
            if kind == "EOF":
                return
            record = Entity(kind=kind, line=2 * count + 2, fields=[])
            section = "" if kind in {"SECTION", "ENDSEC"} else section
            is_read = section in SECTIONS
            entities += is_read and kind not in NOT_CUT and kind != "VERTEX"
        elif is_read:
            if record.kind not in NOT_CUT or code in {5, 8, 67}:
                record.fields.append((code, tag.value))
                fields += 1
                points += code == 10
        elif code == 2 and record.kind == "SECTION" and not section:
            section = str(tag.value).strip()
            is_read = section in SECTIONS
        if entities > MOST_ENTITIES or points > MOST_POINTS or fields > MOST_FIELDS:
            raise Faulty(
                "drawing.too-big",
                f"line {2 * count + 2} comes after {entities:,} entities with {points:,} points",
            )
    raise Faulty("drawing.cut-off", "the file stops before its end")


def _sorted_in(records: Iterable[_Record]) -> _Content:
    """Records into header, blocks and entities."""
    content = _Content(entities=[], blocks={})
    block: Block | None = None
    last: Entity | None = None
    for section, record in records:
        if section == "HEADER":
            content.unit_code = _header_unit(record.fields)
        elif record.kind == "VERTEX":
            if last is not None and last.kind == "POLYLINE":
                last.vertices.append(_own(record.fields))
        elif record.kind == "BLOCK":
            block = Block(fields=_own(record.fields), entities=[])
            content.blocks[block_name(record).casefold()] = block
        elif record.kind not in {"ENDBLK", "SECTION", "SEQEND"}:
            last = _described(record)
            if not whole(last.fields, 67) & 1:
                (block.entities if section == "BLOCKS" and block else content.entities).append(last)
    return content


def _header_unit(fields: Sequence[Field]) -> int:
    for (code, name), (_, value) in pairwise(fields):
        if code == 9 and str(name).strip() == "$INSUNITS":
            return whole([(70, value)], 70)
    return 0


def _described(record: Entity) -> Entity:
    """An entity with its handle and layer found and the fields of other programs left out."""
    from ezdxf.lldxf.encoding import decode_dxf_unicode  # noqa: PLC0415

    record.fields = _own(record.fields)
    for code, value in record.fields:
        if code == 5:
            record.handle = str(value).strip()
        elif code == 8:
            record.layer = decode_dxf_unicode(str(value).strip())
    return record


def _own(fields: Sequence[Field]) -> list[Field]:
    """Fields of the entity itself: not those in braces (102), embedded objects (101) or extended data (1000 up)."""
    own: list[Field] = []
    is_braced = False
    for code, value in fields:
        if code == 102:
            is_braced = str(value).strip().startswith("{")
        elif code == 101 or code >= 1000:
            break
        elif not is_braced and code != 999:
            own.append((code, value))
    return own
