"""`record`: one commit with exactly the build and its working files, and everything that refuses one."""

import shutil
from pathlib import Path

import pytest

from tests.builders import FAMILY, MODULE, ROBOT, SMALL, GitFamily, make_family
from tests.program import files_of, fine, installed, lineage

WITH_POD = ROBOT + "modules:\n  drive: drive-pod@LABEL\n"
NOT_THERE = {"PATH": "/nonexistent"}
NOBODY = {
    "GIT_AUTHOR_NAME": None,
    "GIT_AUTHOR_EMAIL": None,
    "GIT_COMMITTER_NAME": None,
    "GIT_COMMITTER_EMAIL": None,
}


@pytest.fixture
def small(tmp_path) -> GitFamily:
    return GitFamily(tmp_path / "waders")


def is_refused(answer, *words):
    assert answer.status == 2
    assert answer.out == ""
    for word in words:
        assert word in answer.err


def test_an_edited_robot_goes_into_one_commit_with_its_build_and_nothing_else(family):
    family.write({"notes.txt": "for later\n", "robots/whimbrel.yaml": b"half done"})
    family.git("add", "notes.txt", "robots/whimbrel.yaml")
    spec = (family.root / "robots/dunlin.yaml").read_text()
    assert "count: 6, holds: deck" in spec
    drawing = (family.root / "plates/dunlin/deck.dxf").read_bytes()
    family.write({
        "robots/dunlin.yaml": spec.replace("count: 6, holds: deck", "count: 5, holds: deck"),
        "plates/dunlin/deck.dxf": b"999\ndrawn again\n" + drawing,
    })  # fmt: skip
    head = family.git("rev-parse", "HEAD")
    answer = installed(family.root, "record", "dunlin", "D", "--why", "one screw stripped its thread")
    assert answer.status == 0
    assert "recorded dunlin@D" in answer.out
    assert "deck-screws: 6 → 5" in answer.err.replace("count ", "")
    assert family.git("rev-parse", "HEAD~1") == head
    (copy,) = (family.root / "builds/dunlin/drawings").glob(f"deck-{content_id(family, 'deck')[:12]}.dxf")
    assert family.changed_in() == [
        "builds/dunlin/D/build.yaml",
        "builds/dunlin/D/family.yaml",
        "builds/dunlin/D/spec.yaml",
        str(copy.relative_to(family.root)),
        "plates/dunlin/deck.dxf",
        "robots/dunlin.yaml",
    ]
    assert family.staged == ["notes.txt", "robots/whimbrel.yaml"]
    assert family.status.splitlines() == ["A  notes.txt", "M  robots/whimbrel.yaml"]
    assert family.git("log", "-1", "--format=%s") == "Record dunlin@D: one screw stripped its thread"
    history = fine(family.root, "compare", "dunlin@C", "dunlin@D", "--json").json
    (change,) = [c for c in history["pairs"][0]["changes"] if c["where"] == "deck-screws"]
    assert change["notes"][0]["why"] == "one screw stripped its thread"


def content_id(family, plate):
    return family.git("hash-object", "--no-filters", str(family.root / f"plates/dunlin/{plate}.dxf"))


def test_a_build_is_a_copy_to_the_byte(small):
    fine(small.root, "record", "avocet", "A")
    for name, path in (("spec", "robots/avocet.yaml"), ("family", "family.yaml")):
        assert small.show(f"HEAD:builds/avocet/A/{name}.yaml") == (small.root / path).read_bytes()
    assert small.status == ""


def test_builds_are_read_from_a_zip_file_without_git(demo, tmp_path):
    shutil.make_archive(str(tmp_path / "waders"), "zip", demo)
    shutil.unpack_archive(tmp_path / "waders.zip", tmp_path / "unpacked")
    unpacked = tmp_path / "unpacked"
    shutil.rmtree(unpacked / ".git")
    asked = ("compare", "avocet@C", "avocet@D", "--json")
    assert fine(unpacked, *asked, env=NOT_THERE).json == fine(demo, *asked).json
    assert fine(unpacked, "check", env=NOT_THERE).status == 0


def test_a_family_may_be_a_folder_of_a_larger_repository(tmp_path):
    club = GitFamily(tmp_path / "club", inside="teams/waders")
    club.write({"notes.txt": "ours\n"})
    (club.top / "theirs.txt").write_text("somebody else's\n")
    club.git("add", "theirs.txt")
    fine(club.root / "robots", "record", "avocet", "A")
    fine(club.top, "-C", "teams/waders", "measure", "avocet", "mass", "120 g")
    assert club.changed_in("HEAD") == ["teams/waders/results/avocet.yaml"]
    assert club.changed_in("HEAD~1") == [
        f"teams/waders/builds/avocet/A/{name}.yaml" for name in ("build", "family", "spec")
    ]
    assert club.status.splitlines() == ["A  theirs.txt", "?? teams/waders/notes.txt"]


