"""One commit of just these files, made by plumbing, whatever else is staged."""

import os
import re
import shlex
import tempfile
import time
from collections.abc import Mapping
from contextlib import suppress
from datetime import UTC, date, datetime, timedelta
from pathlib import Path
from typing import Final

from lineage.archive.git import GitFailed, Repository, read_date
from lineage.archive.revisions import FILE, PROGRAM, under_way
from lineage.problems import NotNow

_TRIES: Final = 5
_RAW: Final = re.compile(r"@?[0-9]{1,11} [+-][0-9]{4}")  # what git itself stores
_PAUSE: Final = 0.2  # seconds; another git holds its locks for milliseconds


class NotStaged(GitFailed):
    """The commit is made, and the index still has the files as they were before. `commit` is its id."""

    def __init__(self, commit: str, why: str, mend: str) -> None:
        super().__init__(why, mend=mend)
        self.commit = commit


def commit_paths(
    repository: Repository, files: Mapping[str, bytes], message: str, *, when: str | None = None
) -> str | None:
    """Commit files of the family with these contents and nothing else; the id of the commit.

    None where the last commit has them already. `when` is a date that git reads, for author and committer,
    where GIT_AUTHOR_DATE and GIT_COMMITTER_DATE say nothing. Hooks are not run, nothing is signed. Works
    before the first commit and with no branch checked out. Raises NotNow while a merge is under way.
    """
    if (what := under_way(repository)) is not None:
        raise NotNow(f"{what} is under way", "a finished one", f"finish or abort {what}, then try again")
    assert files, "nothing to commit"
    with tempfile.TemporaryDirectory(prefix="lineage-") as scratch:
        entries = _entries(repository, files, Path(scratch))
        for attempt in range(_TRIES):
            index = Path(scratch, f"index-{attempt}")
            try:
                commit = _commit(repository, entries, message, _dates(when), index)
                break
            except GitFailed as error:
                if attempt == _TRIES - 1 or not _is_race(error):
                    raise
                time.sleep(_PAUSE)
    _stage(repository, entries, commit, tuple(files))
    return commit


def _entries(repository: Repository, files: Mapping[str, bytes], scratch: Path) -> bytes:
    """The lines that `update-index --index-info` takes, the blobs stored."""
    sources = []
    for number, data in enumerate(files.values()):
        source = scratch / str(number)
        source.write_bytes(data)
        sources.append(f"{source}\n")
    given = "".join(sources).encode()
    blobs = repository.run("hash-object", "-w", "--no-filters", "--stdin-paths", given=given).split()
    lines = [
        b"%s %s\t%s\0"
        % (mode_of(repository.root / path).encode(), blob, os.fsencode(repository.inside(path)))
        for path, blob in zip(files, blobs, strict=True)
    ]
    return b"".join(lines)


def mode_of(file: Path) -> str:
    """How git marks a file: whether it can be run."""
    return PROGRAM if os.access(file, os.X_OK) else FILE


def _commit(
    repository: Repository, entries: bytes, message: str, dates: Mapping[str, str], index: Path
) -> str | None:
    """Tree, commit and branch; None where the last commit has that very tree."""
    private = {"GIT_INDEX_FILE": str(index)}
    head, tree_before = _head(repository)
    if head is not None:
        repository.run("read-tree", head, also=private)
    repository.run("update-index", "--add", "-z", "--index-info", given=entries, also=private)
    tree = repository.run("write-tree", also=private).decode("ascii").strip()
    if tree == tree_before:
        return None
    parents = () if head is None else ("-p", head)
    made = repository.run("commit-tree", *parents, tree, given=message.encode(), also=dates)
    commit = made.decode("ascii").strip()
    subject = message.partition("\n")[0]
    repository.run("update-ref", "-m", f"commit: {subject}", "HEAD", commit, head or "0" * len(commit))
    return commit


def _head(repository: Repository) -> tuple[str | None, str | None]:
    """Ids of the commit that is checked out and of its tree; none before the first commit."""
    asked = b"HEAD^{commit}\nHEAD^{tree}\n"
    lines = (
        repository.run("cat-file", "--batch-check=%(objectname)", given=asked).decode("ascii").splitlines()
    )
    if any(line.endswith("missing") for line in lines):
        return None, None
    return lines[0], lines[1]


def _stage(repository: Repository, entries: bytes, commit: str | None, paths: tuple[str, ...]) -> None:
    """The same entries in the real index, so that what was committed does not look taken back."""
    for attempt in range(_TRIES):
        try:
            repository.run("update-index", "--add", "-z", "--index-info", given=entries)
        except GitFailed as error:
            if attempt == _TRIES - 1:
                mend = f"git add -- {shlex.join(paths)}"
                if commit is None:
                    raise
                raise NotStaged(commit, f"committed, but not staged: {error.what}", mend) from error
            time.sleep(_PAUSE)
        else:
            return


def _is_race(error: GitFailed) -> bool:
    return any(words in error.said for words in (".lock", "cannot lock ref", "but expected"))


def _dates(when: str | None) -> dict[str, str]:
    if when is None:
        return {}
    return {name: when for name in ("GIT_AUTHOR_DATE", "GIT_COMMITTER_DATE") if not os.environ.get(name)}


def commit_day() -> date:
    """The day that a commit made now would carry: what git's own date variables say, else today."""
    given = os.environ.get("GIT_AUTHOR_DATE") or os.environ.get("GIT_COMMITTER_DATE")
    if not given:
        return datetime.now().astimezone().date()
    with suppress(ValueError):
        return datetime.fromisoformat(given).date()
    written = given if _RAW.fullmatch(given) else read_date(given)
    seconds, zone = written.lstrip("@").split()
    return (datetime.fromtimestamp(int(seconds), UTC) + _offset(zone)).date()


def _offset(zone: str) -> timedelta:
    """`-0330` → minus three and a half hours."""
    minutes = int(zone[1:3]) * 60 + int(zone[3:5])
    return timedelta(minutes=-minutes if zone.startswith("-") else minutes)
