"""`record` as a person meets it: renames asked, changes in groups, a reason for each, and what to do next."""

from io import StringIO

import pytest

from tests.builders import FAMILY, MODULE, ROBOT, GitFamily
from tests.program import fine, lineage

WITH_POD = ROBOT + "modules:\n  drive: drive-pod@A\n"


@pytest.fixture
def small(tmp_path) -> GitFamily:
    made = GitFamily(
        tmp_path / "waders",
        {"family.yaml": FAMILY, "robots/avocet.yaml": WITH_POD, "modules/drive-pod.yaml": MODULE},
    )
    fine(made.root, "record", "drive-pod", "A")
    fine(made.root, "record", "avocet", "A")
    return made


@pytest.fixture
def typing(monkeypatch):
    """What a person types, line by line, at a terminal."""

    def types(*lines: str) -> None:
        monkeypatch.setattr("lineage.cli.recording.is_terminal", lambda: True)
        monkeypatch.setattr("sys.stdin", StringIO("".join(f"{line}\n" for line in lines)))

    return types


def notes_of(family, before, after):
    (pair,) = fine(family.root, "compare", before, after, "--json").json["pairs"]
    return {change["id"]: [note["why"] for note in change["notes"]] for change in pair["changes"]}


def test_each_group_is_shown_with_its_effect_and_asked_for_a_reason_once(small, typing):
    edited = WITH_POD.replace("92 g", "95 g").replace("100 cm2", "90 cm2")
    small.write({"robots/avocet.yaml": edited + "settings: {expo: 30 %}\n"})
    typing("too heavy", "", "calmer")
    answer = fine(small.root, "record", "avocet", "B")
    shown = answer.err
    assert shown.index("other: mass -3.6 g") < shown.index("Why (other)") < shown.index("power: mass +3.0 g")
    assert shown.count("Why (") == 3
    assert notes_of(small, "avocet@A", "avocet@B") == {
        "outline:lid": ["too heavy"], "mass:battery": [], "setting:expo": ["calmer"],
    }  # fmt: skip
    assert small.git("log", "-1", "--format=%s") == "Record avocet@B: too heavy"


def test_a_group_that_has_a_reason_is_shown_and_not_asked(small, typing):
    small.write({"robots/avocet.yaml": WITH_POD.replace("92 g", "95 g")})
    typing()
    answer = fine(small.root, "record", "avocet", "B", "--why", "more charge")
    assert "power: mass +3.0 g" in answer.err
    assert "Why (" not in answer.err


@pytest.mark.parametrize(("typed", "kinds"), [("y", {"part renamed"}), ("n", {"part added", "part dropped"})])
def test_a_rename_that_is_suspected_is_asked_and_kept_only_when_it_is_one(small, typing, typed, kinds):
    small.write(
        {
            "robots/avocet.yaml": WITH_POD.replace(
                "battery: {role: power, mass: 92 g", "battery-pack: {role: power, mass: 92 g"
            )
        }
    )
    typing(typed, "smaller")
    answer = fine(small.root, "record", "avocet", "B")
    assert "Is battery now called battery-pack" in answer.err
    (pair,) = fine(small.root, "compare", "avocet@A", "avocet@B", "--json").json["pairs"]
    assert {change["kind"] for change in pair["changes"]} == kinds


def test_without_a_terminal_nothing_is_asked_and_the_line_for_a_rename_is_printed(small):
    small.write(
        {
            "robots/avocet.yaml": WITH_POD.replace(
                "battery: {role: power, mass: 92 g", "battery-pack: {role: power, mass: 92 g"
            )
        }
    )
    answer = fine(small.root, "record", "avocet", "B", "--dry-run")
    assert "lineage record --renamed battery=battery-pack" in " ".join(answer.err.split())
    assert "Why (" not in answer.err


def test_a_lesson_that_it_may_answer_and_a_robot_that_could_take_it_are_named_with_their_lines(small):
    small.write({
        "modules/drive-pod.yaml": MODULE.replace("23 g", "25 g"),
        "lessons/teeth.yaml": "lesson: Teeth strip\nabout: [drive-pod.gearbox]\n",
    })  # fmt: skip
    files = (small.root / "robots/avocet.yaml").read_bytes(), (small.root / "lessons/teeth.yaml").read_bytes()
    answer = fine(small.root, "record", "drive-pod", "B")
    assert "lesson teeth (unanswered: Teeth strip) may be answered by this" in answer.err
    assert "lessons/teeth.yaml: done_in: [drive-pod@B]" in answer.err
    assert "avocet has drive-pod@A and could take drive-pod@B, mass +2.0 g in all" in answer.err
    assert "robots/avocet.yaml:7: drive: drive-pod@B" in answer.err
    assert files == (
        (small.root / "robots/avocet.yaml").read_bytes(), (small.root / "lessons/teeth.yaml").read_bytes(),
    )  # fmt: skip


def test_the_command_that_it_names_shows_what_the_module_would_bring(small):
    small.write({"modules/drive-pod.yaml": MODULE.replace("23 g", "25 g")})
    answer = fine(small.root, "record", "drive-pod", "B")
    named = answer.err.partition("lineage compare ")[2].splitlines()[0].split()
    (pair,) = fine(small.root, "compare", *named, "--json").json["pairs"]
    assert [change["id"] for change in pair["changes"]] == ["module moved on:drive"]
    assert pair["totals"]["mass_g"]["change"] == pytest.approx(2)


def test_a_person_who_gives_up_leaves_nothing(small, typing, monkeypatch):
    small.write({"robots/avocet.yaml": WITH_POD.replace("92 g", "95 g")})
    typing()
    assert lineage(small.root, "record", "avocet", "B").status == 130
    assert not (small.root / "builds/avocet/B").exists()