def test_a_label_that_is_taken_is_refused(small):
    fine(small.root, "record", "avocet", "A")
    small.write({"robots/avocet.yaml": ROBOT.replace("92 g", "95 g")})
    before, head = files_of(small.root), small.git("rev-parse", "HEAD")
    is_refused(lineage(small.root, "record", "avocet", "A"), "has a build A already", "free")
    is_refused(lineage(small.root, "record", "avocet", "a"), "already")
    assert files_of(small.root) == before
    assert small.git("rev-parse", "HEAD") == head


def test_a_module_has_to_be_recorded_first(small):
    small.write({"robots/avocet.yaml": WITH_POD.replace("LABEL", "now")})
    before = files_of(small.root)
    answer = lineage(small.root, "record", "avocet", "A")
    is_refused(answer, "robots/avocet.yaml:7:", "drive-pod@now", "lineage record drive-pod A")
    assert files_of(small.root) == before
    fine(small.root, "record", "drive-pod", "A")
    small.write({"robots/avocet.yaml": WITH_POD.replace("LABEL", "A")})
    fine(small.root, "record", "avocet", "A")
    weight = fine(small.root, "card", "avocet@A", "--json").json["weight"]
    assert {"drive.motor", "drive.gearbox"} <= {item["ref"] for item in weight["items"]}


def test_a_sibling_keeps_its_module_when_the_other_moves_on(small):
    fine(small.root, "record", "drive-pod", "A")
    small.write({"robots/avocet.yaml": WITH_POD.replace("LABEL", "A")})
    fine(small.root, "record", "avocet", "A")
    before = fine(small.root, "card", "avocet@A", "--json").json["weight"]["predicted_g"]
    small.write({"modules/drive-pod.yaml": MODULE.replace("41 g", "61 g")})
    fine(small.root, "record", "drive-pod", "B")
    small.write({"robots/avocet.yaml": WITH_POD.replace("LABEL", "B")})
    fine(small.root, "record", "avocet", "B")
    assert fine(small.root, "card", "avocet@A", "--json").json["weight"]["predicted_g"] == before
    (pair,) = fine(small.root, "compare", "avocet@A", "avocet@B", "--json").json["pairs"]
    assert [(c["where"], c["kind"]) for c in pair["changes"]] == [("drive", "module moved on")]
    assert pair["totals"]["mass_g"]["change"] == pytest.approx(20)


def test_a_spec_with_errors_is_not_recorded(small):
    small.write({"robots/avocet.yaml": ROBOT.replace("role: power", "rle: power")})
    before = files_of(small.root)
    is_refused(lineage(small.root, "record", "avocet", "A"), "robots/avocet.yaml:5:13:", "`rle`", "role")
    assert files_of(small.root) == before


def test_an_equal_build_is_refused_unless_it_is_meant(small):
    fine(small.root, "record", "avocet", "A")
    is_refused(lineage(small.root, "record", "avocet", "B"), "nothing changed since avocet@A", "--again")
    assert not (small.root / "builds/avocet/B").exists()
    fine(small.root, "record", "avocet", "B", "--again")
    assert (small.root / "builds/avocet/B/build.yaml").exists()


def test_a_record_whose_commit_is_missing_is_completed_by_the_same_command(small):
    fine(small.root, "record", "avocet", "A", "--why", "first")
    small.git("reset", "--quiet", "--soft", "HEAD~1")
    small.git("reset", "--quiet")
    before = files_of(small.root)
    fine(small.root, "record", "avocet", "A", "--why", "first")
    assert small.status == ""
    assert files_of(small.root) == before
    is_refused(lineage(small.root, "record", "avocet", "A", "--why", "first"), "already")


def test_a_renamed_part_stays_the_same_part(small):
    fine(small.root, "record", "avocet", "A")
    small.write({"robots/avocet.yaml": ROBOT.replace("lid:", "top-deck:")})
    wrong = lineage(small.root, "record", "avocet", "B", "--renamed", "lidd=top-deck")
    is_refused(wrong, "lidd", "did you mean lid?")
    fine(small.root, "record", "avocet", "B", "--renamed", "lid=top-deck")
    (pair,) = fine(small.root, "compare", "avocet@A", "avocet@B", "--json").json["pairs"]
    assert [change["kind"] for change in pair["changes"]] == ["part renamed"]


def test_notes_are_about_what_changed(small):
    fine(small.root, "record", "avocet", "A")
    small.write({"robots/avocet.yaml": ROBOT.replace("92 g", "95 g")})
    notes = small.root / "notes.yaml"
    notes.write_text("- {about: [lid], why: thicker}\n")
    is_refused(lineage(small.root, "record", "avocet", "B", "--notes", "notes.yaml"), "'lid'", "battery")
    notes.write_text("- {about: [battery], why: a bigger pack, aim: [performance]}\n")
    fine(small.root, "record", "avocet", "B", "--notes", "notes.yaml")
    (pair,) = fine(small.root, "compare", "avocet@A", "avocet@B", "--json").json["pairs"]
    assert [note["why"] for note in pair["changes"][0]["notes"]] == ["a bigger pack"]


