"""Recorded builds: folders that hold what a build was, proven by content ids.

builds/DESIGN/LABEL/build.yaml, spec.yaml, family.yaml, and builds/DESIGN/drawings/NAME-<id>.dxf, each distinct
drawing once. A copy is found by the id in its name and believed by the id of its bytes.
"""

from collections.abc import Callable, Iterable, Mapping
from datetime import date
from pathlib import PurePosixPath
from shlex import quote
from typing import Any, Final

from msgspec import Struct
from msgspec.structs import replace

from lineage.archive.ids import build_id, content_id
from lineage.archive.tree import FAMILY_FILE, Tree
from lineage.problems import BadInput, Place, Problem
from lineage.spec.records import BUILD_FORMAT, BuildRecord, ChangeNote, Read

BUILDS: Final = "builds"
_RECORD, _SPEC, _DRAWINGS = "build.yaml", "spec.yaml", "drawings"
_SHORT: Final = 12  # hex digits of an id in a file name


ReadRecord = Callable[[bytes, str], Read[BuildRecord]]


class Build(Struct, frozen=True, kw_only=True):
    """A recorded build as read: every byte of it is what was recorded. `warnings` say what had to be mended."""

    record: BuildRecord
    spec_path: str
    spec: bytes
    family: bytes
    drawings: Mapping[str, bytes]
    warnings: tuple[Problem, ...] = ()


class Plan(Struct, frozen=True, kw_only=True):
    """A build that is to be recorded: its record, its folder, and the files to write, by path."""

    record: BuildRecord
    folder: str
    files: Mapping[str, bytes]


def _read_build(data: bytes, path: str) -> Read[BuildRecord]:
    from lineage.spec.build_file import read_build  # noqa: PLC0415 - loads the readers, and YAML with them

    return read_build(data, path)


def build_folder(design: str, label: str) -> str:
    """Where a build is kept."""
    return f"{BUILDS}/{design}/{label}"


def designs_with_builds(tree: Tree) -> tuple[str, ...]:
    """Names of all designs that have a folder of builds."""
    return tuple(dict.fromkeys(steps[1] for steps in _steps(tree.files(BUILDS)) if len(steps) > 3))


def labels_of(tree: Tree, design: str) -> tuple[str, ...]:
    """Labels of a design's builds, each after the build before it; those that cannot be read come last."""
    records = []
    unreadable = []
    for label in build_labels(tree, design):
        try:
            records.append(read_record(tree, design, label))
        except BadInput:
            unreadable.append(label)
    return (*(record.label for record in in_chain_order(records)), *unreadable)


def build_labels(tree: Tree, design: str) -> tuple[str, ...]:
    """Labels of a design's builds in the order of their letters, readable or not."""
    steps = _steps(tree.files(f"{BUILDS}/{design}"))
    return tuple(step[2] for step in steps if len(step) == 4 and step[3] == _RECORD and step[2] != _DRAWINGS)


def label_taken(tree: Tree, design: str, label: str) -> str | None:
    """The label, as it is written, of a build or a bare folder that differs at most by capitals; None if free."""
    steps = _steps(tree.files(f"{BUILDS}/{design}"))
    labels = (step[2] for step in steps if len(step) > 3)
    return next((other for other in labels if other.casefold() == label.casefold()), None)


def _steps(paths: Iterable[str]) -> list[list[str]]:
    return [path.split("/") for path in paths]


def is_drawing(path: str) -> bool:
    """Whether a file of a design is a drawing, which a build keeps a copy of."""
    return path.startswith("plates/") and path.lower().endswith(".dxf")


def in_chain_order(records: Iterable[BuildRecord]) -> tuple[BuildRecord, ...]:
    """Builds of one design, each after the build before it; branches by date, then label."""
    waiting = sorted(records, key=lambda record: (record.on, _natural(record.label)))
    labels = {record.label for record in waiting}
    placed: dict[str, BuildRecord] = {}
    while waiting:
        free = [r for r in waiting if r.before is None or r.before in placed or r.before not in labels]
        earliest = (free or waiting)[0]
        last = next(reversed(placed), None)
        follower = (r for r in free if r.before == last and last is not None and r.on == earliest.on)
        chosen = next(follower, earliest)
        placed[chosen.label] = chosen
        waiting.remove(chosen)
    return tuple(placed.values())


def _natural(label: str) -> tuple[tuple[int, int | str], ...]:
    """`rev-10` after `rev-9`."""
    pieces: list[tuple[int, int | str]] = []
    for character in label.casefold():
        if character.isdecimal() and pieces and isinstance(pieces[-1][1], int):
            pieces[-1] = (0, int(pieces[-1][1]) * 10 + int(character))
        else:
            pieces.append((0, int(character)) if character.isdecimal() else (1, character))
    return tuple(pieces)


# --- recording -------------------------------------------------------------------------------------------


