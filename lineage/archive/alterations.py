"""What git can tell of changes to what never changes: recorded builds and appended lines."""

from collections.abc import Mapping, Sequence
from hashlib import new as digest_of
from shlex import quote
from typing import Final

from lineage.archive.builds import BUILDS
from lineage.archive.git import Repository
from lineage.archive.ids import entry_id
from lineage.archive.revisions import Listed, head_commit, read_blobs
from lineage.archive.tree import Tree
from lineage.problems import Place, Problem, in_order

LOGS: Final = ("results", "bouts")


def altered(repository: Repository, tree: Tree) -> tuple[Problem, ...]:
    """Files of builds that are not as they were first committed, and lines of logs that are gone."""
    return in_order((*altered_builds(repository, tree), *lost_lines(repository, tree)))


def altered_builds(repository: Repository, tree: Tree) -> tuple[Problem, ...]:
    """Files of builds that differ from every version that was ever added under their path.

    Two branches may have added one path; a build that was taken out whole is taken out, and no fault.
    """
    added = _versions(repository, (BUILDS,), "--diff-filter=A")
    return tuple(
        _altered_build(path)
        for path in tree.files(BUILDS)
        if path in added and added[path].isdisjoint(_ids(tree.read(path) or b"", repository.digest))
    )


def lost_lines(repository: Repository, tree: Tree) -> tuple[Problem, ...]:
    """Entries of results and bouts that were committed once and are not there any more."""
    versions = _versions(repository, LOGS)
    blobs = read_blobs(repository, [Listed("", blob, 0) for ids in versions.values() for blob in sorted(ids)])
    problems = []
    for path, ids in versions.items():
        then = dict.fromkeys(line for blob in sorted(ids) for line in _entries(blobs[blob]))
        now = set(_entries(tree.read(path) or b""))
        problems += [_lost(path, line) for line in then if line not in now]
    return tuple(problems)


def _entries(data: bytes) -> Sequence[bytes]:
    lines = (line.removesuffix(b"\r") for line in data.split(b"\n"))
    return [line for line in lines if line.startswith(b"- ")]


def _versions(repository: Repository, folders: Sequence[str], *filters: str) -> Mapping[str, set[str]]:
    """Ids of the blobs that commits put under each path of these folders."""
    head = head_commit(repository)
    if head is None:
        return {}
    answer = repository.run(
        "log", "-z", "--raw", "--no-abbrev", "--no-renames", "--no-ext-diff", "--no-textconv", "--format=",
        *filters, "--end-of-options", head, "--", *(repository.inside(folder) for folder in folders),
    )  # fmt: skip
    versions: dict[str, set[str]] = {}
    words = iter(answer.split(b"\0"))
    for word in words:
        if word.startswith(b":"):
            blob = word.split()[3].decode("ascii")
            path = repository.outside(next(words).decode(errors="surrogateescape"))
            if path is not None and blob.strip("0"):
                versions.setdefault(path, set()).add(blob)
    return versions


def _ids(data: bytes, digest: str) -> set[str]:
    """Ids of a blob, its line ends as they are and as they may have been before git changed them."""
    plain = data.replace(b"\r\n", b"\n")
    forms = (data, plain, plain.replace(b"\n", b"\r\n"))
    return {digest_of(digest, b"blob %d\0%b" % (len(form), form)).hexdigest() for form in forms}


def _altered_build(path: str) -> Problem:
    return Problem(
        place=Place(path, 1, 1),
        code="build-changed",
        what="this file is not what was recorded and committed",
        wanted="a build as it was recorded: it is never changed",
        mend=f"git log -- {quote(path)} shows by whom; git checkout COMMIT -- {quote(path)} takes it back",
    )


def _lost(path: str, line: bytes) -> Problem:
    text = line.decode(errors="replace")
    return Problem(
        place=Place(path, 1, 1),
        code="line-lost",
        what=f"the entry {entry_id(line)} was committed and is not there any more: {text}",
        wanted="every line that was ever appended",
        mend="append the line again as it was, and correct it by a later one with --instead-of, or --withdraw it",
    )
