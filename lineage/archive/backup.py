"""Safety copies: the whole history in one file, opened and looked through before it counts."""

import os
import tempfile
from collections.abc import Sequence
from io import BytesIO
from pathlib import Path

from msgspec import Struct

from lineage.archive.git import GitFailed, Repository, init_bare
from lineage.archive.ids import content_id_of
from lineage.archive.keep import make_durable
from lineage.archive.revisions import Listed, head_commit, list_tree
from lineage.archive.tree import WorkingTree
from lineage.problems import AskedWrongly, NotNow


class Backup(Struct, frozen=True, kw_only=True):
    """A safety copy: where, how many commits, and which files of the family are not in it as they are now."""

    file: Path
    commits: int
    refs: tuple[str, ...]
    left_out: tuple[str, ...] = ()


def make_backup(repository: Repository, folder: Path, name: str) -> Backup:
    """Write `folder/NAME-<commit>.bundle` with every branch and tag, and open it elsewhere to see that it is whole.

    A copy of the same name is replaced only by one that has been looked through. Raises NotNow, AskedWrongly.
    """
    folder = folder.resolve()
    head = head_commit(repository)
    if head is None:
        raise NotNow("nothing is committed yet", "a commit to copy", "lineage record, or git commit")
    if repository.shallow:
        raise NotNow("this is a shallow clone: it lacks the history", "a whole one", "git fetch --unshallow")
    if folder.is_relative_to(repository.top):
        raise AskedWrongly(f"{folder} is in the repository itself", "a folder on another disk")
    if not folder.is_dir():
        raise AskedWrongly(f"there is no folder {folder}", "a folder that is there", f"mkdir -p {folder}")
    file = folder / f"{name}-{head[:10]}.bundle"
    beside = folder / f".{file.name}.partial"
    try:
        repository.run("bundle", "create", "--quiet", str(beside), "--all", "HEAD")
        commits, refs = check_backup(beside)
        with beside.open("rb") as opened:
            os.fsync(opened.fileno())
        beside.replace(file)
        make_durable(folder)
    except OSError as error:
        raise NotNow(
            f"cannot write {file}: {error.strerror}", mend="see to the disk, and do it again"
        ) from error
    finally:
        beside.unlink(missing_ok=True)
    return Backup(file=file, commits=commits, refs=refs, left_out=uncommitted(repository))


def check_backup(file: Path) -> tuple[int, tuple[str, ...]]:
    """Commits and refs of a safety copy, after unpacking it into an empty repository and walking all of it."""
    with tempfile.TemporaryDirectory(prefix="lineage-") as scratch:
        try:
            repository = init_bare(Path(scratch), _digest(file))
            answer = repository.run("bundle", "unbundle", str(file.resolve())).decode(errors="replace")
            heads = [line.split(" ", 1) for line in answer.splitlines()]
            ids = sorted({commit for commit, _ in heads})
            repository.run(
                "rev-list", "--objects", "--quiet", *ids
            )  # every object that they lead to is there
            count = repository.run("rev-list", "--count", *ids)
        except GitFailed as error:
            raise NotNow(
                f"the copy {file.name} is not whole: {error.what}", "a whole one", "make it again"
            ) from error
    return int(count), tuple(name for _, name in heads)


def _digest(file: Path) -> str:
    """The object format that the head of a bundle names."""
    with file.open("rb") as opened:
        head = opened.read(200)
    return "sha256" if b"@object-format=sha256" in head else "sha1"


def uncommitted(repository: Repository) -> tuple[str, ...]:
    """Files of the family that the last commit has not, or has otherwise; ignored ones left out."""
    tree = WorkingTree(repository.root)
    head = head_commit(repository)
    listed = list_tree(repository, head) if head is not None else {}
    changed = [path for path in tree.files() if not _is_as(repository, path, listed.get(path))]
    ignored = _ignored(repository, [path for path in changed if path not in listed])
    return tuple(path for path in changed if path not in ignored)


def _is_as(repository: Repository, path: str, listed: Listed | None) -> bool:
    """Whether a working file is what was committed; a link stands for the path that it holds."""
    file = repository.root / path
    if listed is None:
        return False
    try:
        if file.is_symlink():
            target = os.fsencode(file.readlink())
            return content_id_of(BytesIO(target), len(target), repository.digest) == listed.blob
        with file.open("rb") as opened:
            return content_id_of(opened, file.stat().st_size, repository.digest) == listed.blob
    except OSError:
        return False


def _ignored(repository: Repository, paths: Sequence[str]) -> set[str]:
    """Those that the builder told git to ignore; `./` keeps a name from being taken for a pattern."""
    given = "".join(f"./{repository.inside(path)}\0" for path in paths).encode(errors="surrogateescape")
    patterns = {"GIT_LITERAL_PATHSPECS": "0"}  # this one command of git refuses the word
    answer = repository.run("check-ignore", "-z", "--stdin", given=given, also=patterns, fine=(0, 1))
    inside = (path.decode(errors="surrogateescape")[2:] for path in answer.split(b"\0")[:-1])
    return {path for each in inside if (path := repository.outside(each)) is not None}
