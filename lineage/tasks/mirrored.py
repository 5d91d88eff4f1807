"""Left and right plates: which plates of a design are each other's mirror image."""

from collections.abc import Iterator, Mapping
from itertools import combinations

from lineage.figures.contents import measure_key
from lineage.spec.assembly import Assembly, Thing
from lineage.tasks.drawings import Drawn, drawn_in
from lineage.tasks.workspace import Workspace

_YES, _NO = b"yes", b"no"


def mirrored(workspace: Workspace, assembly: Assembly) -> Mapping[str, tuple[str, ...]]:
    """For each plate the plates of the same stock beside it that are its mirror image and not its double."""
    drawn = drawn_in(workspace, assembly)
    found: dict[str, list[str]] = {}
    for one, other in _that_may_be_taken_for_each_other(assembly, drawn):
        if _are_left_and_right(workspace, one, other, drawn):
            found.setdefault(one.ref, []).append(other.ref)
            found.setdefault(other.ref, []).append(one.ref)
    return {ref: tuple(refs) for ref, refs in found.items()}


def _that_may_be_taken_for_each_other(
    assembly: Assembly, drawn: Mapping[str, Drawn]
) -> Iterator[tuple[Thing, Thing]]:
    """Pairs of one place and one stock, with different drawings; thickness tells plates of other stock apart."""
    plates: dict[tuple[str, str, str], list[Thing]] = {}
    for thing in assembly.parts:
        if measure_key(thing) in drawn and thing.stock is not None:
            plates.setdefault((thing.place, thing.stock.owner, thing.stock.name), []).append(thing)
    for alike in plates.values():
        yield from ((a, b) for a, b in combinations(alike, 2) if measure_key(a) != measure_key(b))


def _are_left_and_right(workspace: Workspace, one: Thing, other: Thing, drawn: Mapping[str, Drawn]) -> bool:
    """A plate that is its own mirror image has no left and right."""
    keys = sorted((measure_key(one) or "", measure_key(other) or ""))
    first, second = (drawn[key] for key in keys)
    if not _may_be_one(first, second):
        return False
    kept = workspace.reader.cache.get("mirror", "\n".join(keys))
    if kept in {_YES, _NO}:
        return kept == _YES
    from lineage.drawings.symmetry import is_mirror_of  # noqa: PLC0415 - only for plates that nobody compared yet

    are = is_mirror_of(first.outline, second.outline) and not is_mirror_of(first.outline, first.outline)
    workspace.reader.cache.put("mirror", "\n".join(keys), _YES if are else _NO)
    return are


def _may_be_one(first: Drawn, second: Drawn) -> bool:
    """Whether areas and numbers of loops leave it open: a first look that costs nothing."""
    one, two = first.measures, second.measures
    near = abs(one.area_mm2 - two.area_mm2) <= max(one.perimeter_mm, two.perimeter_mm)
    return near and len(first.outline.loops) == len(second.outline.loops)
