"""The door to git: what a stranger's repository cannot do, and what is said where git cannot help."""

import os
import shutil
import time

import pytest

import lineage.archive.git
from lineage.archive.commits import commit_paths
from lineage.archive.git import NoRepository, find_repository, init_repository
from lineage.archive.kept import keep
from lineage.archive.revision_tree import RevisionTree
from lineage.archive.revisions import (
    head_commit,
    index_entries,
    list_tree,
    log,
    unmerged_entries,
)
from lineage.problems import AskedWrongly, NotNow
from tests.builders import GitFamily, make_family


@pytest.fixture
def family(tmp_path):
    return GitFamily(tmp_path / "waders")


PROGRAMS = (
    "core.fsmonitor", "core.pager", "core.editor", "core.sshCommand", "core.askPass", "core.gitProxy",
    "gpg.program", "gpg.ssh.program", "diff.external", "pager.log", "pager.ls-tree", "sequence.editor",
    "filter.evil.clean", "filter.evil.smudge", "filter.evil.process", "filter.very.evil.name.clean",
    "diff.evil.textconv", "diff.evil.command", "merge.evil.driver", "credential.helper", "remote.origin.uploadpack",
    "interactive.diffFilter", "core.alternateRefsCommand", "uploadpack.packObjectsHook",
)  # fmt: skip


def make_hostile(family):
    """Every setting that can name a program names one that leaves a trace."""
    trap = family.top.parent / "trap.sh"
    trap.write_text(f'#!/bin/sh\necho "$0 $@" >> {family.top.parent}/sprung\nexit 1\n')
    trap.chmod(0o755)
    settings = {name: str(trap) for name in PROGRAMS}
    settings |= {
        "log.showSignature": "true", "commit.gpgSign": "true", "core.untrackedCache": "true",
        "extensions.partialClone": "origin", "remote.origin.promisor": "true",
        "remote.origin.url": f"ext::{trap} %S", "protocol.ext.allow": "always", "filter.evil.required": "true",
        "core.hooksPath": str(family.top.parent / "hooks"), "core.repositoryFormatVersion": "1",
        "remote.origin.partialCloneFilter": "blob:none",
    }  # fmt: skip
    (family.top.parent / "hooks").mkdir()
    for name in (
        "reference-transaction",
        "pre-commit",
        "post-index-change",
        "post-commit",
        "fsmonitor-watchman",
    ):
        shutil.copy(trap, family.top.parent / "hooks" / name)
    family.write({".gitattributes": "* filter=evil diff=evil merge=evil\n*.dxf filter=very.evil.name\n"})
    family.commit("Attributes")
    for name, value in settings.items():
        family.git("config", "--replace-all", name, value)
    return family.top.parent / "sprung"


def test_the_trap_of_these_tests_is_sprung_by_git_itself(family):
    sprung = make_hostile(family)
    family.git("status", fine=False)
    assert sprung.exists()


def test_a_hostile_repository_runs_nothing_when_it_is_read_and_written(family):
    sprung = make_hostile(family)
    repository = find_repository(family.root)
    assert sprung.exists() is False
    commit = head_commit(repository)
    assert RevisionTree(repository, "HEAD").read("family.yaml")
    assert [entry.subject for entry in log(repository)] == ["Attributes", "Begin"]
    assert index_entries(repository)
    assert unmerged_entries(repository) == ()
    for number in range(3):  # the files are as young as the index, so that git looks into them again
        line = b"- {no: %d}\n" % number
        family.write({"results/avocet.yaml": line, "plates/lid.dxf": line})
        os.utime(family.root / "family.yaml", (time.time(), time.time()))
        kept = keep(family.root, ["results/avocet.yaml", "plates/lid.dxf"], "Weigh")
        assert kept.commit, kept.why_not
    assert list_tree(repository, commit)
    assert not sprung.exists(), sprung.read_text()


def test_a_signed_commit_does_not_call_the_program_that_checks_signatures(family):
    sprung = make_hostile(family)
    tree = family.git("write-tree", fine=False) or family.git("rev-parse", "HEAD^{tree}")
    signed = (
        f"tree {tree}\nauthor A <a@b.example> 1 +0000\ncommitter A <a@b.example> 1 +0000\n"
        "gpgsig -----BEGIN PGP SIGNATURE-----\n x\n -----END PGP SIGNATURE-----\n\nSigned\n"
    )
    source = family.top.parent / "commit"
    source.write_text(signed)
    commit = family.git("hash-object", "-t", "commit", "-w", "--no-filters", str(source))
    sprung.unlink(missing_ok=True)
    assert [entry.subject for entry in log(find_repository(family.root), commit)] == ["Signed"]
    assert not sprung.exists()


def test_contents_that_a_repository_left_elsewhere_are_not_fetched(family):
    sprung = make_hostile(family)
    blob = family.git("rev-parse", "HEAD:robots/avocet.yaml")
    (family.top / ".git/objects" / blob[:2] / blob[2:]).unlink()
    sprung.unlink(missing_ok=True)
    tree = RevisionTree(find_repository(family.root), "HEAD")
    with pytest.raises(NotNow):
        tree.read("robots/avocet.yaml")
    assert not sprung.exists(), sprung.read_text()


