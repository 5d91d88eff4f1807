"""The only door to git: every call in an environment in which a stranger's repository runs nothing.

GitPython is loaded on the first call, so that reading builds never needs it. Its object layer is not used: it
knows no SHA-256 repositories. `status`, `diff` and whatever else looks at working files through filters is
not called at all.
"""

import os
from collections.abc import Mapping, Sequence
from functools import cache
from pathlib import Path
from shlex import quote
from typing import TYPE_CHECKING, Final

from msgspec import Struct

from lineage.problems import AskedWrongly, NotNow

if TYPE_CHECKING:
    from git.cmd import Git

OLDEST: Final = (2, 31)  # the first that takes settings from GIT_CONFIG_COUNT

# Settings of a repository that can start programs, or that change what is stored. The values go to every call
# through the environment, where they come after those of the repository and of the user.
_SETTINGS: Final = {
    "core.hooksPath": "/dev/null",
    "core.fsmonitor": "",
    "core.pager": "cat",
    "core.editor": "true",
    "core.sshCommand": "false",
    "core.quotePath": "false",
    "core.fsync": "committed",
    "log.showSignature": "false",
    "gpg.program": "false",
    "gpg.ssh.program": "false",
    "gpg.x509.program": "false",
    "commit.gpgSign": "false",
    "i18n.commitEncoding": "UTF-8",
    "i18n.logOutputEncoding": "UTF-8",
    "protocol.allow": "never",
    "gc.auto": "0",
    "maintenance.auto": "false",
    "user.useConfigOnly": "true",  # a name guessed from the machine is no identity
}

_ENVIRONMENT: Final = {
    "GIT_NO_LAZY_FETCH": "1",
    "GIT_ALLOW_PROTOCOL": "none",
    "GIT_TERMINAL_PROMPT": "0",
    "GIT_OPTIONAL_LOCKS": "0",
    "GIT_NO_REPLACE_OBJECTS": "1",
    "GIT_LITERAL_PATHSPECS": "1",
    "GIT_PAGER": "cat",
    "LC_ALL": "C",
    "LANGUAGE": "C",
}

# Set by git for its own children (in a hook, say), these would turn calls to another repository or index.
_ASTRAY: Final = (
    "GIT_DIR",
    "GIT_WORK_TREE",
    "GIT_COMMON_DIR",
    "GIT_INDEX_FILE",
    "GIT_OBJECT_DIRECTORY",
    "GIT_ALTERNATE_OBJECT_DIRECTORIES",
    "GIT_NAMESPACE",
    "GIT_PREFIX",
    "GIT_SHALLOW_FILE",
    "GIT_GRAFT_FILE",
    "GIT_GLOB_PATHSPECS",
    "GIT_NOGLOB_PATHSPECS",
    "GIT_ICASE_PATHSPECS",
    "GIT_EXTERNAL_DIFF",
)

_NO_IDENTITY: Final = ("tell me who you are", "no email was given", "no name was given", "empty ident name")


class GitFailed(NotNow):
    """git said no: what it said stands in `said`."""

    def __init__(self, what: str, wanted: str = "", mend: str = "", *, said: str = "") -> None:
        super().__init__(what, wanted, mend)
        self.said = said


class NoRepository(GitFailed):
    """The folder stands in no git repository."""


class Repository(Struct, frozen=True, kw_only=True):
    """The repository around a folder.

    `root` is the folder, `top` that of the whole working tree, `prefix` the way from `top` to `root` (empty,
    or with `/` at its end); `folder` is git's own for this working tree, `digest` its object format;
    `filters` names programs that its settings put between files and blobs: they are switched off one by one.
    """

    root: Path
    top: Path
    prefix: str
    folder: Path
    digest: str = "sha1"
    shallow: bool = False
    filters: tuple[str, ...] = ()

    def run(
        self,
        *arguments: str,
        given: bytes | None = None,
        also: Mapping[str, str] | None = None,
        fine: Sequence[int] = (0,),
    ) -> bytes:
        """What git answers to plumbing at the top of the working tree; raises GitFailed."""
        status, answer, said = _call(self.top, arguments, given, also, self.filters)
        if status not in fine:
            raise _failure(self.top, arguments[0], said)
        return answer

    def inside(self, path: str) -> str:
        """A path of the family as a path of the repository."""
        return self.prefix + path

    def outside(self, path: str) -> str | None:
        """A path of the repository as one of the family; None where it is another's."""
        return path.removeprefix(self.prefix) if path.startswith(self.prefix) else None


