"""What a repository holds: revisions, listings, blobs, the index, the log."""

from collections.abc import Iterable, Mapping, Sequence
from datetime import datetime
from typing import Final

from msgspec import Struct

from lineage.archive.git import GitFailed, Repository
from lineage.problems import AskedWrongly

FILE, PROGRAM, LINK = "100644", "100755", "120000"
_BATCH: Final = 64 * 1024 * 1024  # bytes of blobs that one call may hold in memory


class Listed(Struct, frozen=True):
    """A file of a revision: its mode, the id of its blob and its length."""

    mode: str
    blob: str
    size: int


class IndexEntry(Struct, frozen=True):
    """An entry of the index; stages 1 to 3 stand for base, ours and theirs of a conflict."""

    path: str
    mode: str
    blob: str
    stage: int


class Commit(Struct, frozen=True, kw_only=True):
    """One line of the log."""

    id: str
    parents: tuple[str, ...]
    author: str
    when: datetime
    subject: str


def resolve_revision(repository: Repository, revision: str) -> str:
    """The id of the commit that a revision names; raises AskedWrongly."""
    wanted = "a branch, a tag or a commit of this repository"
    if not revision or any(ord(character) < 32 for character in revision):
        raise AskedWrongly(f"{revision!r} names no commit", wanted)
    try:
        answer = repository.run(
            "rev-parse", "--verify", "--quiet", "--end-of-options", f"{revision}^{{commit}}"
        )
    except GitFailed as error:
        mend = "this is a shallow clone: git fetch --unshallow brings the rest" if repository.shallow else ""
        raise AskedWrongly(f"{revision!r} names no commit", wanted, mend) from error
    return answer.decode("ascii").strip()


def head_commit(repository: Repository) -> str | None:
    """The id of the commit that is checked out; None before the first one."""
    answer = repository.run("rev-parse", "--verify", "--quiet", "HEAD^{commit}", fine=(0, 1))
    return answer.decode("ascii").strip() or None


def list_tree(repository: Repository, commit: str, folder: str = "") -> Mapping[str, Listed]:
    """Every file of the family in a commit, by path, in order; `folder` narrows it. No submodules."""
    under = repository.inside(folder).rstrip("/")
    paths = ("--", f"{under}/") if under else ()
    answer = repository.run("ls-tree", "-r", "-l", "-z", "--full-tree", commit, *paths)
    files = {}
    for record in answer.split(b"\0")[:-1]:
        head, _, name = record.partition(b"\t")
        mode, kind, blob, size = head.decode("ascii").split()
        path = repository.outside(name.decode(errors="surrogateescape"))
        if kind == "blob" and path is not None:
            files[path] = Listed(mode, blob, int(size) if size.isdigit() else 0)
    return dict(sorted(files.items()))


def read_blobs(repository: Repository, blobs: Iterable[Listed]) -> Mapping[str, bytes]:
    """The contents of blobs, by their id, in as few calls as memory allows."""
    contents: dict[str, bytes] = {}
    batch: list[str] = []
    held = 0
    for listed in dict.fromkeys(blobs):
        if batch and held + listed.size > _BATCH:
            contents |= _batch(repository, batch)
            batch, held = [], 0
        batch.append(listed.blob)
        held += listed.size
    return contents | _batch(repository, batch) if batch else contents


def _batch(repository: Repository, blobs: Sequence[str]) -> dict[str, bytes]:
    answer = repository.run(
        "cat-file", "--batch", "--buffer", given="".join(f"{b}\n" for b in blobs).encode()
    )
    contents = {}
    at = 0
    for blob in blobs:
        line_end = answer.index(b"\n", at)
        words = answer[at:line_end].decode("ascii").split()
        at = line_end + 1
        if len(words) != 3 or words[1] != "blob":
            raise GitFailed(
                f"the repository lacks the contents of {blob}",
                "a whole clone",
                "clone it without --filter, or run git fsck to see what is damaged",
            )
        size = int(words[2])
        contents[blob] = answer[at : at + size]
        at += size + 1
    return contents


def index_entries(repository: Repository, paths: Sequence[str] = ()) -> tuple[IndexEntry, ...]:
    """Entries of the index at paths of the family, or of the whole family."""
    return _entries(repository, "--stage", paths)


def unmerged_entries(repository: Repository, paths: Sequence[str] = ()) -> tuple[IndexEntry, ...]:
    """The sides of every conflict that is not solved yet."""
    return _entries(repository, "--unmerged", paths)


def _entries(repository: Repository, which: str, paths: Sequence[str]) -> tuple[IndexEntry, ...]:
    inside = [repository.inside(path) for path in paths or ("",)]
    answer = repository.run("ls-files", which, "-z", "--full-name", "--", *filter(None, inside))
    entries = []
    for record in answer.split(b"\0")[:-1]:
        head, _, name = record.partition(b"\t")
        mode, blob, stage = head.decode("ascii").split()
        path = repository.outside(name.decode(errors="surrogateescape"))
        if path is not None:
            entries.append(IndexEntry(path, mode, blob, int(stage)))
    return tuple(entries)


def log(
    repository: Repository, revision: str = "HEAD", paths: Sequence[str] = (), most: int | None = None
) -> tuple[Commit, ...]:
    """Commits from a revision backwards, the latest first; with `paths`, those alone that touched them."""
    if revision == "HEAD" and head_commit(repository) is None:
        return ()
    commit = resolve_revision(repository, revision)
    shape = "--format=tformat:%H%x00%P%x00%an%x00%aI%x00%s"
    limit = () if most is None else (f"--max-count={most}",)
    inside = [repository.inside(path) for path in paths] or [repository.prefix]
    answer = repository.run(
        "log", "-z", "--no-color", shape, *limit, "--end-of-options", commit, "--", *filter(None, inside)
    )
    fields = answer.decode(errors="replace").split("\0")[:-1]
    return tuple(
        Commit(
            id=fields[at],
            parents=tuple(fields[at + 1].split()),
            author=fields[at + 2],
            when=datetime.fromisoformat(fields[at + 3]),
            subject=fields[at + 4],
        )
        for at in range(0, len(fields), 5)
    )


_UNDER_WAY: Final = (
    ("rebase-merge", "a rebase"),
    ("rebase-apply", "a rebase"),
    ("MERGE_HEAD", "a merge"),
    ("CHERRY_PICK_HEAD", "a cherry-pick"),
    ("REVERT_HEAD", "a revert"),
    ("sequencer", "a cherry-pick or revert"),
    ("BISECT_LOG", "a bisection"),
)


def under_way(repository: Repository) -> str | None:
    """What the builder has begun and not finished: `a merge`, `a rebase` …; None where nothing is."""
    return next((what for name, what in _UNDER_WAY if (repository.folder / name).exists()), None)


def has_identity(repository: Repository) -> bool:
    """Whether git knows under whose name to commit."""
    try:
        repository.run("var", "GIT_COMMITTER_IDENT")
        repository.run("var", "GIT_AUTHOR_IDENT")
    except GitFailed:
        return False
    return True
