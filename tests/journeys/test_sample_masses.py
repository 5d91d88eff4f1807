"""The README of the sample family says what its builds weigh; so does the program."""

import re
from collections.abc import Iterator
from pathlib import Path

import pytest

from lineage.figures.weight import weigh
from lineage.spec.records import BuildRef
from lineage.tasks.drawings import measures_of
from lineage.tasks.workspace import open_family

README = Path(__file__).parents[2] / "sample-family" / "README.md"


def said() -> Iterator[tuple[str, float]]:
    """`DESIGN@LABEL` and its mass, from the two tables under Builds: a line a build, and a line a module."""
    section = README.read_text(encoding="utf-8").partition("## Builds")[2].partition("\n## ")[0]
    robot = ""
    for line in section.splitlines():
        first, second, *rest = [cell.strip() for cell in line.split("|")[1:-1]] or ("", "")
        name = re.split(r"[, ]", first)[0]
        labels = re.findall(r"([A-E]) 20", second)
        if labels:
            yield from (
                (f"{name}@{label}", float(g)) for label, g in zip(labels, rest[0].split(","), strict=True)
            )
        elif re.fullmatch("[A-E]|now", second):
            robot = name or robot
            yield f"{robot}@{second}", float(rest[1])


@pytest.fixture(scope="module")
def workspace(demo):
    return open_family(demo)


def test_the_tables_have_every_build():
    assert len(list(said())) == 18 + 12


@pytest.mark.parametrize("build, grams", list(said()))
def test_a_build_weighs_what_the_readme_says_before_any_part_was_weighed(workspace, build, grams):
    assembly = workspace.assembly(BuildRef(*build.split("@")))
    weight = weigh(assembly, measures_of(workspace, assembly))
    assert weight.is_complete
    assert weight.predicted.value == pytest.approx(grams, abs=0.0501)
