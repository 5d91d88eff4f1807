"""Builds and lines that were changed after they were committed are told."""

import pytest

from lineage.archive.alterations import altered
from lineage.archive.git import find_repository
from lineage.archive.tree import WorkingTree
from tests.builders import SMALL, GitFamily

LINES = "- {on: 2026-05-02, kind: mass, is: 1352 g}\n- {on: 2026-05-03, kind: mass, is: 1349 g}\n"
FILES = {
    "results/avocet.yaml": LINES,
    "bouts/2026-05-02-spring.yaml": "- {robot: avocet, outcome: won}\n",
    "builds/avocet/A/build.yaml": "format: 1\non: 2026-05-02\n",
    "builds/avocet/A/spec.yaml": SMALL["robots/avocet.yaml"],
    "builds/avocet/drawings/lid-0123456789ab.dxf": b"0\nSECTION\n",
}


@pytest.fixture(params=["sha1", "sha256", "inside"])
def family(tmp_path, request):
    digest = "sha256" if request.param == "sha256" else "sha1"
    inside = "waders" if request.param == "inside" else ""
    family = GitFamily(tmp_path / "top", inside=inside, digest=digest)
    family.write(FILES)
    family.commit("Record")
    return family


def told(family):
    problems = altered(find_repository(family.root), WorkingTree(family.root))
    return [(problem.code, problem.place.file) for problem in problems]


def test_what_was_only_added_to_is_no_fault(family):
    family.write({"results/avocet.yaml": LINES + "- {on: 2026-05-04, kind: mass, is: 1340 g}\n"})
    assert told(family) == []
    family.commit("Weigh")
    assert told(family) == []


def test_a_record_edited_by_hand_is_told_even_where_its_ids_cannot_tell(family):
    family.write({"builds/avocet/A/build.yaml": "format: 1\non: 2026-05-09\n"})
    assert told(family) == [("build-changed", "builds/avocet/A/build.yaml")]
    family.commit("Change the day")
    assert told(family) == [("build-changed", "builds/avocet/A/build.yaml")]


def test_a_line_that_was_changed_or_taken_out_is_told(family):
    family.write({"results/avocet.yaml": LINES.replace("1352", "1252")})
    family.commit("Cheat")
    (family.root / "bouts/2026-05-02-spring.yaml").unlink()
    assert told(family) == [
        ("line-lost", "bouts/2026-05-02-spring.yaml"),
        ("line-lost", "results/avocet.yaml"),
    ]
    [lost] = [p for p in altered(find_repository(family.root), WorkingTree(family.root)) if "1352" in p.what]
    assert "1349" not in lost.what


def test_changed_line_ends_and_a_build_taken_out_whole_are_no_alteration(family):
    for path in FILES:
        file = family.root / path
        file.write_bytes(file.read_bytes().replace(b"\n", b"\r\n"))
    assert told(family) == []
    family.git("rm", "-r", "--quiet", "-f", "builds/avocet", at=family.root)
    assert told(family) == []


def test_before_the_first_commit_git_can_tell_nothing(tmp_path):
    family = GitFamily(tmp_path / "waders", FILES, commit=False)
    assert told(family) == []
