"""Outlines and their measures, read once per family and kept by content id."""

from collections.abc import Mapping, Sequence

import msgspec

from lineage.drawings.moments import Measures, measures
from lineage.drawings.outline import Outline
from lineage.drawings.sketch import Sketch
from lineage.drawings.symmetry import Symmetry
from lineage.figures.contents import measure_key
from lineage.problems import BadInput, Problem
from lineage.spec.assembly import Assembly, Thing
from lineage.tasks.workspace import NOW, Workspace


class Drawn(msgspec.Struct, frozen=True, kw_only=True):
    """What is kept of a drawing."""

    outline: Outline
    measures: Measures
    symmetry: Symmetry
    warnings: tuple[Problem, ...] = ()


_encode = msgspec.json.encode
_decode = msgspec.json.Decoder(Drawn).decode


class Refused(BadInput):
    """Drawings that cannot be used, with sketches of where by file."""

    def __init__(self, problems: Sequence[Problem], sketches: Mapping[str, Sketch]) -> None:
        super().__init__(problems)
        self.sketches = sketches


def sketches_of(error: BaseException) -> Mapping[str, Sketch]:
    """Sketches of the drawings that an error is about."""
    return error.sketches if isinstance(error, Refused) else {}


def drawn_in(workspace: Workspace, assembly: Assembly) -> Mapping[str, Drawn]:
    """Every plate of an assembly that has a drawing, by `measure_key`. Raises Refused with all that is wrong."""
    found: dict[str, Drawn] = {}
    problems: list[Problem] = []
    sketches: dict[str, Sketch] = {}
    for thing in assembly.parts:
        key = measure_key(thing)
        if key is None or key in found:
            continue
        try:
            found[key] = drawn(workspace, thing, key)
        except BadInput as error:
            problems += error.problems
            sketches |= sketches_of(error)
    if problems:
        raise Refused(problems, sketches)
    return found


def measures_of(workspace: Workspace, assembly: Assembly) -> Mapping[str, Measures]:
    """The measures of every drawing of an assembly, by `measure_key`."""
    return {key: found.measures for key, found in drawn_in(workspace, assembly).items()}


def symmetries(workspace: Workspace, assembly: Assembly) -> Mapping[str, Symmetry]:
    """The symmetry of every drawing of an assembly, by `measure_key`."""
    return {key: found.symmetry for key, found in drawn_in(workspace, assembly).items()}


def drawn(workspace: Workspace, thing: Thing, key: str) -> Drawn:
    """The outline of one plate."""
    known = workspace.drawn.get(key)
    if known is None:
        kept = workspace.reader.cache.get("outline", key)
        known = _kept(kept) or _read(workspace, thing, key)
        workspace.drawn[key] = known
    return known


def _kept(data: bytes | None) -> Drawn | None:
    if data is None:
        return None
    try:
        return _decode(data)
    except (msgspec.DecodeError, msgspec.ValidationError):
        return None  # spoilt, or written by another edition: read the drawing again


def _read(workspace: Workspace, thing: Thing, key: str) -> Drawn:
    from lineage.drawings.dxf import read_drawing  # noqa: PLC0415 - only for a drawing that nobody read yet
    from lineage.drawings.symmetry import ways_round  # noqa: PLC0415 - likewise

    part = thing.part
    assert part.outline is not None
    reading = read_drawing(_bytes(workspace, thing), part.outline, ignore=part.ignore, unit=part.drawing_unit)
    if reading.outline is None:
        sketch = reading.sketch
        raise Refused(reading.problems, {} if sketch is None else {part.outline: sketch})
    outline = reading.outline
    made = Drawn(
        outline=outline, measures=measures(outline), symmetry=ways_round(outline), warnings=reading.problems
    )
    workspace.reader.cache.put("outline", key, _encode(made))
    return made


def _bytes(workspace: Workspace, thing: Thing) -> bytes:
    outline = thing.part.outline
    assert outline is not None
    if thing.spec.ref.label == NOW:
        return workspace.tree.read(outline) or b""
    return workspace.recorded(thing.spec.ref).drawings[outline]
