"""Recorded builds: what is written, what is believed, in what order."""

from datetime import date

import msgspec
import pytest

from lineage.archive.builds import (
    build_paths,
    in_chain_order,
    label_taken,
    labels_of,
    plan_build,
    read_build_files,
    same_build,
)
from lineage.archive.git import find_repository
from lineage.archive.ids import build_id, content_id
from lineage.archive.keep import write_whole
from lineage.archive.revision_tree import RevisionTree
from lineage.archive.tree import WorkingTree
from lineage.problems import AskedWrongly, BadInput
from lineage.spec.lines import build_yaml
from lineage.spec.records import BuildRecord, ChangeNote
from tests.builders import FAMILY, ROBOT, GitFamily, make_family, write_files

SIDE, LID = b"0\nSECTION\nside", b"0\nSECTION\nlid"
DRAWINGS = {"plates/avocet/side.dxf": SIDE, "plates/avocet/lid.dxf": LID}


def plan(tree, label="A", **more):
    asked = {
        "design": "avocet",
        "label": label,
        "on": date(2026, 5, 2),
        "before": None,
        "spec_path": "robots/avocet.yaml",
        "spec": ROBOT.encode(),
        "family": FAMILY.encode(),
        "drawings": DRAWINGS,
        "ids": {"cad/avocet.step": "f" * 40},
        "uses": {"drive-pod@B": "e" * 40},
    }
    return plan_build(tree, **(asked | more))


def record(tree, label="A", **more):
    planned = plan(tree, label, **more)
    write_whole(tree.root, planned.files, planned.folder)
    return planned


@pytest.fixture
def tree(tmp_path):
    return WorkingTree(make_family(tmp_path / "waders"))


def test_a_build_is_its_record_its_copies_and_its_drawings(tree):
    planned = record(tree)
    short = {name: content_id(data)[:12] for name, data in (("side", SIDE), ("lid", LID))}
    assert tree.files("builds") == (
        "builds/avocet/A/build.yaml",
        "builds/avocet/A/family.yaml",
        "builds/avocet/A/spec.yaml",
        f"builds/avocet/drawings/lid-{short['lid']}.dxf",
        f"builds/avocet/drawings/side-{short['side']}.dxf",
    )
    build = read_build_files(tree, "avocet", "A")
    assert msgspec.structs.replace(build.record, places={}) == planned.record
    assert (build.spec_path, build.spec, build.family) == (
        "robots/avocet.yaml",
        ROBOT.encode(),
        FAMILY.encode(),
    )
    assert build.drawings == DRAWINGS
    assert build.warnings == ()


def test_the_id_of_a_build_is_that_of_its_files_and_uses_alone(tree):
    first = plan(tree).record
    assert first.id == build_id(first.files, {"drive-pod@B": "e" * 40})
    other_day = plan(tree, "B", on=date(2026, 6, 1), before="A", notes=(ChangeNote(about=("lid",), why="x"),))
    assert other_day.record.id == first.id
    assert plan(tree, uses={"drive-pod@C": "e" * 40}).record.id != first.id
    assert plan(tree, ids={}).record.id != first.id


def test_a_drawing_that_an_earlier_build_had_is_not_copied_again_even_when_it_was_renamed(tree):
    record(tree)
    planned = plan(tree, "B", before="A", drawings={"plates/avocet/flank.dxf": SIDE})
    assert [path for path in planned.files if "drawings" in path] == []
    write_whole(tree.root, planned.files, planned.folder)
    assert read_build_files(tree, "avocet", "B").drawings == {"plates/avocet/flank.dxf": SIDE}


def test_two_drawings_of_one_build_with_the_same_contents_are_copied_once(tree):
    record(tree, drawings={"plates/left.dxf": SIDE, "plates/right.dxf": SIDE})
    assert len(tree.files("builds/avocet/drawings")) == 1
    assert read_build_files(tree, "avocet", "A").drawings == {
        "plates/left.dxf": SIDE,
        "plates/right.dxf": SIDE,
    }


