"""The files of a family, as they lie in the working folder or as they stood in a commit.

Paths are POSIX and relative to the family. Nothing outside the family is ever read: not by `..`, not by a
symbolic link. Folders that start with a dot (git's own, unfinished records) are not looked into.
"""

import os
import stat
from collections.abc import Iterator, Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Final, Protocol

from lineage.archive.ids import content_id, content_id_of
from lineage.problems import AskedWrongly, BadInput, Place, Problem

FAMILY_FILE: Final = "family.yaml"
READ_LIMIT: Final = 64 * 1024 * 1024  # bytes; ids are worked out for files of any length
FILES_LIMIT: Final = 200_000
UNFINISHED: Final = ".partial"


class Tree(Protocol):
    """One state of all the files of a family."""

    @property
    def name(self) -> str:
        """What to call this state: `now`, or `git:REV`."""

    def read(self, path: str) -> bytes | None:
        """The bytes of a file; None where there is none. Raises BadInput for one that may not be read."""

    def content_id(self, path: str) -> str | None:
        """The content id of a file, however long; None where there is none."""

    def files(self, folder: str = "") -> tuple[str, ...]:
        """Paths of all files in a folder and below it, in order."""


def find_family(start: Path) -> Path:
    """The family that a folder stands in: the nearest one upwards with a family.yaml."""
    start = start.resolve()
    if not start.is_dir():
        raise AskedWrongly(f"{start} is not a folder", "a folder of a family")
    for folder in (start, *start.parents):
        if (folder / FAMILY_FILE).is_file():
            return folder
    raise AskedWrongly(
        f"there is no {FAMILY_FILE} in {start} or above it",
        "a folder of a family",
        "cd to one, name one with -C, or make one with: lineage start",
    )


def is_inside(path: str) -> bool:
    """Whether a path can be one of the family: relative, without `..`, empty steps or strange characters."""
    steps = path.split("/")
    clean = "\\" not in path and all(ord(character) >= 32 for character in path)
    return clean and not any(step in {"", ".", ".."} for step in steps)


def is_unfinished(name: str) -> bool:
    """Whether a name is that of a file or folder that a writer has not finished: no label looks like it."""
    return name.startswith(".") and name.endswith(UNFINISHED)


def _refused(path: str, code: str, what: str, wanted: str, mend: str) -> BadInput:
    place = Place(file=path, line=1, column=1)
    return BadInput([Problem(place=place, code=code, what=what, wanted=wanted, mend=mend)])


def outside(path: str) -> BadInput:
    """A path that leads out of the family."""
    return _refused(
        path, "outside-family", f"{path!r} leads out of the family", "a path inside it", "copy the file here"
    )


def too_long(path: str, size: int) -> BadInput:
    """A file longer than is read."""
    return _refused(
        path,
        "file-too-long",
        f"{path} has {size / 1024**2:.0f} MB",
        f"at most {READ_LIMIT // 1024**2} MB",
        "name it under files, which keeps its id alone",
    )


def too_many() -> BadInput:
    """A folder that is no family but a whole disk."""
    return _refused(
        FAMILY_FILE,
        "too-many-files",
        f"this folder has more than {FILES_LIMIT} files",
        "the files of one family",
        "move the family into a folder of its own",
    )


class WorkingTree:
    """The files as they lie in the working folder."""

    name = "now"

    def __init__(self, root: Path) -> None:
        self.root = root.resolve()
        self._plain: set[str] = set()  # folders that were found to lie inside with no link on the way

    def read(self, path: str) -> bytes | None:
        """The bytes of a file."""
        file = self._file(path)
        if file is None:
            return None
        size = file.stat().st_size
        if size > READ_LIMIT:
            raise too_long(path, size)
        return file.read_bytes()

    def content_id(self, path: str) -> str | None:
        """The content id of a file."""
        file = self._file(path)
        if file is None:
            return None
        with file.open("rb") as opened:
            return content_id_of(opened, os.fstat(opened.fileno()).st_size)

    def files(self, folder: str = "") -> tuple[str, ...]:
        """Paths of all files, links into the family included."""
        start = self.root / folder
        if folder and not is_inside(folder.rstrip("/")):
            raise outside(folder)
        found = []
        for number, path in enumerate(self._walk(start)):
            if number >= FILES_LIMIT:
                raise too_many()
            found.append(path)
        return tuple(sorted(found))

    def _walk(self, start: Path) -> Iterator[str]:
        for at, folders, names in os.walk(start):
            folders[:] = [name for name in folders if not name.startswith(".")]
            inside = Path(at).relative_to(self.root).as_posix()
            whole = (name for name in names if not is_unfinished(name))
            yield from (name if inside == "." else f"{inside}/{name}" for name in whole)

    def _file(self, path: str) -> Path | None:
        if not is_inside(path):
            raise outside(path)
        folder = path.rpartition("/")[0]
        if folder in self._plain and self._is_plain_file(path):
            return self.root / path
        try:
            file = (self.root / path).resolve(strict=True)
            mode = file.stat().st_mode
        except (FileNotFoundError, NotADirectoryError):
            return None
        except (OSError, RuntimeError) as error:  # a ring of links, a folder that is closed to us
            why = getattr(error, "strerror", None) or str(error)
            raise _refused(
                path, "unreadable", f"{path}: {why}", "a file", "see what it is with: ls -l"
            ) from error
        if not file.is_relative_to(self.root):
            raise outside(path)
        if stat.S_ISDIR(mode):
            return None
        if not stat.S_ISREG(mode):
            raise _refused(path, "not-a-file", f"{path} is a device or a pipe", "a file", "remove it")
        if file == self.root / path:
            self._plain.add(folder)
        return file

    def _is_plain_file(self, path: str) -> bool:
        """Whether a file of a folder that is known is one itself: no link, no device."""
        try:
            return stat.S_ISREG(os.lstat(self.root / path).st_mode)
        except OSError:
            return False


class AlteredTree:
    """Another tree with some files in place of its own: a state that nobody wrote.

    `ids` are of files that are other too, and whose content nobody kept.
    """

    def __init__(
        self, tree: Tree, files: Mapping[str, bytes], ids: Mapping[str, str] = MappingProxyType({})
    ) -> None:
        self.tree, self._files, self._ids = tree, files, ids
        self.name = tree.name

    def read(self, path: str) -> bytes | None:
        """The bytes of a file."""
        return self._files[path] if path in self._files else self.tree.read(path)

    def content_id(self, path: str) -> str | None:
        """The content id of a file."""
        if path in self._files:
            return content_id(self._files[path])
        return self._ids[path] if path in self._ids else self.tree.content_id(path)

    def files(self, folder: str = "") -> tuple[str, ...]:
        """Paths of all files."""
        start = f"{folder.rstrip('/')}/" if folder else ""
        own = (path for path in self._files if path.startswith(start))
        return tuple(sorted({*self.tree.files(folder), *own}))
