"""The installed program, run as a builder runs it."""

import json
import os
import subprocess
import sys
from collections.abc import Mapping
from contextlib import chdir, redirect_stderr, redirect_stdout
from io import StringIO
from pathlib import Path
from typing import Any, NamedTuple

from lineage.cli.main import run


class Answer(NamedTuple):
    """What a call came to."""

    status: int
    out: str
    err: str

    @property
    def json(self) -> Any:
        """The answer as an object; NaN and infinity are refused, as JSON knows neither."""
        return json.loads(self.out, parse_constant=_refuse)


def _refuse(word: str) -> None:
    raise AssertionError(f"{word} in an answer")


def call(
    command: list[str], at: Path, env: Mapping[str, str | None] | None = None, typed: str = ""
) -> Answer:
    """Runs a command in a folder; a variable that is None is taken away."""
    changed = {**os.environ, **(env or {})}
    done = subprocess.run(
        command,
        cwd=at,
        env={name: value for name, value in changed.items() if value is not None},
        stdin=subprocess.DEVNULL,
        capture_output=True,
        check=False,
    )
    return Answer(done.returncode, done.stdout.decode(), done.stderr.decode())


def installed(at: Path, *words: str, env: Mapping[str, str | None] | None = None) -> Answer:
    """`lineage WORDS` in a folder, as a program of its own."""
    return call([sys.executable, "-m", "lineage", *words], at, env)


def lineage(at: Path, *words: str, env: Mapping[str, str | None] | None = None) -> Answer:
    """`lineage WORDS` in a folder: within this process for speed, as a program of its own where `env` differs."""
    if env is not None:
        return installed(at, *words, env=env)
    out, err = StringIO(), StringIO()
    with chdir(at), redirect_stdout(out), redirect_stderr(err):
        status = run(list(words))
    return Answer(status, out.getvalue(), err.getvalue())


def fine(at: Path, *words: str, env: Mapping[str, str | None] | None = None) -> Answer:
    """`lineage WORDS` in a folder, which has to go well."""
    answer = lineage(at, *words, env=env)
    assert answer.status == 0, f"lineage {' '.join(words)}: {answer.status}\n{answer.out}{answer.err}"
    return answer


def files_of(root: Path) -> dict[str, bytes]:
    """Every file under a folder, git's own left out: what was written, and that nothing was."""
    return {
        str(path.relative_to(root)): path.read_bytes()
        for path in sorted(root.rglob("*"))
        if path.is_file() and ".git" not in path.relative_to(root).parts
    }