def test_two_drawings_of_one_name_stand_side_by_side(tree):
    record(tree, drawings={"plates/a/side.dxf": SIDE, "plates/b/side.dxf": LID})
    assert read_build_files(tree, "avocet", "A").drawings == {
        "plates/a/side.dxf": SIDE,
        "plates/b/side.dxf": LID,
    }


def test_where_two_ids_begin_alike_the_copies_are_told_apart_by_their_bytes(tree):
    short = f"builds/avocet/drawings/side-{content_id(SIDE)[:12]}.dxf"
    write_files(tree.root, {short: LID})
    record(tree, drawings={"plates/side.dxf": SIDE})
    assert tree.read(short) == LID
    assert read_build_files(tree, "avocet", "A").drawings == {"plates/side.dxf": SIDE}


def test_every_file_of_a_build_is_named_for_its_commit_copies_of_earlier_builds_too(tree):
    record(tree)
    second = record(tree, "B", before="A", drawings={"plates/avocet/side.dxf": SIDE})
    assert build_paths(tree, second.record) == (
        f"builds/avocet/drawings/side-{content_id(SIDE)[:12]}.dxf",
        "builds/avocet/B/build.yaml",
        "builds/avocet/B/family.yaml",
        "builds/avocet/B/spec.yaml",
    )


@pytest.mark.parametrize(
    "path",
    ["A/spec.yaml", "A/family.yaml", f"drawings/side-{content_id(SIDE)[:12]}.dxf"],
)
def test_a_build_that_was_edited_by_hand_is_told_by_its_ids(tree, path):
    record(tree)
    file = tree.root / "builds/avocet" / path
    file.write_bytes(file.read_bytes() + b"# better\n")
    with pytest.raises(BadInput) as caught:
        read_build_files(tree, "avocet", "A")
    assert [(p.code, p.place.file) for p in caught.value.problems] == [
        ("build-changed", f"builds/avocet/{path}")
    ]


def test_a_record_whose_list_of_files_was_edited_is_told_by_its_id(tree):
    planned = record(tree)
    changed = msgspec.structs.replace(
        planned.record, files={**planned.record.files, "cad/avocet.step": "0" * 40}
    )
    write_files(tree.root, {"builds/avocet/A/build.yaml": build_yaml(changed)})
    with pytest.raises(BadInput, match="not those of its id"):
        read_build_files(tree, "avocet", "A")


def test_a_record_that_could_not_be_read_back_is_not_planned(tree):
    for wrong in ({"label": "no good"}, {"spec_path": "robots/../x.yaml"}, {"uses": {"drive-pod": "e" * 40}}):
        with pytest.raises(BadInput):
            plan(tree, **wrong)


def test_everything_that_is_missing_is_said_at_once(tree):
    record(tree)
    for path in ("builds/avocet/A/spec.yaml", f"builds/avocet/drawings/lid-{content_id(LID)[:12]}.dxf"):
        (tree.root / path).unlink()
    with pytest.raises(BadInput) as caught:
        read_build_files(tree, "avocet", "A")
    assert [p.code for p in caught.value.problems] == ["build-incomplete"] * 2


def test_a_build_that_was_copied_under_another_label_is_refused(tree):
    record(tree)
    (tree.root / "builds/avocet/A").rename(tree.root / "builds/avocet/Z")
    with pytest.raises(BadInput, match=r"holds avocet@A"):
        read_build_files(tree, "avocet", "Z")


def test_a_build_that_is_not_there_names_those_that_are(tree):
    record(tree)
    with pytest.raises(BadInput) as caught:
        read_build_files(tree, "avocet", "B")
    assert caught.value.problems[0].mend == (
        "its builds: A; bring builds/avocet/B back from an earlier commit or a safety copy"
    )


def test_changed_line_ends_are_read_as_they_were_recorded_with_a_warning(tree):
    record(tree)
    for file in (tree.root / "builds").rglob("*.*"):
        file.write_bytes(file.read_bytes().replace(b"\n", b"\r\n"))
    build = read_build_files(tree, "avocet", "A")
    assert (build.spec, build.family, build.drawings) == (ROBOT.encode(), FAMILY.encode(), DRAWINGS)
    assert {p.code for p in build.warnings} == {"build-line-ends"}
    assert {p.level for p in build.warnings} == {"warning"}
    assert len(build.warnings) == 4


