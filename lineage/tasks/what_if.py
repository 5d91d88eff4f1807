"""What would be, were the spec another: `REF.KEY=VALUE` laid over a state, nothing written."""

from collections.abc import Mapping, Sequence

from lineage.archive.tree import FAMILY_FILE, AlteredTree
from lineage.changes.pairing import own_things
from lineage.problems import AskedWrongly, BadInput, nearest
from lineage.spec.altered import with_changes
from lineage.spec.records import BuildRef, Design, Path
from lineage.tasks.amounts import Amounts
from lineage.tasks.states import State
from lineage.tasks.workspace import NOW, Workspace

_GROUPS = ("parts", "fasteners", "modules")


def with_alterations(state: State, asked: Sequence[str]) -> State:
    """A state with some keys changed. Raises BadInput as its reader would, AskedWrongly for what names nothing."""
    if not asked:
        return state
    changes = dict(_change(state.spec.design, text) for text in asked)
    return _altered(state, changes, f"with {', '.join(asked)}")


def with_places_moved_on(state: State, places: Sequence[str], to: BuildRef) -> State:
    """A state with some of its own places using another build of their module."""
    design = state.spec.design
    paths = [_path_of(design, place) for place in places]
    changes = {(*path, "use") if (*path, "use") in design.places else path: str(to) for path in paths}
    return _altered(state, changes, f"with {to}")


def _altered(state: State, changes: Mapping[Path, str | None], said: str) -> State:
    path, files = _files(state)
    files = {**files, path: with_changes(files[path], path, changes)}
    amounts = Amounts(Workspace(AlteredTree(state.workspace.tree, files), state.workspace.root))
    altered = State(amounts, BuildRef(state.ref.design, NOW), f"{state.label} {said}", state.choices)
    try:
        _ = altered.spec
    except BadInput as error:
        first = error.problems[0]
        raise AskedWrongly("; ".join(p.what for p in error.problems), first.wanted, first.mend) from error
    return altered


def _files(state: State) -> tuple[str, Mapping[str, bytes]]:
    """The spec's path, and the files that stand for the state where working files would: for a build its copies."""
    path = state.spec.file
    if state.ref.label == NOW:
        return path, {path: state.workspace.tree.read(path) or b""}
    build = state.workspace.recorded(state.ref)
    return build.spec_path, {build.spec_path: build.spec, FAMILY_FILE: build.family, **build.drawings}


def _change(design: Design, text: str) -> tuple[Path, str | None]:
    """`REF.KEY=VALUE` → path of the key in the spec, and its value; an empty value leaves the key out."""
    name, equals, value = text.partition("=")
    if not equals:
        raise AskedWrongly(f"--with {text}", "REF.KEY=VALUE", "such as --with side.count=3")
    ref, dot, key = name.strip().rpartition(".")
    if not dot:
        return (key,), value.strip() or None
    things = own_things(design)
    if ref in things:
        return (*_path_of(design, ref), key), value.strip() or None
    section, _, entry = ref.partition(".")
    if section in {"fits", "bays", "stock", "settings", "drive"}:
        return tuple(part for part in (section, entry, key) if part), value.strip() or None
    near = nearest(ref, things)
    raise AskedWrongly(
        f"--with {text}: {design.name} has nothing called {ref!r}",
        "a thing of the spec and one of its keys",
        f"did you mean {near}.{key}?" if near else "lineage card names its things",
    )


def _path_of(design: Design, ref: str) -> Path:
    """Where a thing stands in the spec, in a choice or not."""
    for path in design.places:
        if len(path) >= 2 and path[-1] == ref and path[-2] in _GROUPS:
            return path
    raise AssertionError(f"{ref} has no place in its spec")