def test_an_option_typed_as_a_revision_writes_no_file(family):
    target = family.top.parent / "written"
    with pytest.raises(AskedWrongly):
        RevisionTree(find_repository(family.root), f"--output={target}")
    with pytest.raises(AskedWrongly):
        log(find_repository(family.root), f"--output={target}")
    assert not target.exists()


def test_no_repository_is_told_without_starting_git(tmp_path, monkeypatch):
    root = make_family(tmp_path / "waders")
    monkeypatch.setattr(lineage.archive.git, "_call", None)
    with pytest.raises(NoRepository, match="no git repository"):
        find_repository(root)


def test_a_bare_repository_and_a_working_tree_elsewhere_are_refused(family, tmp_path):
    family.git("config", "core.worktree", str(tmp_path))
    assert find_repository(family.root).prefix == "waders/"
    family.git("config", "core.worktree", "/usr")
    with pytest.raises(NotNow, match="not in the working tree"):
        find_repository(family.root)
    family.git("config", "--unset", "core.worktree", at=tmp_path, fine=False)
    other = GitFamily(tmp_path / "other")
    other.git("config", "core.bare", "true")
    with pytest.raises(NotNow, match="not in the working tree"):
        find_repository(other.root)


def test_a_repository_of_somebody_else_is_said_in_words(family, monkeypatch):
    monkeypatch.setenv("GIT_TEST_ASSUME_DIFFERENT_OWNER", "1")
    with pytest.raises(NotNow, match="belongs to somebody else"):
        find_repository(family.root)
    assert "safe.directory" in keep(family.root, ["family.yaml"], "x").why_not


def test_git_that_is_missing_or_too_old_is_said_in_words(family, monkeypatch, tmp_path):
    lineage.archive.git._git.cache_clear()
    monkeypatch.setenv("PATH", str(tmp_path))
    with pytest.raises(NotNow, match="not installed"):
        find_repository(family.root)
    kept = keep(family.root, ["family.yaml"], "x")
    assert kept.said.startswith("kept, not committed: git is not installed")
    old = tmp_path / "git"
    old.write_text("#!/bin/sh\necho git version 2.30.9\n")
    old.chmod(0o755)
    lineage.archive.git._git.cache_clear()
    with pytest.raises(NotNow, match=r"git 2\.30\.9 is too old"):
        find_repository(family.root)
    monkeypatch.undo()
    lineage.archive.git._git.cache_clear()
    assert find_repository(family.root).top == family.top


def test_a_folder_becomes_a_repository_once(tmp_path):
    root = make_family(tmp_path / "waders")
    repository = init_repository(root)
    assert repository.top == root
    assert init_repository(root / "robots").prefix == "robots/"
    assert commit_paths(repository, {"family.yaml": b"x"}, "Begin")


def test_the_log_can_be_narrowed_to_paths_and_counted(family):
    family.write({"robots/avocet.yaml": "robot: avocet\n"})
    family.commit("Change avocet: ünder 3 lb")
    family.write({"modules/drive-pod.yaml": "module: drive-pod\n"})
    last = family.commit("Change drive-pod")
    repository = find_repository(family.root)
    first, *_, begin = log(repository)
    assert (first.id, first.author, first.when.isoformat()) == (
        last,
        "Robin Bench",
        "2026-03-07T14:00:00+00:00",
    )
    assert first.parents != ()
    assert begin.parents == ()
    assert [entry.subject for entry in log(repository, paths=["robots"])] == [
        "Change avocet: ünder 3 lb",
        "Begin",
    ]
    assert [entry.subject for entry in log(repository, most=1)] == ["Change drive-pod"]


def test_the_log_of_a_family_leaves_out_what_else_is_in_a_larger_repository(tmp_path):
    family = GitFamily(tmp_path / "workshop", inside="waders")
    (family.top / "readme.txt").write_text("x")
    family.commit("Something else")
    assert [entry.subject for entry in log(find_repository(family.root))] == ["Begin"]


def test_before_the_first_commit_there_is_no_log(tmp_path):
    family = GitFamily(tmp_path / "waders", commit=False)
    assert log(find_repository(family.root)) == ()


def test_a_repository_is_asked_again_when_its_settings_changed_or_another_came_between(tmp_path, monkeypatch):
    family = GitFamily(tmp_path / "workshop", inside="waders")
    calls = []
    real = lineage.archive.git._call
    monkeypatch.setattr(lineage.archive.git, "_call", lambda *args: calls.append(args) or real(*args))
    first = find_repository(family.root)
    asked = len(calls)
    assert find_repository(family.root) == first
    assert len(calls) == asked
    family.git("config", "filter.new.clean", "cat")
    assert find_repository(family.root).filters == ("new",)
    family.git("init", "--quiet", at=family.root)
    assert find_repository(family.root).top == family.root