def test_a_build_is_read_from_a_commit_as_from_a_folder_and_from_an_unzipped_copy(tmp_path):
    family = GitFamily(tmp_path / "waders", inside="in a larger one/waders")
    tree = WorkingTree(family.root)
    planned = record(tree)
    family.commit("Record")
    then = RevisionTree(find_repository(family.root), "HEAD")
    family.git("archive", "--format=zip", f"--output={tmp_path}/copy.zip", "HEAD:in a larger one/waders")
    import zipfile

    with zipfile.ZipFile(tmp_path / "copy.zip") as archive:
        archive.extractall(tmp_path / "copy")
    from_folder, from_commit, from_copy = (
        read_build_files(other, "avocet", "A") for other in (tree, then, WorkingTree(tmp_path / "copy"))
    )
    assert from_folder == from_commit == from_copy
    assert from_copy.record.id == planned.record.id


def test_reading_builds_never_loads_git(tree):
    import subprocess
    import sys

    code = "import sys, lineage.archive.builds, lineage.archive.tree, lineage.archive.kept; print('git' in sys.modules)"
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True)
    assert done.stdout == "False\n"


# --- labels and their order ------------------------------------------------------------------------------


def entry(label, before=None, on=date(2026, 5, 2)):
    return BuildRecord(
        format=1, tables=1, design="avocet", label=label, on=on, before=before, id="", files={}, uses={}
    )


def order(*records):
    return "".join(record.label for record in in_chain_order(records))


def test_builds_follow_the_build_before_them_whatever_their_dates_say():
    assert order(entry("C", "B", date(2026, 1, 1)), entry("A"), entry("B", "A", date(2027, 1, 1))) == "ABC"


def test_branches_come_by_date_then_label():
    late = date(2026, 6, 1)
    assert order(entry("A"), entry("B", "A", late), entry("C", "A"), entry("D", "C")) == "ACDB"
    assert order(entry("10", "9"), entry("9")) == "910"
    assert order(entry("r10"), entry("r9")) == "r9r10"


def test_a_build_whose_predecessor_is_missing_or_that_goes_in_a_ring_is_still_listed():
    assert order(entry("B", "A"), entry("C", "B")) == "BC"
    assert sorted(order(entry("A", "B"), entry("B", "A"))) == ["A", "B"]


def test_labels_come_in_the_order_of_the_chain_and_unreadable_ones_last(tree):
    record(tree, "second", before="first", on=date(2026, 5, 3))
    record(tree, "first")
    write_files(tree.root, {"builds/avocet/broken/build.yaml": "{"})
    assert labels_of(tree, "avocet") == ("first", "second", "broken")


def test_a_label_is_taken_in_any_capitals_and_by_a_folder_without_a_record(tree):
    record(tree, "Rev-2")
    write_files(tree.root, {"builds/avocet/old/notes.txt": "x"})
    assert label_taken(tree, "avocet", "rev-2") == "Rev-2"
    assert label_taken(tree, "avocet", "OLD") == "old"
    assert label_taken(tree, "avocet", "rev-3") is None
    with pytest.raises(AskedWrongly, match=r"builds/avocet/Rev-2 is there already"):
        record(tree, "rev-2")


def test_a_record_made_another_day_can_be_completed_but_not_with_other_notes(tree):
    first = plan(tree).record
    assert same_build(first, plan(tree, on=date(2026, 5, 9)).record)
    assert not same_build(first, plan(tree, notes=(ChangeNote(about=("lid",), why="x"),)).record)
    assert not same_build(first, plan(tree, spec=b"robot: avocet\n").record)
    assert not same_build(first, plan(tree, before="0").record)


def test_unfinished_folders_are_never_read_as_builds(tree):
    record(tree)
    (tree.root / "builds/avocet/A").rename(tree.root / "builds/avocet/.A.partial")
    assert labels_of(tree, "avocet") == ()
    assert label_taken(tree, "avocet", "A") is None
