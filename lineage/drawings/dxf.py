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

from lineage.drawings import faults
from lineage.drawings.blocks import Block, block_name
from lineage.drawings.entities import NOT_CUT, Entity, Field, whole
from lineage.drawings.faults import Faulty
from lineage.drawings.gathering import Content, Gathering, Reading
from lineage.values.formatting import count_of

LARGEST_FILE = 20_000_000
MOST_ENTITIES = 20_000
MOST_POINTS = 50_000
MOST_FIELDS = 600_000

BINARY = b"AutoCAD Binary DXF\r\n\x1a\x00"
SECTIONS = frozenset({"HEADER", "BLOCKS", "ENTITIES"})


def read_drawing(data: bytes, file: str, *, ignore: tuple[str, ...] = (), unit: str | None = None) -> Reading:
    """The outline that a drawing cuts, with every problem found in it.

    `ignore` are patterns of layers to leave out, `unit` is that of a drawing that says none.
    """
    try:
        content = _content(data)
    except Faulty as fault:
        return Reading(outline=None, problems=(faults.problem(file, 1, fault.code, fault.what),))
    return Gathering(file, ignore, unit).read(content)


def _content(data: bytes) -> Content:
    """Everything that may matter of a file, with nothing worked out yet."""
    if len(data) > LARGEST_FILE:
        raise Faulty("drawing.too-big", f"the file has {len(data) / 1e6:.0f} MB")
    if data[:4] == b"AC10":
        raise Faulty("drawing.not-dxf", "this is a DWG file")
    is_binary = data.startswith(BINARY)
    if b"SECTION" not in data[:100_000]:
        raise Faulty("drawing.not-dxf", "the file has no DXF section")
    if b"EOF" not in data[-1000:]:
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
        return "utf-8-sig"
    page = re.search(rb"\$DWGCODEPAGE\s+3\s+(\w+)", head)
    return str(toencoding(page[1].decode("ascii", "replace"))) if page else "cp1252"


_Record = tuple[str, Entity]


def _records(tags: Iterable[Any]) -> Iterator[_Record]:
    """Everything between two tags 0 of the sections that are read, with its section."""
    section, record = "", Entity(kind="", line=0)
    fields = points = entities = 0
    is_read = has_blocks = False
    for count, tag in enumerate(tags):
        code = tag.code
        if code == 0:
            if is_read:
                yield section, record
            kind = str(tag.value).strip()
            has_blocks = has_blocks or (kind == "ENDSEC" and section == "BLOCKS")
            if kind == "EOF" or (kind == "ENDSEC" and section == "ENTITIES" and has_blocks):
                # What comes after is for the program that wrote it, and may be long.
                return
            record = Entity(kind=kind, line=2 * count + 2, fields=[])
            section = "" if kind in {"SECTION", "ENDSEC"} else section
            is_read = section in SECTIONS
            entities += is_read and kind not in NOT_CUT and kind != "VERTEX"
        elif is_read:
            if record.kind not in NOT_CUT and code < 1000:
                record.fields.append((code, tag.value))
                fields += 1
                points += code == 10
        elif code == 2 and record.kind == "SECTION" and not section:
            section = str(tag.value).strip()
            is_read = section in SECTIONS
        if entities > MOST_ENTITIES or points > MOST_POINTS or fields > MOST_FIELDS:
            raise Faulty(
                "drawing.too-big",
                f"line {2 * count + 2} comes after {count_of(entities, 'entity', 'entities')} "
                f"with {count_of(points, 'point')}",
            )
    raise Faulty("drawing.cut-off", "the file stops before its end")


def _sorted_in(records: Iterable[_Record]) -> Content:
    """Records into header, blocks and entities."""
    content = Content(entities=[], blocks={})
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
        elif record.kind not in NOT_CUT and record.kind not in {"ENDBLK", "SECTION"}:
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
    """Fields of the entity itself: not those in braces (102), nor embedded objects (101)."""
    own: list[Field] = []
    is_braced = False
    for code, value in fields:
        if code == 102:
            is_braced = str(value).strip().startswith("{")
        elif code == 101:
            break
        elif not is_braced and code != 999:
            own.append((code, value))
    return own
