"""Names in log entries that the build does not know: kept as typed, and said."""

from collections.abc import Collection, Iterator, Mapping, Sequence

from msgspec import Struct

from lineage.problems import AskedWrongly, LineageError, nearest
from lineage.spec.assembly import Assembly
from lineage.spec.records import BuildRef, GapReading, Result, ServiceReading, Weighing
from lineage.tasks.workspace import Workspace


class Unmatched(Struct, frozen=True, kw_only=True):
    """A name that nothing answers to, what is wrong with it, and what was perhaps meant (empty: nobody can tell)."""

    name: str
    what: str
    mend: str


def unmatched_in_result(workspace: Workspace, ref: BuildRef, result: Result) -> Iterator[Unmatched]:
    """Things, fits, scales and choices of a result that its build does not have."""
    fitted = result.fitted if isinstance(result, Weighing) else {}
    assembly, unknown = _assembled(workspace, ref, fitted)
    yield from unknown
    if isinstance(result, Weighing) and result.scale is not None:
        yield from _missing([result.scale], workspace.family.scales, "family.yaml has no scale")
    if assembly is None:
        return
    if isinstance(result, GapReading):
        yield from _missing([result.of], assembly.design.fits, f"{ref.design} has no fit")
    elif isinstance(result, Weighing):
        yield from _things(assembly, ref.design, (*result.of, *result.except_))
    elif isinstance(result, ServiceReading):
        yield from _things(assembly, ref.design, (result.of,))


def unmatched_choices(workspace: Workspace, ref: BuildRef, fitted: Mapping[str, str]) -> Iterator[Unmatched]:
    """Options and choices that a build does not have."""
    yield from _assembled(workspace, ref, fitted)[1]


def _assembled(
    workspace: Workspace, ref: BuildRef, fitted: Mapping[str, str]
) -> tuple[Assembly | None, tuple[Unmatched, ...]]:
    """The build with its choices; with its own and a word on them where it does not have those."""
    try:
        return workspace.assembly(ref, fitted), ()
    except AskedWrongly as error:
        try:
            own = workspace.assembly(ref)
        except LineageError:
            return None, ()  # a build that cannot be laid out is told by `check`
        name = next((choice for choice in fitted.values() if repr(choice) in error.what), "fitted")
        return own, (Unmatched(name=name, what=error.what, mend=error.wanted),)
    except LineageError:
        return None, ()


def _things(assembly: Assembly, design: str, refs: Sequence[str]) -> Iterator[Unmatched]:
    unknown = [ref for ref in refs if not assembly.resolve(ref)]
    yield from _missing(unknown, assembly.things, f"{design} has nothing called")


def _missing(names: Sequence[str], known: Collection[str], said: str) -> Iterator[Unmatched]:
    for name in names:
        if name not in known:
            near = nearest(name, known)
            yield Unmatched(name=name, what=f"{said} {name!r}", mend=f"did you mean {near}?" if near else "")
