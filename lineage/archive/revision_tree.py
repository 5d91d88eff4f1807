"""The files of a family as they stood in a commit. Apart from the working folder, because only this needs git."""

import os
from collections.abc import Iterable
from pathlib import PurePosixPath
from typing import Final

from msgspec.structs import replace

from lineage.archive.git import Repository
from lineage.archive.ids import content_id
from lineage.archive.revisions import LINK, Listed, list_tree, read_blobs, resolve_revision
from lineage.archive.tree import (
    FAMILY_FILE,
    FILES_LIMIT,
    READ_LIMIT,
    is_inside,
    outside,
    too_long,
    too_many,
)
from lineage.problems import AskedWrongly

_AHEAD: Final = 2 * 1024 * 1024  # a folder's files up to this length are read along with the first of them
_LINKS: Final = 8


class RevisionTree:
    """The files as they stood in a commit: listed once, read a folder at a time."""

    def __init__(self, repository: Repository, revision: str) -> None:
        self.name = f"git:{revision}"
        self.commit = resolve_revision(repository, revision)
        self._listed = list_tree(repository, self.commit)
        if FAMILY_FILE not in self._listed:
            repository = _where_it_stood(repository, self.commit, revision)
            self._listed = list_tree(repository, self.commit)
        self.repository = repository
        self._read: dict[str, bytes] = {}
        if len(self._listed) > FILES_LIMIT:
            raise too_many()

    def read(self, path: str) -> bytes | None:
        """The bytes of a file."""
        listed = self._find(path)
        if listed is None:
            return None
        if listed.size > READ_LIMIT:
            raise too_long(path, listed.size)
        if listed.blob not in self._read:
            beside = (other for name, other in self._listed.items() if _folder(name) == _folder(path))
            self._fetch([listed, *(other for other in beside if other.size <= _AHEAD)])
        return self._read[listed.blob]

    def content_id(self, path: str) -> str | None:
        """The content id of a file: its blob's, except in a repository with longer ids."""
        listed = self._find(path)
        if listed is None or self.repository.digest == "sha1":
            return None if listed is None else listed.blob
        return content_id(read_blobs(self.repository, [listed])[listed.blob])

    def files(self, folder: str = "") -> tuple[str, ...]:
        """Paths of all files."""
        start = f"{folder.rstrip('/')}/" if folder else ""
        return tuple(path for path in self._listed if path.startswith(start) and not _is_hidden(path))

    def _fetch(self, wanted: Iterable[Listed]) -> None:
        missing = [listed for listed in wanted if listed.blob not in self._read]
        self._read |= read_blobs(self.repository, missing)

    def _find(self, path: str) -> Listed | None:
        """What stands at a path, links followed."""
        if not is_inside(path):
            raise outside(path)
        at = path
        for _ in range(_LINKS):
            listed = self._listed.get(at)
            if listed is None or listed.mode != LINK:
                return listed
            self._fetch([listed])
            target = os.fsdecode(self._read[listed.blob])
            joined = os.path.normpath(PurePosixPath(at).parent / target)
            if target.startswith("/") or not is_inside(joined):
                raise outside(path)
            at = joined
        raise outside(path)


def _where_it_stood(repository: Repository, commit: str, revision: str) -> Repository:
    """The repository seen from the folder that the family was in then; it may have been moved since.

    Raises AskedWrongly where there was none, or more than one and nobody can tell which was this one.
    """
    everything = list_tree(replace(repository, prefix=""), commit)
    found = [path.removesuffix(FAMILY_FILE) for path in everything if _is_family(path)]
    if len(found) == 1:
        return replace(repository, prefix=found[0])
    here = repository.prefix or "the top of the repository"
    raise AskedWrongly(
        f"at {revision} there was no family in {here}",
        "a commit of this family" if not found else "a commit after the family was moved here",
        "" if not found else f"families then: {', '.join(folder or 'the top' for folder in found)}",
    )


def _is_family(path: str) -> bool:
    """Whether a path is that of a family.yaml which is no build's copy."""
    folder, _, name = path.rpartition("/")
    return name == FAMILY_FILE and "builds" not in folder.split("/")


def _folder(path: str) -> str:
    """The files that are read together: a top folder, but only one design's of `builds`."""
    steps = path.split("/")
    return "/".join(steps[:2] if steps[0] == "builds" else steps[:1] if len(steps) > 1 else ())


def _is_hidden(path: str) -> bool:
    return any(step.startswith(".") for step in path.split("/")[:-1])