_Stamp = tuple[Path | tuple[int, int, int] | None, ...]
_found: Final[dict[Path, tuple[_Stamp, Repository]]] = {}


def find_repository(root: Path) -> Repository:
    """The repository that a folder stands in; raises NoRepository or, where it cannot be used, GitFailed.

    One that was found before is asked again only when its settings changed: the sample family is replayed in
    one process with hundreds of commits.
    """
    root = root.resolve()
    top = next((folder for folder in (root, *root.parents) if (folder / ".git").exists()), None)
    if top is None:
        raise NoRepository("there is no git repository here", mend="git init")
    stamp = _stamp(top)
    known, repository = _found.get(root, ((), None))
    if repository is None or known != stamp or not (top / ".git/config").exists():
        repository = _find(root)
        _found[root] = (stamp, repository)
    return repository


def _stamp(top: Path) -> _Stamp:
    """What changes when another repository, or other settings, hold for a folder."""
    return (top, *(_age(top / ".git" / name) for name in ("config", "config.worktree", "shallow")))


def _age(file: Path) -> tuple[int, int, int] | None:
    try:
        status = file.stat()
    except OSError:
        return None
    return status.st_ino, status.st_size, status.st_mtime_ns


def _find(root: Path) -> Repository:
    asked = (
        "--is-bare-repository",
        "--is-inside-work-tree",
        "--is-shallow-repository",
        "--show-object-format",
    )
    where = ("--absolute-git-dir", "--show-prefix", "--show-toplevel")
    status, answer, said = _call(root, ("rev-parse", *asked, *where))
    lines = os.fsdecode(answer).split("\n")
    if lines[:1] == ["true"] or (not status and lines[1] != "true"):
        raise GitFailed(
            "this folder is not in the working tree of its git repository",
            "a repository with a working tree",
            "clone it, or look for core.bare and core.worktree in its settings",
        )
    if status:
        raise _failure(root, "rev-parse", said)
    if len(lines) != len(asked) + len(where) + 1:
        raise GitFailed("a folder name with a line break in it cannot be used", mend="rename the folder")
    _, _, shallow, digest, folder, prefix, top, _ = lines
    return Repository(
        root=root,
        top=Path(top),
        prefix=prefix,
        folder=Path(folder),
        digest=digest,
        shallow=shallow == "true",
        filters=_filters(Path(top)),
    )


def _filters(top: Path) -> tuple[str, ...]:
    """Names of the filters in the settings: writing an index asks them whether young files have changed."""
    status, answer, said = _call(top, ("config", "--null", "--name-only", "--get-regexp", r"^filter\..*\."))
    if status not in {0, 1}:
        raise _failure(top, "config", said)
    keys = os.fsdecode(answer).split("\0")[:-1]
    return tuple(dict.fromkeys(key.removeprefix("filter.").rpartition(".")[0] for key in keys))


def init_repository(root: Path) -> Repository:
    """Make the folder a repository of its own, unless it stands in one already."""
    try:
        return find_repository(root)
    except NoRepository:
        status, _, said = _call(root.resolve(), ("init", "--quiet"))
        if status:
            raise _failure(root, "init", said) from None
        return find_repository(root)


def init_bare(folder: Path, digest: str) -> Repository:
    """An empty repository without working files, in an empty folder."""
    status, _, said = _call(folder, ("init", "--quiet", "--bare", f"--object-format={digest}", "--template="))
    if status:
        raise _failure(folder, "init", said)
    return Repository(root=folder, top=folder, prefix="", folder=folder, digest=digest)


def read_date(given: str) -> str:
    """A date of any form that git reads, as it would store it: seconds and zone; raises AskedWrongly."""
    who = {"GIT_AUTHOR_NAME": "-", "GIT_AUTHOR_EMAIL": "-", "GIT_AUTHOR_DATE": given}
    status, answer, _ = _call(Path("/"), ("var", "GIT_AUTHOR_IDENT"), also=who)
    if status:
        raise AskedWrongly(f"git cannot read the date {given!r}", "one such as 2026-05-01T12:00:00")
    return " ".join(os.fsdecode(answer).split()[-2:])


