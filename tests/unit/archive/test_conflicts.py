"""Two branches recorded one label: what is printed keeps both."""

import subprocess
from datetime import date

import pytest

from lineage.archive.builds import build_paths, labels_of, plan_build, read_build_files
from lineage.archive.conflicts import label_conflicts
from lineage.archive.git import find_repository
from lineage.archive.keep import write_whole
from lineage.archive.kept import keep
from lineage.archive.tree import WorkingTree
from lineage.spec.records import ChangeNote
from tests.builders import FAMILY, MODULE, SMALL, GitFamily


def record(family, label, spec=MODULE, *, drawings=None, why="", before=None):
    tree = WorkingTree(family.root)
    plan = plan_build(
        tree,
        design="drive-pod",
        label=label,
        on=date(2026, 5, 2),
        before=before,
        spec_path="modules/drive-pod.yaml",
        spec=spec.encode(),
        family=FAMILY.encode(),
        drawings=drawings or {},
        notes=(ChangeNote(about=("motor",), why=why),) if why else (),
    )
    write_whole(family.root, plan.files, plan.folder)
    keep(family.root, build_paths(tree, plan.record), f"Record drive-pod@{label}")
    return plan.record


@pytest.fixture(params=["", "robots of mine/waders"])
def families(tmp_path, request):
    ours = GitFamily(tmp_path / "ours", inside=request.param)
    record(ours, "A")
    return ours, ours.clone(tmp_path / "theirs")


def merge(ours, theirs):
    ours.git("pull", "--quiet", "--no-rebase", "--no-edit", str(theirs.top), fine=False)
    return label_conflicts(find_repository(ours.root))


def test_without_a_conflict_there_is_nothing_to_say(families):
    ours, theirs = families
    record(theirs, "B", MODULE + "about: theirs\n", before="A")
    assert merge(ours, theirs) == ()


def test_the_commands_keep_ours_and_write_theirs_under_a_free_label(families):
    ours, theirs = families
    mine = record(
        ours, "B", MODULE + "about: ours\n", drawings={"plates/pod.dxf": b"ours"}, why="lighter", before="A"
    )
    other = record(
        theirs,
        "B",
        MODULE + "about: theirs\n",
        drawings={"plates/pod.dxf": b"theirs"},
        why="stiffer",
        before="A",
    )
    record(theirs, "c", MODULE + "about: later\n", before="B")
    [conflict] = merge(ours, theirs)
    assert (conflict.design, conflict.label, conflict.free, conflict.same) == ("drive-pod", "B", "D", False)
    for command in conflict.commands:
        subprocess.run(command, shell=True, check=True, cwd=ours.root)
    assert ours.git("diff", "--name-only", "--diff-filter=U") == ""
    ours.git("commit", "--quiet", "--no-edit")
    tree = WorkingTree(ours.root)
    assert set(labels_of(tree, "drive-pod")) == {"A", "B", "c", "D"}
    kept, moved = (read_build_files(tree, "drive-pod", label) for label in ("B", "D"))
    assert (kept.record.id, kept.record.notes, kept.drawings) == (
        mine.id,
        mine.notes,
        {"plates/pod.dxf": b"ours"},
    )
    assert (moved.record.id, moved.record.notes) == (other.id, other.notes)
    assert moved.drawings == {"plates/pod.dxf": b"theirs"}
    assert ours.status == ""


def test_one_build_recorded_on_both_sides_is_simply_kept(families):
    ours, theirs = families
    spec = MODULE + "about: same\n"
    record(ours, "B", spec, why="lighter", before="A")
    record(theirs, "B", spec, why="less mass", before="A")
    [conflict] = merge(ours, theirs)
    assert (conflict.same, conflict.free) == (True, "B")
    for command in conflict.commands:
        subprocess.run(command, shell=True, check=True, cwd=ours.root)
    assert ours.git("diff", "--name-only", "--diff-filter=U") == ""


def test_what_of_theirs_names_the_build_is_printed_and_what_of_ours_is_not(families):
    ours, theirs = families
    record(ours, "B", MODULE + "about: ours\n", before="A")
    robot = SMALL["robots/avocet.yaml"]
    ours.write({"robots/stilt.yaml": "robot: stilt\nmodules:\n  left: drive-pod@B\n"})
    ours.write({"results/drive-pod.yaml": '- {on: 2026-05-02, kind: bench, build: "B", of: x, is: 1 N}\n'})
    ours.commit("Ours")
    other = record(theirs, "B", MODULE + "about: theirs\n", before="A")
    theirs.write({"robots/avocet.yaml": robot + "modules:\n  left: drive-pod@B\n  old: drive-pod@B-2\n"})
    line = '- {on: 2026-05-03, kind: bench, build: "B", of: x, is: 2 N}'
    theirs.write({"results/drive-pod.yaml": f"{line}\n- {{on: 2026-05-03, kind: snag, build: A, mode: x}}\n"})
    theirs.write({"builds/avocet/A/build.yaml": f"uses:\n  drive-pod@B: {other.id}\n"})
    theirs.commit("Theirs")
    [conflict] = merge(ours, theirs)
    assert [(m.path, m.line.strip()) for m in conflict.edits] == [("robots/avocet.yaml", "left: drive-pod@B")]
    assert [(m.path, m.line) for m in conflict.corrections] == [("results/drive-pod.yaml", line)]
    assert conflict.recorded == ("builds/avocet/A",)
    mend = conflict.problem.mend
    assert f"--instead-of {conflict.corrections[0].id}" in mend
    assert "change drive-pod@B to drive-pod@C" in mend


def test_names_that_a_shell_would_obey_never_get_into_commands(families):
    ours, theirs = families
    for side, text in ((ours, "ours\n"), (theirs, "theirs\n")):
        side.write(
            {"builds/x; touch ran/B/build.yaml": text, "builds/drive-pod/$(touch ran)/build.yaml": text}
        )
        side.commit("Strange")
    assert merge(ours, theirs) == ()


def test_lines_of_theirs_are_shown_without_what_a_terminal_obeys(families):
    ours, theirs = families
    record(ours, "B", MODULE + "about: ours\n", before="A")
    record(theirs, "B", MODULE + "about: theirs\n", before="A")
    theirs.write({"robots/stilt.yaml": "left: drive-pod@B \x1b[2J\n"})
    theirs.commit("Theirs")
    [conflict] = merge(ours, theirs)
    assert "left: drive-pod@B ?[2J" in conflict.problem.mend