def plan_build(
    tree: Tree,
    *,
    design: str,
    label: str,
    on: date,
    before: str | None,
    spec_path: str,
    spec: bytes,
    family: bytes,
    drawings: Mapping[str, bytes],
    ids: Mapping[str, str] | None = None,
    uses: Mapping[str, str] | None = None,
    renames: Mapping[str, str] | None = None,
    notes: tuple[ChangeNote, ...] = (),
    tables: int = 1,
) -> Plan:
    """The files that record a build. `ids` are those of files that are not copied, `uses` those of module builds."""
    drawn = {path: content_id(data) for path, data in drawings.items()}
    files = {spec_path: content_id(spec), FAMILY_FILE: content_id(family), **drawn, **(ids or {})}
    record = BuildRecord(
        format=BUILD_FORMAT,
        tables=tables,
        design=design,
        label=label,
        on=on,
        before=before,
        id=build_id(files, uses or {}),
        files=dict(sorted(files.items())),
        uses=dict(sorted((uses or {}).items())),
        renames=dict(renames or {}),
        notes=notes,
    )
    folder = build_folder(design, label)
    return Plan(
        record=record,
        folder=folder,
        files={
            **_new_copies(tree, design, drawings),
            f"{folder}/{_SPEC}": spec,
            f"{folder}/{FAMILY_FILE}": family,
            f"{folder}/{_RECORD}": _written(record, f"{folder}/{_RECORD}"),
        },
    )


def _written(record: BuildRecord, path: str) -> bytes:
    """The bytes of build.yaml, read back before anybody relies on them; raises BadInput for what cannot be kept."""
    from lineage.spec.lines import build_yaml  # noqa: PLC0415 - only recording writes one

    data = build_yaml(record).encode()
    answer = _read_build(data, path)
    if answer.record is None:
        raise BadInput(answer.problems)
    assert replace(answer.record, places={}) == replace(record, places={}), data
    return data


def _new_copies(tree: Tree, design: str, drawings: Mapping[str, bytes]) -> dict[str, bytes]:
    """Copies of drawings that no earlier build of the design has left, each content once."""
    there = _Copies(tree, design)
    new: dict[str, bytes] = {}
    for path, data in drawings.items():
        assert is_drawing(path), path
        id_ = content_id(data)
        if there.find(id_) is None:
            name = there.free_name(PurePosixPath(path).stem, id_)
            new[name] = data
            there.add(name, id_)
    return new


class _Copies:
    """The copies of drawings that a design has, found by the ids in their names."""

    def __init__(self, tree: Tree, design: str) -> None:
        self.tree = tree
        self.folder = f"{BUILDS}/{design}/{_DRAWINGS}"
        self.names = tree.files(self.folder)
        self.ids: dict[str, str] = {}

    def find(self, id_: str) -> str | None:
        """The path of the copy with just these contents."""
        return next((name for name in self.named_for(id_) if self._id(name) == id_), None)

    def named_for(self, id_: str) -> Iterable[str]:
        """Paths of copies that say they are it."""
        named = ((name, PurePosixPath(name).stem.rpartition("-")[2]) for name in (*self.names, *self.ids))
        return (name for name, short in named if len(short) >= 10 and id_.startswith(short))

    def free_name(self, stem: str, id_: str) -> str:
        """A name for a new copy; longer where another drawing, or a spoilt copy, has the short one."""
        names = (f"{self.folder}/{stem}-{id_[:length]}.dxf" for length in range(_SHORT, len(id_) + 1))
        taken = {name.casefold() for name in (*self.names, *self.ids)}
        return next(name for name in names if name.casefold() not in taken)

    def add(self, name: str, id_: str) -> None:
        """Remember a copy that is going to be written."""
        self.ids[name] = id_

    def _id(self, name: str) -> str | None:
        if name not in self.ids:
            self.ids[name] = self.tree.content_id(name) or ""
        return self.ids[name]


def same_build(there: BuildRecord, planned: BuildRecord) -> bool:
    """Whether a record that is there is the planned one, made on another day perhaps: it can be completed."""

    def told(record: BuildRecord) -> tuple[Any, ...]:
        return record.design, record.label, record.id, record.before, dict(record.renames), record.notes

    return told(there) == told(planned)


def build_paths(tree: Tree, record: BuildRecord) -> tuple[str, ...]:
    """All files of a recorded build, copies of drawings included."""
    copies = _Copies(tree, record.design)
    drawn = (copies.find(id_) for path, id_ in record.files.items() if is_drawing(path))
    folder = build_folder(record.design, record.label)
    return tuple(dict.fromkeys((*filter(None, drawn), *tree.files(folder))))


# --- reading ---------------------------------------------------------------------------------------------