@cache
def _git() -> "type[Git]":
    """GitPython's runner, with a git that is new enough behind it."""
    os.environ.setdefault("GIT_PYTHON_REFRESH", "quiet")
    try:
        from git.cmd import Git  # noqa: PLC0415 - 50 ms that reading builds does not need
    except ImportError as error:
        raise NotNow(f"GitPython cannot be loaded: {error}", mend="pip install gitpython") from error
    from git.exc import GitCommandError, GitCommandNotFound  # noqa: PLC0415

    wanted = f"git {'.'.join(map(str, OLDEST))} or newer"
    try:
        version = Git().version_info
    except (GitCommandNotFound, GitCommandError, PermissionError) as error:
        raise NotNow(
            "git is not installed", wanted, "install git, or see that PATH names its folder"
        ) from error
    if version < OLDEST:
        raise NotNow(f"git {'.'.join(map(str, version))} is too old", wanted, "install a newer git")
    return Git


def _call(
    folder: Path,
    arguments: Sequence[str],
    given: bytes | None = None,
    also: Mapping[str, str] | None = None,
    filters: Sequence[str] = (),
) -> tuple[int, bytes, str]:
    """Exit status, answer and messages of one call of git."""
    from subprocess import PIPE  # noqa: PLC0415 - 4 ms that reading builds does not need

    git = _git()
    process = git(str(folder)).execute(
        [*_unset(also or {}), git.GIT_PYTHON_GIT_EXECUTABLE or "git", "-C", str(folder), *arguments],
        istream=PIPE,
        as_process=True,
        env={**_environment(filters), **(also or {})},
    )
    answer, said = process.communicate(given)
    return process.returncode, answer, said.decode(errors="replace")


def _unset(also: Mapping[str, str]) -> tuple[str, ...]:
    """What stands before git to take away variables that lead it astray: GitPython can only add some."""
    names = [name for name in _ASTRAY if name in os.environ and name not in also]
    return ("env", *(word for name in names for word in ("-u", name))) if names else ()


def _environment(filters: Sequence[str]) -> dict[str, str]:
    """The environment of every call; settings that the user gave this way stay, before ours."""
    given = os.environ.get("GIT_CONFIG_COUNT", "")
    start = int(given) if given.isascii() and given.isdigit() else 0
    environment = dict(_ENVIRONMENT)
    settings = dict(_SETTINGS)
    for name in filters:
        settings |= {f"filter.{name}.{key}": "" for key in ("clean", "smudge", "process")}
        settings[f"filter.{name}.required"] = "false"
    for number, (key, value) in enumerate(settings.items(), start):
        environment[f"GIT_CONFIG_KEY_{number}"] = key
        environment[f"GIT_CONFIG_VALUE_{number}"] = value
    environment["GIT_CONFIG_COUNT"] = str(start + len(settings))
    return environment


def _failure(folder: Path, command: str, said: str) -> GitFailed:
    """A refusal of git in the words of a builder."""
    lowered = said.lower()
    if "dubious ownership" in lowered or "unsafe repository" in lowered:
        return GitFailed(
            f"git does not read {folder}: it belongs to somebody else",
            "a repository of your own",
            f"if you trust its owner: git config --global --add safe.directory {quote(str(folder))}",
            said=said,
        )
    if any(words in lowered for words in _NO_IDENTITY):
        return GitFailed(
            "git does not know who you are",
            "a name and an address to commit under",
            'git config --global user.name "NAME" && git config --global user.email "ADDRESS"',
            said=said,
        )
    if ".lock': file exists" in lowered or ("unable to create" in lowered and ".lock" in lowered):
        return GitFailed(
            "another git is at work in this repository", mend="try again when it is done", said=said
        )
    if "not a git repository" in lowered or "invalid gitfile" in lowered:
        return NoRepository("there is no usable git repository here", mend="git init", said=said)
    first = next((line for line in said.splitlines() if line.strip()), "no reason given")
    return GitFailed(f"git {command} failed: {first.removeprefix('fatal: ')}", said=said)
