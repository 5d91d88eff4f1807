"""Families and git repositories for tests, from a few words.

Identity, dates and settings are fixed; the settings and the home of whoever runs the tests are out of reach.
"""

import os
import subprocess
from collections.abc import Mapping
from datetime import UTC, datetime, timedelta
from pathlib import Path

FIRST_DAY = datetime(2026, 3, 7, 12, tzinfo=UTC)

IDENTITY = {
    "GIT_AUTHOR_NAME": "Robin Bench",
    "GIT_AUTHOR_EMAIL": "robin@bench.example",
    "GIT_COMMITTER_NAME": "Robin Bench",
    "GIT_COMMITTER_EMAIL": "robin@bench.example",
}

FAMILY = """\
family: waders
classes:
  3lb: {limit: 3 lb}
stock:
  pc-3: {material: polycarbonate, thickness: 3 mm ± 0.15 mm}
"""

ROBOT = """\
robot: avocet
class: 3lb
parts:
  lid: {stock: pc-3, area: 100 cm2}
  battery: {role: power, mass: 92 g weighed}
"""

MODULE = """\
module: drive-pod
parts:
  motor: {role: drive, mass: 41 g weighed}
  gearbox: {role: drive, mass: 23 g listed}
"""

SMALL: Mapping[str, str] = {
    "family.yaml": FAMILY,
    "robots/avocet.yaml": ROBOT,
    "modules/drive-pod.yaml": MODULE,
}


def isolate(home: Path) -> None:
    """Make this process, and what it starts, blind to the settings of whoever runs it."""
    for name in [name for name in os.environ if name.startswith("GIT_")]:
        del os.environ[name]
    os.environ |= {
        "HOME": str(home),
        "XDG_CONFIG_HOME": str(home / ".config"),
        "XDG_CACHE_HOME": str(home / ".cache"),
        "GIT_CONFIG_NOSYSTEM": "1",
        "GIT_CONFIG_GLOBAL": os.devnull,
        "GIT_CEILING_DIRECTORIES": str(home),
        "ROBOT_LINEAGE_CACHE": "off",
        "TZ": "UTC",
        **IDENTITY,
    }
    for name in ("EMAIL", "NO_COLOR", "FORCE_COLOR"):
        os.environ.pop(name, None)


def write_files(root: Path, files: Mapping[str, str | bytes]) -> Path:
    """Put files under a folder; the folder."""
    for path, content in files.items():
        file = root / path
        file.parent.mkdir(parents=True, exist_ok=True)
        file.write_bytes(content.encode() if isinstance(content, str) else content)
    return root


def make_family(root: Path, files: Mapping[str, str | bytes] = SMALL) -> Path:
    """A family as files alone, without git."""
    root.mkdir(parents=True, exist_ok=True)
    return write_files(root, files)


class GitFamily:
    """A family in a real repository; commits are an hour apart, from `FIRST_DAY` on."""

    def __init__(
        self,
        top: Path,
        files: Mapping[str, str | bytes] = SMALL,
        *,
        inside: str = "",
        digest: str = "sha1",
        commit: bool = True,
    ) -> None:
        self.top = top
        self.root = top / inside
        self.commits = 0
        top.mkdir(parents=True, exist_ok=True)
        self.git("init", "--quiet", "--initial-branch=main", f"--object-format={digest}")
        make_family(self.root, files)
        if commit:
            self.commit("Begin", self.root)

    def git(self, *arguments: str, fine: bool = True, at: Path | None = None) -> str:
        """What the builder's own git answers; `fine` asks that it succeeds."""
        done = subprocess.run(
            ["git", "-C", str(at or self.top), *arguments],
            capture_output=True,
            text=True,
            check=False,
            env={**os.environ, **self.dates()},
        )
        assert not fine or done.returncode == 0, done.stderr
        return done.stdout.strip("\n")

    def dates(self) -> dict[str, str]:
        """The dates of the next commit."""
        when = (FIRST_DAY + timedelta(hours=self.commits)).isoformat()
        return {"GIT_AUTHOR_DATE": when, "GIT_COMMITTER_DATE": when}

    def commit(self, message: str, *paths: Path | str) -> str:
        """Commit paths (everything, where none is given) as a builder would; the id."""
        self.git("add", "--", *(map(str, paths) if paths else (".",)))
        self.git("commit", "--quiet", "--allow-empty", "-m", message)
        self.commits += 1
        return self.git("rev-parse", "HEAD")

    def write(self, files: Mapping[str, str | bytes]) -> None:
        """Put files into the family, uncommitted."""
        write_files(self.root, files)

    def clone(self, to: Path) -> "GitFamily":
        """Another laptop with the same history."""
        self.git("clone", "--quiet", str(self.top), str(to))
        other = object.__new__(GitFamily)
        other.top, other.root, other.commits = to, to / self.root.relative_to(self.top), self.commits
        return other

    @property
    def status(self) -> str:
        """What `git status` would say; empty when clean."""
        return self.git("status", "--porcelain")

    @property
    def staged(self) -> list[str]:
        """Paths that are staged and not committed."""
        return self.git("diff", "--cached", "--name-only").splitlines()

    def show(self, spec: str) -> bytes:
        """The bytes of `COMMIT:PATH` or `:PATH`."""
        command = ["git", "-C", str(self.top), "cat-file", "blob", spec]
        return subprocess.run(command, capture_output=True, check=True).stdout

    def changed_in(self, commit: str = "HEAD") -> list[str]:
        """Paths that a commit touched."""
        shown = self.git("show", "--format=", "--name-only", commit)
        return sorted(shown.splitlines())
