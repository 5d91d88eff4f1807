"""What would be, were the spec another: `REF.KEY=VALUE` laid over a state, nothing written."""

from collections.abc import Iterator, Mapping, Sequence

from lineage.changes.pairing import own_things
from lineage.problems import AskedWrongly, BadInput, nearest
from lineage.spec.assembly import Spec
from lineage.spec.records import BuildRef, Design, Path, Use
from lineage.tasks.altered_family import Altered, AlteredFamily
from lineage.tasks.amounts import Amounts
from lineage.tasks.states import State
from lineage.tasks.workspace import NOW, Workspace

_GROUPS = ("parts", "fasteners", "modules")
_SECTIONS = (*_GROUPS, "options", "fitted", "fits", "bays", "access", "drive", "settings", "stock")
_FREE_NAMES = frozenset({"settings", "access"})
"""Sections whose entries may have dots in their names."""
_OF_FAMILY = frozenset({"materials", "classes", "tolerances", "spread"})
_OF_PLACE = frozenset(field.rstrip("_") for field in Use.__struct_fields__) - {"extra"}

Asked = tuple[tuple[str, ...], str | None]
"""Names from the outside in, and the value, None to leave out."""


def with_alterations(state: State, asked: Sequence[str]) -> State:
    """A state with some keys changed. Raises AskedWrongly for what names nothing and for what a reader would refuse."""
    if not asked:
        return state
    altered: dict[str, Altered] = {}
    _alter(state.workspace, state.spec, [_read(text) for text in asked], altered)
    said = [text.removesuffix("=") if text.endswith("=") else text for text in asked]
    words = [
        f"{'without' if text.endswith('=') else 'with'} {name}"
        for text, name in zip(asked, said, strict=True)
    ]
    return _laid_over(state, altered, ", ".join(words).replace(", with ", ", "))


def with_places_moved_on(state: State, places: Sequence[str], to: BuildRef) -> State:
    """A state with some of its own places using another build of their module."""
    changes: dict[Path, str | None] = {_use_path(state.spec.design, place): str(to) for place in places}
    altered = {state.ref.design: Altered(ref=state.spec.ref, spec=changes)}
    return _laid_over(state, altered, f"with {to}")


def _laid_over(state: State, altered: Mapping[str, Altered], said: str) -> State:
    try:
        amounts = Amounts(AlteredFamily(state.workspace, altered))
        other = State(amounts, BuildRef(state.ref.design, NOW), f"{state.label} {said}", state.choices)
        _ = other.assembly
    except BadInput as error:
        first = error.problems[0]
        raise AskedWrongly("; ".join(p.what for p in error.problems), first.wanted, first.mend) from error
    return other


# --- what was asked --------------------------------------------------------------------------------------


def _read(text: str) -> Asked:
    """`REF.KEY=VALUE`; an empty value leaves the key, or the thing, out."""
    name, equals, value = text.partition("=")
    names = tuple(part.strip() for part in name.split("."))
    if not equals or not all(names):
        raise AskedWrongly(f"--with {text}", "REF.KEY=VALUE", "such as --with side.count=3")
    return names, value.strip() or None


def _alter(workspace: Workspace, spec: Spec, asked: Sequence[Asked], altered: dict[str, Altered]) -> None:
    """What a design is to be, with the modules whose inside changes: their places then use what they would be."""
    changes: dict[Path, str | None] = {}
    family: dict[Path, str | None] = {}
    inside: dict[str, list[Asked]] = {}
    for names, value in asked:
        for expanded in _expanded(workspace, spec, names):
            place = _place_entered(spec.design, expanded)
            if place is not None:
                inside.setdefault(place, []).append((expanded[1:], value))
                continue
            of_family = _is_of_family(spec, expanded)
            found = family if of_family else changes
            path = expanded if of_family else _path(spec.design, expanded, value)
            if path in found:
                raise AskedWrongly(f"--with {'.'.join(names)} is said twice", "each key once")
            found |= _opened(spec.design, path)
            found[path] = value
    for place, inner in inside.items():
        changes[_use_path(spec.design, place)] = _entered(workspace, spec.design, place, inner, altered)
    _add(altered, Altered(ref=spec.ref, spec=changes, family=family))


