"""What is only described better keeps its weighings, in builds and in the working files."""

import pytest

from lineage.cli.main import run
from lineage.tasks.chain import only_described_better
from lineage.tasks.workspace import open_family
from tests.builders import GitFamily

FAMILY = "family: grebes\nclasses: {small: {limit: 500 g}}\n"
ROBOT = "robot: dabchick\nparts:\n  pack: {mass: MASS}\n  lid: {mass: LID}\n"


def _written(mass: str, lid: str = "20 g") -> dict[str, str]:
    return {"robots/dabchick.yaml": ROBOT.replace("MASS", mass).replace("LID", lid)}


@pytest.fixture
def family(tmp_path) -> GitFamily:
    """A pack that was guessed in build A and is only described better in build B."""
    made = GitFamily(tmp_path / "family", {"family.yaml": FAMILY, **_written("90 g guess")})
    assert run(["-C", str(made.root), "record", "dabchick", "A"]) == 0
    made.write(_written("96 g weighed"))
    words = ["record", "dabchick", "B", "--why", "put on the scale", "--described-better", "pack"]
    assert run(["-C", str(made.root), *words]) == 0
    return made


def _is_so(family: GitFamily, ref: str, now: str, **keys: bool) -> bool:
    return only_described_better(open_family(family.root), "dabchick", "A", now, ref, **keys)


def test_a_thing_noted_as_described_better_stays_the_same_thing(family):
    assert _is_so(family, "pack", "B")
    assert not _is_so(family, "lid", "B")


def test_working_files_go_on_from_the_last_build_as_long_as_they_leave_a_thing_alone(family):
    family.write(_written("96 g weighed", lid="18 g"))
    assert _is_so(family, "pack", "now")


def test_an_edit_of_the_working_files_is_a_change_until_a_record_says_otherwise(family):
    family.write(_written("88 g weighed"))
    assert not _is_so(family, "pack", "now")


def test_how_a_thing_is_reached_is_a_change_and_none_of_what_its_weighing_is_true_of(family):
    for label, more in (("C", ", behind: lid"), ("now", ", behind: lid, centre: 1 x 2 x 3 mm")):
        family.write(_written(f"96 g weighed{more}"))
        assert label == "now" or run(["-C", str(family.root), "record", "dabchick", label]) == 0
        assert not _is_so(family, "pack", label)
        assert _is_so(family, "pack", label, of_content=True)
    family.write(_written("96 g weighed, joined: glued"))
    assert not _is_so(family, "pack", "now", of_content=True)
