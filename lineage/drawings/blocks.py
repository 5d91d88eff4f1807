"""Blocks put into a drawing: their entities, and where each copy lies."""

from collections.abc import Iterator, Mapping, Sequence
from fnmatch import fnmatchcase

from msgspec import Struct
from msgspec.structs import replace

from lineage.drawings.entities import Entity, Field, checked, number, point_of, side, whole
from lineage.drawings.faults import Faulty
from lineage.drawings.outline import Point
from lineage.drawings.placement import Placement, moved, turned

MOST_COPIES = 20_000
"""Entities that all inserts of a drawing may come to, the inserts counted too."""


class Block(Struct, kw_only=True):
    """A block of a drawing."""

    fields: list[Field]
    entities: list[Entity]

    @property
    def base(self) -> Point:
        """The point that lies on the place of an insert."""
        return point_of(self.fields, 10, 0.0)

    @property
    def is_elsewhere(self) -> bool:
        """Whether it stands in another file."""
        return bool(whole(self.fields, 70) & 4)


def is_ignored(layer: str, patterns: Sequence[str]) -> bool:
    """Whether one of the patterns names a layer, however it is written."""
    return any(fnmatchcase(layer.casefold(), pattern.casefold()) for pattern in patterns)


def block_of(insert: Entity, blocks: Mapping[str, Block]) -> Block:
    """The block that an insert puts there. Raises Faulty where it is missing or stands in another file."""
    name = block_name(insert)
    block = blocks.get(name.casefold())
    if block is None or block.is_elsewhere:
        raise Faulty("drawing.bad-insert", f"block `{name}` is not in this file")
    return block


def copies(insert: Entity, block: Block, ignore: Sequence[str]) -> list[Entity]:
    """The entities of an inserted block that count, each on its layer: layer 0 in a block is that of the insert.

    Raises Faulty for a block that holds blocks itself.
    """
    found = []
    for entity in block.entities:
        own = replace(entity, layer=insert.layer) if entity.layer == "0" else entity
        if is_ignored(own.layer, ignore):
            continue
        if own.kind == "INSERT":
            name, inner = block_name(insert), block_name(own)
            raise Faulty("drawing.bad-insert", f"block `{name}` holds block `{inner}`")
        found.append(own)
    return found


def block_name(insert: Entity) -> str:
    """What block an insert puts there."""
    return next((str(value).strip() for code, value in insert.fields if code == 2), "")


def grid(insert: Entity) -> tuple[int, int]:
    """Columns and rows of an insert, at least one each."""
    return max(whole(insert.fields, 70, 1), 1), max(whole(insert.fields, 71, 1), 1)


def placements(insert: Entity, block: Block, placement: Placement) -> Iterator[Placement]:
    """Where each copy of a block lies.

    Raises Faulty where it is scaled by zero or otherwise in x than in y, which makes ellipses of arcs.
    """
    fields = insert.fields
    across, up = number(fields, 41, 1.0), number(fields, 42, 1.0)
    if across == 0 or abs(abs(across) - abs(up)) > 1e-6 * abs(across):
        raise Faulty("drawing.bad-insert", f"it is scaled by {across:g} in x and {up:g} in y")
    turn, base = turned(number(fields, 50, 0.0)), block.base
    x, y = point_of(fields, 10, 0.0)
    sized = Placement(a=across, d=up).of(moved((-base[0], -base[1])))
    columns, rows = grid(insert)
    step = number(fields, 44, 0.0), number(fields, 45, 0.0)
    stands = placement.of(side(fields))
    for row in range(rows):
        for column in range(columns):
            dx, dy = turn.vector((column * step[0], row * step[1]))
            yield stands.of(moved((x + dx, y + dy))).of(turn).of(sized)


def spot(entity: Entity, placement: Placement) -> Point | None:
    """A point of an entity on the plate, to say where it is; None where it has none that can be read."""
    for fields in (entity.fields, *entity.vertices):
        try:
            return placement.point((checked(number(fields, 10)), checked(number(fields, 20))))
        except Faulty:
            continue
    return None
