"""Histories that are not as they were: what was recorded still answers, and what cannot be told says what to do."""

import shutil

import pytest

from tests.builders import FAMILY, ROBOT, GitFamily, make_family
from tests.program import fine, installed, lineage

MARKS = "<<<<<<< ours\nx: 1\n=======\nx: 2\n>>>>>>> theirs\n"
ASKED = ("compare", "avocet@A", "avocet@B", "--json")


def with_builds(root, **keys) -> GitFamily:
    """A robot in two builds, another robot, an event and a lesson."""
    family = GitFamily(
        root,
        {
            "family.yaml": FAMILY,
            "robots/avocet.yaml": ROBOT,
            "robots/dunlin.yaml": ROBOT.replace("avocet", "dunlin"),
            "events/2026-03-10-meet.yaml": "event: Meet\nentries: {avocet: {build: A}}\n",
            "bouts/2026-03-10-meet.yaml": "- {robot: avocet, bout: 1, outcome: won}\n",
            "lessons/lids.yaml": "lesson: Lids crack\nabout: [avocet.lid]\n",
            "lessons/packs.yaml": "lesson: Packs puff\nabout: [avocet.battery]\n",
        },
        **keys,
    )
    fine(family.root, "record", "avocet", "A")
    family.commits += 1
    family.write({"robots/avocet.yaml": ROBOT.replace("92 g", "95 g")})
    fine(family.root, "record", "avocet", "B", "--why", "more charge")
    family.commits += 1
    return family


@pytest.fixture(scope="module")
def whole(tmp_path_factory) -> GitFamily:
    return with_builds(tmp_path_factory.mktemp("whole") / "waders")


@pytest.fixture
def family(whole, tmp_path) -> GitFamily:
    copy = object.__new__(GitFamily)
    copy.top = copy.root = tmp_path / "waders"
    copy.commits = whole.commits
    shutil.copytree(whole.top, copy.top)
    return copy


def test_builds_answer_alike_from_a_shallow_clone_and_what_is_older_says_how_to_get_it(whole, tmp_path):
    whole.git("clone", "--quiet", "--depth", "1", f"file://{whole.top}", str(tmp_path / "shallow"))
    assert fine(tmp_path / "shallow", *ASKED).json == fine(whole.root, *ASKED).json
    answer = lineage(tmp_path / "shallow", "compare", "avocet", "avocet@git:HEAD~1")
    assert answer.status == 2
    assert "git fetch --unshallow" in answer.err
    assert fine(tmp_path / "shallow", "check").status == 0


def test_builds_answer_alike_after_the_history_was_squashed(family, whole):
    family.git("checkout", "--quiet", "--orphan", "one")
    family.commit("All of it")
    family.git("branch", "-D", "main")
    assert fine(family.root, *ASKED).json == fine(whole.root, *ASKED).json
    assert fine(family.root, "check").status == 0
    assert "'HEAD~1' names no commit" in lineage(family.root, "compare", "avocet", "avocet@git:HEAD~1").err


def test_a_family_moved_inside_its_repository_is_still_found_in_older_commits(family, whole):
    (family.top / "teams").mkdir()
    family.git("mv", "family.yaml", "robots", "builds", "events", "bouts", "lessons", "teams/")
    family.commit("Move the family")
    root = family.top / "teams"
    assert fine(root, *ASKED).json == fine(whole.root, *ASKED).json
    (pair,) = fine(root, "compare", "avocet@git:HEAD~2", "avocet", "--json").json["pairs"]
    assert [change["id"] for change in pair["changes"]] == ["mass:battery"]
    assert fine(root, "check").status == 0


def test_a_commit_with_two_families_elsewhere_is_not_guessed_at(tmp_path):
    club = GitFamily(tmp_path / "club", inside="one")
    make_family(club.top / "two")
    club.commit("A second family")
    club.git("mv", "one", "three")
    club.commit("Move the first")
    answer = lineage(club.top / "three", "compare", "avocet@git:HEAD~1", "avocet")
    assert answer.status == 2
    assert "at HEAD~1 there was no family in three/" in answer.err
    assert "one/, two/" in answer.err


def test_a_checkout_with_other_line_ends_reads_its_builds_as_recorded(family, whole):
    for path in (family.root / "builds").rglob("*.yaml"):
        path.write_bytes(path.read_bytes().replace(b"\n", b"\r\n"))
    assert fine(family.root, *ASKED).json == fine(whole.root, *ASKED).json
    answer = fine(family.root, "check")
    assert "the line ends of this copy were changed" in answer.out
    assert "* -text" in answer.out