def read_record(tree: Tree, design: str, label: str, read: ReadRecord | None = None) -> BuildRecord:
    """The build.yaml of a build, believed as far as its ids can tell; raises BadInput.

    `read` stands in place of the reader, for whoever keeps what was read before.
    """
    path = f"{build_folder(design, label)}/{_RECORD}"
    data = tree.read(path)
    if data is None:
        known = ", ".join(build_labels(tree, design)) or "none is recorded"
        folder = build_folder(design, label)
        mend = f"its builds: {known}; bring {folder} back from an earlier commit or a safety copy"
        raise BadInput(
            [_problem(path, "no-build", f"{design} has no build {label}", "a recorded build", mend)]
        )
    answer = (read or _read_build)(data, path)
    if answer.record is None:
        raise BadInput(answer.problems)
    record = answer.record
    if (record.design, record.label) != (design, label):
        what = f"this folder holds {record.design}@{record.label}"
        raise BadInput([_changed(path, what, design, label, "build-misplaced")])
    if record.id != build_id(record.files, record.uses):
        raise BadInput(
            [_changed(path, "the files and uses listed here are not those of its id", design, label)]
        )
    return record


def read_build_files(tree: Tree, design: str, label: str, read: ReadRecord | None = None) -> Build:
    """A recorded build with its copies, all checked by their ids; raises BadInput with every fault found."""
    record = read_record(tree, design, label, read)
    reader = _Reader(tree, record)
    build = reader.build()
    if reader.errors or build is None:
        raise BadInput(reader.errors)
    return build


class _Reader:
    """Reads the copies of one build, gathering what is wrong with them."""

    def __init__(self, tree: Tree, record: BuildRecord) -> None:
        self.tree = tree
        self.record = record
        self.folder = build_folder(record.design, record.label)
        self.errors: list[Problem] = []
        self.warnings: list[Problem] = []

    def build(self) -> Build | None:
        """The build; None where a fault of its own record leaves nothing to read."""
        files = self.record.files
        own = (f"{folder}/{self.record.design}.yaml" for folder in ("robots", "modules"))
        spec_path = next((path for path in own if path in files), None)
        if spec_path is None or FAMILY_FILE not in files:
            self._blame(f"{self.folder}/{_RECORD}", "its files lack the spec or family.yaml")
            return None
        spec = self._copy(f"{self.folder}/{_SPEC}", files[spec_path])
        family = self._copy(f"{self.folder}/{FAMILY_FILE}", files[FAMILY_FILE])
        drawings = self._drawings()
        return Build(
            record=self.record,
            spec_path=spec_path,
            spec=spec,
            family=family,
            drawings=drawings,
            warnings=tuple(self.warnings),
        )

    def _drawings(self) -> dict[str, bytes]:
        copies = _Copies(self.tree, self.record.design)
        drawn = {path: id_ for path, id_ in self.record.files.items() if is_drawing(path)}
        read = {}
        for path, id_ in drawn.items():
            named = copies.find(id_) or next(iter(copies.named_for(id_)), None)
            if named is None:
                missing = copies.free_name(PurePosixPath(path).stem, id_)
                self.errors.append(_missing(missing, f"the copy of {path} is missing", self.folder))
            else:
                read[path] = self._copy(named, id_)
        return read

    def _copy(self, path: str, id_: str) -> bytes:
        data = self.tree.read(path)
        if data is None:
            self.errors.append(_missing(path, f"{path} is missing", self.folder))
            return b""
        proven = _with_line_ends_of(data, id_)
        if proven is None:
            self._blame(path, "this is not what was recorded")
        elif proven != data:
            self.warnings.append(_line_ends(path))
        return proven or b""

    def _blame(self, path: str, what: str) -> None:
        self.errors.append(_changed(path, what, self.record.design, self.record.label))


def _with_line_ends_of(data: bytes, id_: str) -> bytes | None:
    """The recorded bytes, where a change of line ends alone lies between them and what is there; the id proves it."""
    if content_id(data) == id_:
        return data
    plain = data.replace(b"\r\n", b"\n")
    return next((other for other in (plain, plain.replace(b"\n", b"\r\n")) if content_id(other) == id_), None)


def _problem(path: str, code: str, what: str, wanted: str, mend: str) -> Problem:
    return Problem(place=Place(path, 1, 1), code=code, what=what, wanted=wanted, mend=mend)


def _changed(path: str, what: str, design: str, label: str, code: str = "build-changed") -> Problem:
    wanted = f"{design}@{label} as it was recorded: a build is never changed"
    return _problem(
        path, code, what, wanted, f"git checkout HEAD -- {quote(path)}, and record what is new as a new build"
    )


def _missing(path: str, what: str, folder: str) -> Problem:
    mend = f"git checkout HEAD -- {quote(folder)} {quote(f'{PurePosixPath(folder).parent}/{_DRAWINGS}')}"
    return _problem(path, "build-incomplete", what, "every file that the record names", mend)


def _line_ends(path: str) -> Problem:
    return Problem(
        place=Place(path, 1, 1),
        code="build-line-ends",
        what="the line ends of this copy were changed; it was read as recorded",
        wanted="files as they were committed",
        mend="put `* -text` into .gitattributes, then: git rm -r --cached -q . && git reset --hard",
        level="warning",
    )
