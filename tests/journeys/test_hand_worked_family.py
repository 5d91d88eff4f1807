"""A family laid down step by step answers what two people with pencil, tables and scipy worked out for it.

tests/data/hand-worked/ holds its files, the steps that lay it down, and every expected value with how it was worked
out; nothing of the program was used for that.
"""

import json
import math
import re
import shlex
import shutil
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pytest
import yaml

from lineage.cli.main import run

DATA = Path(__file__).parent.parent / "data" / "hand-worked"
LOGGING = ("measure", "bout", "snag")
NONE, ABSENT = "~none", "~absent"


class _Ours(yaml.CSafeLoader):
    """Dates and `2:10` stay text."""


_Ours.yaml_implicit_resolvers = {
    first: [(tag, pattern) for tag, pattern in resolvers if "timestamp" not in tag]
    for first, resolvers in yaml.CSafeLoader.yaml_implicit_resolvers.items()
}


def _loaded(name: str) -> Any:
    return yaml.load((DATA / name).read_text(encoding="utf-8"), _Ours)


BLOCKS = {block["ask"]: block["expect"] for block in _loaded("expected.yaml")}


@pytest.fixture(scope="module")
def family(tmp_path_factory) -> Path:
    """The family, as its steps lay it down with the program's own commands."""
    root = tmp_path_factory.mktemp("hand-worked") / "family"
    assert run(["start", str(root)]) == 0
    for step in _loaded("steps.yaml"):
        for path, source in step.get("put", {}).items():
            (root / path).parent.mkdir(parents=True, exist_ok=True)
            shutil.copy(DATA / source, root / path)
        for path, source in step.get("append", {}).items():
            with (root / path).open("ab") as log:
                log.write((DATA / source).read_bytes())
        for line in step.get("run", ()):
            words = [str(DATA / w) if w.startswith(("logs/", "notes/")) else w for w in shlex.split(line)]
            kept = ["--no-commit"] if words[0] in LOGGING else []  # a commit each would take most of the time
            assert run(["-C", str(root), *words, *kept]) == 0, line
    return root


@pytest.mark.parametrize("ask", BLOCKS)
def test_the_program_answers_what_was_worked_out_by_hand(family, ask, capsys):
    capsys.readouterr()
    assert run(["-C", str(family), *shlex.split(ask), "--json"]) == 0
    answer = json.loads(capsys.readouterr().out)
    wrong = {path: found for path, wanted in BLOCKS[ask].items() if (found := _differs(answer, path, wanted))}
    assert not wrong, "\n".join(f"{path}: {found}" for path, found in wrong.items())


def test_check_finds_what_was_put_there_to_be_found_and_nothing_else(family, capsys):
    assert run(["-C", str(family), "check", "--json"]) == 0
    problems = json.loads(capsys.readouterr().out)["problems"]
    assert sorted(problem["code"] for problem in problems) == [
        "material-against-class",
        "need-missed",
        "size-against-class",
        "uncertain-build",
        "uncertain-build",
        "unmatched-damage",
        "unmatched-damage",
    ]


def _differs(answer: Any, path: str, wanted: Any) -> str:
    """What is wrong at a path, empty where nothing is."""
    found = _at(answer, path)
    is_same = {NONE: found is None, ABSENT: found == ABSENT}.get(str(wanted))
    if is_same is None:
        is_set = path.startswith("access/") and isinstance(wanted, list) and isinstance(found, list)
        is_same = _same(sorted(found), sorted(wanted)) if is_set else _same(found, wanted)
    return "" if is_same else f"{found!r}, by hand {wanted!r}"


def _same(found: Any, wanted: Any) -> bool:
    if isinstance(wanted, Mapping):
        return isinstance(found, Mapping) and all(
            key in found and _same(found[key], value) for key, value in wanted.items()
        )
    if isinstance(wanted, list):
        return isinstance(found, list) and len(found) == len(wanted) and all(map(_same, found, wanted))
    if isinstance(wanted, bool) or not isinstance(wanted, int | float):
        return found == wanted
    is_number = isinstance(found, int | float) and not isinstance(found, bool)
    return is_number and math.isclose(found, wanted, rel_tol=1e-9, abs_tol=1e-9)


def _at(answer: Any, path: str) -> Any:
    for segment in re.split(r"/", path):
        if isinstance(answer, list):
            key, equals, value = segment.partition("=")
            alike = (
                [entry for entry in answer if entry.get(key) == value] if equals else answer[int(segment) :]
            )
            answer = alike[0] if alike else ABSENT
        elif isinstance(answer, Mapping) and segment in answer:
            answer = answer[segment]
        else:
            return ABSENT
        if answer == ABSENT:
            return ABSENT
    return answer