@pytest.mark.parametrize(
    ("file", "said"),
    [
        ("lessons/lids.yaml", "lessons/lids.yaml"),
        ("events/2026-03-10-meet.yaml", "events/2026-03-10-meet.yaml"),
        ("family.yaml", "the copy of the latest build stands for it"),
    ],
)
def test_the_mark_of_a_merge_in_one_file_is_said_and_the_rest_still_answers(family, file, said, caplog):
    path = family.root / file
    path.write_text(path.read_text() + MARKS)
    for asked in (ASKED, ("history", "avocet"), ("family",), ("card", "avocet@B")):
        fine(family.root, *asked)
    assert said in caplog.text
    assert "is the mark of a merge that was not finished" in caplog.text
    answer = lineage(family.root, "check")
    assert answer.status == 1
    assert f"{file}:" in answer.out
    assert "delete the lines with <<<<<<<" in answer.out


def test_lessons_that_can_be_read_stand_beside_one_that_cannot(family):
    (family.root / "lessons/lids.yaml").write_text(MARKS)
    lessons = fine(family.root, "family", "--json").json["lessons"]
    assert [lesson["name"] for lesson in lessons] == ["packs"]


def test_bouts_of_an_event_that_cannot_be_read_are_not_counted(family):
    assert fine(family.root, "card", "avocet@A", "--json").json["failures"]["bouts"] == 1
    (family.root / "events/2026-03-10-meet.yaml").write_text(MARKS)
    assert fine(family.root, "card", "avocet@A", "--json").json["failures"]["bouts"] == 0
    assert lineage(family.root, "lessons", "2026-03-10-meet").status == 2


def test_working_files_and_records_do_not_do_with_an_older_copy_of_family_yaml(family):
    path = family.root / "family.yaml"
    path.write_text(path.read_text() + MARKS)
    for asked in (("card", "avocet"), ("record", "dunlin", "A")):
        answer = lineage(family.root, *asked)
        assert answer.status == 2
        assert "family.yaml:" in answer.err
    assert not (family.root / "builds/dunlin").exists()


def test_a_robot_that_cannot_be_read_leaves_its_builds_and_the_other_robots(family):
    path = family.root / "robots/avocet.yaml"
    path.write_text(path.read_text() + MARKS)
    fine(family.root, *ASKED)
    designs = {design["name"]: design for design in fine(family.root, "family", "--json").json["designs"]}
    assert designs["dunlin"]["class"] == designs["avocet"]["class"] == "3lb"
    assert lineage(family.root, "compare", "avocet").status == 2


def test_an_entry_that_cannot_be_read_is_said_and_the_other_entries_of_its_log_still_count(family):
    with (family.root / "bouts/2026-03-10-meet.yaml").open("a") as log:
        log.write("- {robot: avocet, bout: 2, outcome: [}\n- {robot: avocet, bout: 3, outcome: lost}\n")
    answer = installed(family.root, "card", "avocet@A", "--json")
    assert answer.json["failures"]["bouts"] == 2
    assert [(left["file"], left["line"]) for left in answer.json["left_out"]] == [
        ("bouts/2026-03-10-meet.yaml", 2)
    ]
    assert "left out, for it cannot be read: bouts/2026-03-10-meet.yaml:2:" in answer.err
    (family.root / "results").mkdir(exist_ok=True)
    (family.root / "results/avocet.yaml").write_text("- {mass: [\n")
    left = fine(family.root, "spares", "avocet", "--bouts", "3", "--json").json["left_out"]
    assert {entry["file"] for entry in left} >= {"bouts/2026-03-10-meet.yaml"}
    assert "results/avocet.yaml:1:" in installed(family.root, "card", "avocet@A").err


@pytest.mark.parametrize("asked", [("family",), ("history", "avocet")])
def test_a_working_file_that_cannot_be_read_is_said_beside_its_builds(family, asked):
    path = family.root / "robots/avocet.yaml"
    path.write_text(path.read_text() + MARKS)
    answer = installed(family.root, *asked, "--json")
    assert [left["file"] for left in answer.json["left_out"]] == ["robots/avocet.yaml"]
    assert "left out, for it cannot be read: robots/avocet.yaml:" in answer.err


def test_what_could_all_be_read_leaves_nothing_out(family):
    for asked in (("family",), ("history", "avocet"), ("card", "avocet"), ("todo", "avocet"), ASKED[:-1]):
        assert fine(family.root, *asked, "--json").json["left_out"] == []


def test_a_build_edited_by_hand_is_told_by_its_ids_and_the_others_answer(family):
    path = family.root / "builds/avocet/A/spec.yaml"
    path.write_text(path.read_text().replace("92 g", "91 g"))
    answer = lineage(family.root, "check")
    assert answer.status == 1
    assert "builds/avocet/A/spec.yaml" in answer.out
    steps = fine(family.root, "history", "avocet", "--json").json["steps"]
    assert [step["problem"] is None for step in steps] == [False, False]
    assert [step["figures"]["mass_g"] is None for step in steps] == [True, False]