def _entered(
    workspace: Workspace, design: Design, place: str, asked: Sequence[Asked], altered: dict[str, Altered]
) -> str:
    """Alters the module of a place, and says what the place uses then."""
    used = own_things(design)[place]
    assert isinstance(used, Use)
    _alter(workspace, workspace.lookup(used.use), asked, altered)
    return f"{used.use.design}@{NOW}"


def _add(altered: dict[str, Altered], made: Altered) -> None:
    known = altered.setdefault(made.ref.design, made)
    if known != made:
        raise AskedWrongly(
            f"{made.ref.design} would be two things at once: {known.ref} and {made.ref}, or changed in two ways",
            "one change of a module at a time, the same in every place",
            "name the module instead of its places, or ask one after the other",
        )


# --- where it stands -------------------------------------------------------------------------------------


def _expanded(workspace: Workspace, spec: Spec, names: tuple[str, ...]) -> Iterator[tuple[str, ...]]:
    """Names that begin with a thing or key of the design; a module's name stands for all its places."""
    things = own_things(spec.design)
    first = names[0]
    if first in things or len(names) == 1 or first in _SECTIONS or first in _OF_FAMILY:
        yield names
        return
    found = list(_places_of(workspace, spec, first))
    if found:
        yield from ((*place, *names[1:]) for place in found)
        return
    if (first,) in spec.design.places:
        yield names
        return
    near = nearest(first, [*things, *_SECTIONS])
    raise AskedWrongly(
        f"--with {'.'.join(names)}: {spec.design.name} has nothing called {first!r}",
        "a thing of the spec, or a module in it, and one of its keys",
        f"did you mean {'.'.join((near, *names[1:]))}?" if near else "lineage card names its things",
    )


def _places_of(workspace: Workspace, spec: Spec, module: str) -> Iterator[tuple[str, ...]]:
    """Places of a module in a design and in the modules that it uses."""
    for name, thing in own_things(spec.design).items():
        if not isinstance(thing, Use):
            continue
        if thing.use.design == module:
            yield (name,)
        else:
            yield from (
                (name, *inner) for inner in _places_of(workspace, workspace.lookup(thing.use), module)
            )


def _place_entered(design: Design, names: tuple[str, ...]) -> str | None:
    """The place whose inside is meant; None where it is a key of the place itself, or of something else."""
    thing = own_things(design).get(names[0])
    return names[0] if isinstance(thing, Use) and len(names) > 1 and names[1] not in _OF_PLACE else None


def _is_of_family(spec: Spec, names: tuple[str, ...]) -> bool:
    if names[0] in own_things(spec.design):
        return False
    if names[0] == "stock" and len(names) > 1 and names[1] not in spec.design.stock:
        return len(names) > 2 and names[1] in spec.family.stock
    return names[0] in _OF_FAMILY


def _path(design: Design, names: tuple[str, ...], value: str | None) -> Path:
    """Where something stands in the spec."""
    thing = own_things(design).get(names[0])
    if isinstance(thing, Use) and len(names) == 1 and value is not None and not value.startswith("{"):
        return _use_path(design, names[0])
    if thing is not None:
        return (*_path_of(design, names[0]), *names[1:])
    if len(names) == 1 and names[0] in design.options:
        return "fitted", names[0]
    if names[0] in _FREE_NAMES and len(names) > 1:
        return names[0], ".".join(names[1:])
    return names


def _path_of(design: Design, ref: str) -> Path:
    """Where a thing stands in the spec, in a choice or not."""
    for path in design.places:
        if len(path) >= 2 and path[-1] == ref and path[-2] in _GROUPS:
            return path
    raise AssertionError(f"{ref} has no place in its spec")


def _use_path(design: Design, place: str) -> Path:
    path = _path_of(design, place)
    return (*path, "use") if (*path, "use") in design.places else path


def _opened(design: Design, path: Path) -> dict[Path, str | None]:
    """A place in short (`drive-left: drive-pod@B`) written out, where one of its other keys is to be changed."""
    whole = path[:-1]
    used = own_things(design).get(str(path[-2])) if len(path) > 2 else None
    if not isinstance(used, Use) or path[-3] != "modules" or (*whole, "use") in design.places:
        return {}
    return {whole: f"{{use: {used.use}}}"}
