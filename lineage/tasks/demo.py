"""Replays the sample family into a new git repository, with fixed authors and dates."""

import os
import shlex
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from msgspec import Struct

from lineage.archive.attributes import GITATTRIBUTES, GITIGNORE
from lineage.archive.git import init_repository
from lineage.archive.keep import write_new
from lineage.archive.kept import keep
from lineage.problems import AskedWrongly, BadInput, LineageError
from lineage.reports.assets import sample_family
from lineage.spec.fields import plain
from lineage.spec.nodes import parse
from lineage.tasks.start import make_folder

Run = Callable[[Sequence[str]], int]


class Step(Struct, frozen=True, kw_only=True):
    """One step of the sample's history."""

    on: str
    who: str
    put: Mapping[str, str] = {}
    commit: str | None = None
    run: tuple[str, ...] = ()


def steps() -> tuple[Step, ...]:
    """The steps of the sample family, in order of time."""
    path = sample_family() / "history.yaml"
    document = parse(path.read_bytes(), "history.yaml")
    if document.root is None or document.problems:
        raise BadInput(tuple(document.problems))
    return tuple(_step(entry) for entry in plain(document.root))


def _step(entry: Mapping[str, Any]) -> Step:
    return Step(**{**entry, "run": tuple(entry.get("run", ()))})


def replay(folder: Path, run: Run, shown: Callable[[Step], None] = lambda _: None) -> int:
    """Makes the sample family in an empty folder; how many steps it took.

    `run` runs one command line in the family and returns its exit status.
    """
    if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
        raise AskedWrongly(f"{folder} is not empty", "a new or empty folder", "lineage demo ANOTHER-FOLDER")
    make_folder(folder)
    history = steps()
    for number, step in enumerate(history):
        with _as_of(step):
            if number == 0:
                _begin(folder)
            _put(folder, step)
            for line in step.run:
                _run(line, run)
        shown(step)
    return len(history)


def _begin(folder: Path) -> None:
    init_repository(folder)
    write_new(folder, ".gitattributes", GITATTRIBUTES.encode())
    write_new(folder, ".gitignore", GITIGNORE.encode())
    keep(folder, [".gitattributes", ".gitignore"], "Begin the family")


def _put(folder: Path, step: Step) -> None:
    for path, source in step.put.items():
        target = folder / path
        target.parent.mkdir(parents=True, exist_ok=True)
        target.write_bytes((sample_family() / source).read_bytes())
    if step.commit is not None:
        kept = keep(folder, list(step.put), step.commit)
        if kept.why_not is not None:
            raise LineageError(f"the sample family cannot be committed: {kept.why_not}")


def _run(line: str, run: Run) -> None:
    words = [_in_sample(word, before) for before, word in _with_previous(shlex.split(line))]
    status = run(words)
    if status != 0:
        raise LineageError(f"a step of the sample family failed with {status}: lineage {line}")


def _with_previous(words: Sequence[str]) -> Iterator[tuple[str, str]]:
    before = ""
    for word in words:
        yield before, word
        before = word


def _in_sample(word: str, before: str) -> str:
    """Files that a step reads lie beside the history."""
    return str(sample_family() / word) if before in {"--from", "--notes"} else word


@contextmanager
def _as_of(step: Step) -> Iterator[None]:
    """Git's own variables for who and when, so that commit ids come out the same everywhere."""
    email = f"{step.who.casefold()}@back-shed.example"
    given = {
        "GIT_AUTHOR_NAME": step.who,
        "GIT_AUTHOR_EMAIL": email,
        "GIT_AUTHOR_DATE": step.on,
        "GIT_COMMITTER_NAME": step.who,
        "GIT_COMMITTER_EMAIL": email,
        "GIT_COMMITTER_DATE": step.on,
    }
    before = {name: os.environ.get(name) for name in given}
    os.environ.update(given)
    try:
        yield
    finally:
        for name, value in before.items():
            if value is None:
                os.environ.pop(name, None)
            else:
                os.environ[name] = value