def test_a_branch_for_an_experiment_is_shown_as_one(family):
    family.write({"robots/avocet.yaml": ROBOT.replace("92 g", "80 g")})
    fine(family.root, "record", "avocet", "light", "--before", "A", "--why", "a smaller pack")
    steps = fine(family.root, "history", "avocet", "--json").json["steps"]
    assert [(step["label"], step["before"], step["beside"]) for step in steps] == [
        ("A", None, []), ("B", "A", ["light"]), ("light", "A", ["B"]),
    ]  # fmt: skip
    (change,) = steps[-1]["changes"]
    assert (change["from"], change["to"]) == ("92 g weighed", "80 g weighed")
    assert "avocet@light is a branch from A, beside B" in fine(family.root, "family").out


def test_a_module_under_another_name_says_what_it_grew_from_and_that_it_is_judged_by_itself(family):
    pod = "module: pod\nparts: {motor: {mass: 40 g}}\n"
    family.write({"modules/pod.yaml": pod, "robots/knot.yaml": "robot: knot\nmodules: {left: pod@A}\n"})
    fine(family.root, "record", "pod", "A")
    fine(family.root, "record", "knot", "A")
    family.git("mv", "modules/pod.yaml", "modules/drive.yaml")
    drive = pod.replace("module: pod", "module: drive\nfrom: pod@A").replace("40 g", "38 g")
    family.write({"modules/drive.yaml": drive, "robots/knot.yaml": "robot: knot\nmodules: {left: drive@A}\n"})
    fine(family.root, "record", "drive", "A")
    fine(family.root, "record", "knot", "B")
    told = "left: module swapped pod@A → drive@A; drive grew from pod@A, and is judged in this robot alone"
    (change,) = fine(family.root, "compare", "knot@A", "knot@B", "--json").json["pairs"][0]["changes"]
    assert change["text"] == told


def test_a_renamed_design_keeps_its_builds_and_check_says_how_to_keep_its_kinship(family):
    family.git("mv", "robots/avocet.yaml", "robots/snipe.yaml")
    path = family.root / "robots/snipe.yaml"
    path.write_text(path.read_text().replace("robot: avocet", "robot: snipe"))
    told = fine(family.root, "check").out
    assert "robots/snipe.yaml:1:" in told
    assert "design-renamed" in told
    assert "`from: avocet@B`" in told
    fine(family.root, *ASKED)
    path.write_text(path.read_text().replace("robot: snipe\n", "robot: snipe\nfrom: avocet@B\n"))
    assert "design-renamed" not in fine(family.root, "check").out
    assert "grew from avocet@B" in fine(family.root, "history", "snipe").out


@pytest.fixture
def carrier(tmp_path) -> GitFamily:
    """A robot in a build that carries a module in a build, with damage logged in it, and a robot without it."""
    family = GitFamily(tmp_path / "carriers")
    fine(family.root, "record", "drive-pod", "A", "--on", "2026-03-01")
    family.write(
        {
            "robots/avocet.yaml": ROBOT + "modules: {drive: drive-pod@A}\n",
            "robots/dunlin.yaml": ROBOT.replace("avocet", "dunlin"),
        }
    )
    fine(family.root, "record", "avocet", "A", "--on", "2026-03-02")
    fine(family.root, "bout", "avocet", "lost", "--broke", "drive.motor: burnt", "--on", "2026-03-10")
    return family


def test_builds_that_were_moved_away_from_under_others_are_told_with_the_rest(carrier):
    carrier.git("mv", "builds/drive-pod", "builds/pod")
    answer = lineage(carrier.root, "check", "--json")
    assert answer.status == 1
    told = {(problem["file"], problem["code"]) for problem in answer.json["problems"]}
    assert ("builds/pod/A/build.yaml", "build-misplaced") in told
    assert ("builds/avocet/A/spec.yaml", "unknown-build") in told
    card = lineage(carrier.root, "card", "avocet@A")
    assert card.status == 2
    assert "builds/drive-pod/A/build.yaml:1:1: drive-pod has no build A" in card.err
    assert "bring builds/drive-pod/A back from an earlier commit or a safety copy" in " ".join(
        card.err.split()
    )
    fine(carrier.root, "card", "dunlin")


def test_a_module_build_whose_record_was_edited_is_told_and_not_called_missing(carrier):
    record = carrier.root / "builds/drive-pod/A/build.yaml"
    lines = record.read_text().splitlines(keepends=True)
    record.write_text("".join("id: " + "0" * 40 + "\n" if line.startswith("id:") else line for line in lines))
    answer = lineage(carrier.root, "check", "--json")
    assert answer.status == 1
    told = {(problem["file"], problem["code"]) for problem in answer.json["problems"]}
    assert ("builds/drive-pod/A/build.yaml", "build-changed") in told
    card = lineage(carrier.root, "card", "avocet@A")
    assert card.status == 2
    assert "[build-changed]" in card.err
    fine(carrier.root, "card", "dunlin")
