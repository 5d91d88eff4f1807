"""Committing what was just written, and saying why not where that cannot be."""

from collections.abc import Sequence
from pathlib import Path

from msgspec import Struct

from lineage.archive.commits import NotStaged, commit_paths
from lineage.archive.git import find_repository
from lineage.archive.locking import only_writer
from lineage.archive.tree import WorkingTree
from lineage.problems import NotNow


class Kept(Struct, frozen=True, kw_only=True):
    """What was kept: paths, the commit that holds them, or why there is none.

    `commit` is None too where the last commit had them already; then `why_not` is None. `note` says what else
    the builder should know.
    """

    paths: tuple[str, ...]
    commit: str | None = None
    why_not: str | None = None
    note: str | None = None

    @property
    def said(self) -> str:
        """What to tell the builder, where there is something to tell."""
        return f"kept, not committed: {self.why_not}" if self.why_not else self.note or ""


def keep(
    root: Path, paths: Sequence[str], message: str, *, commit: bool = True, when: str | None = None
) -> Kept:
    """Commit files of the family as they lie there, and nothing else. Never raises for what git cannot do now."""
    known = tuple(paths)
    if not commit:
        return Kept(paths=known, why_not="as asked")
    try:
        repository = find_repository(root)
        with only_writer(repository.root):  # another line may be appended, and committed, by another program
            tree = WorkingTree(root)
            files = {path: data for path in known if (data := tree.read(path)) is not None}
            made = commit_paths(repository, files, message, when=when)
    except NotStaged as error:
        return Kept(paths=known, commit=error.commit, note=str(error))
    except NotNow as error:
        return Kept(paths=known, why_not=": ".join(filter(None, (error.what, error.mend))))
    except OSError as error:  # a full disk, a folder that is closed to us
        return Kept(paths=known, why_not=f"{error.filename or 'git'}: {error.strerror}")
    return Kept(paths=known, commit=made)