@pytest.mark.parametrize(
    "words",
    [
        ("record", "avocet", "A", "--why", "first"),
        ("measure", "avocet", "mass", "120 g"),
        ("bout", "avocet", "won", "2:10"),
        ("snag", "avocet", "lid: cracked", "--during", "testing"),
        ("add", "robot", "knot"),
        ("add", "event", "2026-05-01-may-meeting"),
        ("start", "another"),
    ],
    ids=lambda words: " ".join(words[:2]),
)
def test_a_dry_run_says_what_it_would_do_and_writes_nothing(small, words):
    before, head = files_of(small.root), small.git("rev-parse", "HEAD")
    answer = fine(small.root, *words, "--dry-run")
    assert "would" in answer.out
    assert files_of(small.root) == before
    assert (small.git("rev-parse", "HEAD"), small.status) == (head, "")
    assert not (small.root / "another").exists()


def merging(small: GitFamily) -> None:
    small.git("checkout", "--quiet", "-b", "laptop")
    small.write({"robots/avocet.yaml": ROBOT.replace("92 g", "90 g")})
    small.commit("Lighter")
    small.git("checkout", "--quiet", "main")
    small.write({"robots/avocet.yaml": ROBOT.replace("92 g", "99 g")})
    small.commit("Heavier")
    small.git("merge", "--quiet", "laptop", fine=False)


def test_during_a_merge_nothing_is_recorded_and_everything_is_logged(small):
    merging(small)
    small.write({"robots/avocet.yaml": ROBOT})
    head = small.git("rev-parse", "HEAD")
    is_refused(lineage(small.root, "record", "avocet", "A"), "merge is under way")
    assert not (small.root / "builds").exists()
    answer = fine(small.root, "measure", "avocet", "mass", "120 g")
    assert "kept, not committed: " in answer.err
    assert "merge" in answer.err
    assert b"120 g" in (small.root / "results/avocet.yaml").read_bytes()
    assert small.git("rev-parse", "HEAD") == head


def test_conflict_marks_are_told_as_such(small):
    merging(small)
    answer = lineage(small.root, "check")
    assert answer.status == 1
    assert "robots/avocet.yaml:5:1:" in answer.out
    assert "conflict-marker" in answer.out


def test_without_an_identity_lines_and_builds_are_kept_and_it_is_said_why(small):
    head = small.git("rev-parse", "HEAD")
    for words in (("record", "avocet", "A"), ("bout", "avocet", "won"), ("measure", "avocet", "mass", "9 g")):
        answer = fine(small.root, *words, env=NOBODY)
        assert "kept, not committed: " in answer.err, words
        assert "user.name" in answer.err, words
    assert small.git("rev-parse", "HEAD") == head
    assert (small.root / "builds/avocet/A/build.yaml").exists()
    fine(small.root, "record", "avocet", "A")  # with one, the same command completes it
    assert small.changed_in()[0] == "builds/avocet/A/build.yaml"


@pytest.mark.parametrize("how", ["no program", "no repository"])
def test_without_git_everything_is_kept_and_it_is_said_why(tmp_path, how):
    root = tmp_path / "waders"
    if how == "no program":
        GitFamily(root)
        env = NOT_THERE
    else:
        make_family(root)
        env = None
    assert "kept, not committed: " in fine(root, "record", "avocet", "A", env=env).err
    assert (
        "kept, not committed: "
        in fine(root, "snag", "avocet", "lid: bent", "--during", "cutting", env=env).err
    )
    assert "kept, not committed: " in fine(root, "bout", "avocet", "lost", "0:40", env=env).err
    assert fine(root, "card", "avocet@A", "--json", env=env).json["build"] == "A"
    assert fine(root, "check", env=env).status == 0


def test_hooks_and_configured_programs_of_a_strangers_family_are_not_run(small):
    trap = small.top / "trap"
    trap.write_text("#!/bin/sh\ntouch sprung\n")
    trap.chmod(0o755)
    for hook in ("pre-commit", "post-commit", "commit-msg", "reference-transaction", "post-index-change"):
        (small.top / ".git/hooks").mkdir(exist_ok=True)
        shutil.copy(trap, small.top / ".git/hooks" / hook)
    for name in (
        "core.fsmonitor",
        "core.pager",
        "diff.external",
        "core.sshCommand",
        "filter.x.clean",
        "gpg.program",
    ):
        small.git("config", name, str(trap))
    (small.top / ".gitattributes").write_text("* filter=x diff=x\n")
    fine(small.root, "record", "avocet", "A")
    fine(small.root, "measure", "avocet", "mass", "120 g")
    fine(small.root, "card", "avocet@git:HEAD")
    fine(small.root, "check")
    assert not (small.top / "sprung").exists()


def test_families_of_sha256_repositories_work_too(tmp_path):
    family = GitFamily(tmp_path / "waders", {**SMALL, "family.yaml": FAMILY}, digest="sha256")
    fine(family.root, "record", "avocet", "A")
    assert family.status == ""
    assert fine(family.root, "card", "avocet@git:HEAD", "--json").json["design"] == "avocet"


def test_a_dash_before_a_name_is_no_option_of_git(small):
    answer = lineage(small.root, "card", "avocet@git:--output=stolen")
    assert answer.status == 2
    assert not (Path(small.root) / "stolen").exists()
