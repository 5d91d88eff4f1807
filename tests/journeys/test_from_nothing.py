"""From an empty folder to a recorded robot, and its first sibling."""

import pytest

from tests.program import fine, lineage

PARTS = """part;count;mass (g);role
Side plate;2;41.5;chassis
Top deck;1;38;chassis
Battery 3S;1;92;power
Motor;2;24.5;drive
"""


@pytest.fixture
def shed(tmp_path):
    """A family that was just begun, with one robot from a spreadsheet."""
    fine(tmp_path, "start", "shed", "--title", "Garden shed robots")
    root = tmp_path / "shed"
    (tmp_path / "parts.csv").write_text(PARTS)
    fine(root, "add", "robot", "knot", "--parts", "../parts.csv")
    return root


def test_a_parts_list_is_enough_for_a_robot_that_can_be_recorded_and_weighed(shed):
    assert fine(shed, "check").out == "Nothing wrong.\n"
    fine(shed, "record", "knot", "A", "--why", "first build")
    weight = fine(shed, "card", "knot@A", "--json").json["weight"]
    assert weight["predicted_g"]["value"] == pytest.approx(2 * 41.5 + 38 + 92 + 2 * 24.5)
    assert weight["by_role_g"] == pytest.approx({"chassis": 121, "power": 92, "drive": 49})
    assert "262 ± " in fine(shed, "card", "knot@A").out


def test_nothing_nags_about_what_a_design_has_not_reached(shed):
    fine(shed, "record", "knot", "A")
    said = fine(shed, "card", "knot@A")
    assert "warning" not in said.out + said.err
    for heading in ("Fits", "Bays"):
        assert heading not in said.out


def test_a_sibling_begins_as_a_copy_that_knows_where_it_comes_from(shed):
    fine(shed, "record", "knot", "A")
    fine(shed, "add", "robot", "ruff", "--like", "knot")
    assert "robot: ruff\nfrom: knot@A\n" in (shed / "robots/ruff.yaml").read_text()
    both = fine(shed, "compare", "knot", "ruff", "--json").json
    predicted = [design["weight"]["predicted_g"]["value"] for design in both["designs"]]
    assert predicted == pytest.approx([262, 262])
    assert fine(shed, "check").status == 0


def test_modules_events_and_lessons_begin_with_a_file_that_teaches_its_keys(shed):
    fine(shed, "add", "module", "drive-pod")
    fine(shed, "add", "event", "2026-05-01-may-meeting", "--title", "May meeting")
    fine(shed, "add", "lesson", "strip-gears", "Brass gears strip when the wheel is held")
    assert fine(shed, "check").out == "Nothing wrong.\n"
    fine(shed, "record", "knot", "A", "--on", "2026-04-01")
    logged = fine(shed, "bout", "knot", "won", "2:10", "--on", "2026-05-01")
    assert "kept in bouts/2026-05-01-may-meeting.yaml" in logged.out
    report = fine(shed, "lessons", "May meeting", "--json").json
    assert [(entry["robot"], entry["won"]) for entry in report["entries"]] == [("knot", 1)]
    assert fine(shed, "todo", "knot").status == 0


@pytest.mark.parametrize("kind", ["robot", "module"])
def test_a_starter_file_is_a_design_that_can_be_shown_and_recorded(shed, kind):
    fine(shed, "add", kind, "stint")
    assert fine(shed, "card", "stint", "--json").json["design"] == "stint"
    fine(shed, "record", "stint", "A")


@pytest.mark.parametrize(
    ("words", "said"),
    [
        ("add robot knot", "already"),
        ("start", "already"),
        ("add robot stint --like knott", "did you mean knot?"),
        ("add robot Stint-2", "lower-case"),
        ("add event may-meeting", "YYYY-MM-DD"),
    ],
)
def test_nothing_is_written_over_and_no_bad_name_begun(shed, words, said):
    answer = lineage(shed, *words.split())
    assert answer.status == 2
    assert said in answer.err


def test_outside_a_family_it_is_said_how_to_begin_one(tmp_path):
    answer = lineage(tmp_path, "card", "knot")
    assert answer.status == 2
    assert "lineage start" in answer.err


def test_the_demo_takes_no_folder_that_holds_something(tmp_path):
    (tmp_path / "full").mkdir()
    (tmp_path / "full/file").write_text("x")
    for name in ("full", "full/file"):
        answer = lineage(tmp_path, "demo", name)
        assert answer.status == 2
        assert "not empty" in answer.err


@pytest.mark.parametrize("command", ["start", "demo"])
def test_a_folder_that_cannot_be_made_is_no_fault_of_the_program(tmp_path, command):
    (tmp_path / "file").write_text("x")
    answer = lineage(tmp_path, command, "file/folder")
    assert answer.status == 2
    assert "file/folder cannot be made" in answer.err
