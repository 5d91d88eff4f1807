"""One commit of just these files, on real repositories."""

import os
from datetime import date

import pytest

from lineage.archive.commits import commit_day, commit_paths
from lineage.archive.git import GitFailed, find_repository
from lineage.archive.ids import content_id
from lineage.archive.revisions import head_commit, index_entries, list_tree
from lineage.problems import AskedWrongly, NotNow
from tests.builders import FAMILY, GitFamily

LINE = {"results/avocet.yaml": b"- {on: 2026-05-02, kind: mass, is: 1352 g}\n"}


def keep(family: GitFamily, files=LINE, message="Weigh avocet", **more):
    family.write(files)
    return commit_paths(find_repository(family.root), files, message, **more)


@pytest.fixture
def family(tmp_path):
    return GitFamily(tmp_path / "waders")


def test_a_commit_holds_just_its_files_and_leaves_a_clean_status(family):
    commit = keep(family)
    assert commit == family.git("rev-parse", "HEAD")
    assert family.changed_in() == ["results/avocet.yaml"]
    assert family.status == ""
    assert family.show("HEAD:results/avocet.yaml") == LINE["results/avocet.yaml"]


def test_nothing_else_that_was_staged_goes_in(family):
    family.write({"robots/avocet.yaml": "half done\n", "notes.txt": "new\n"})
    family.git("add", ".")
    family.git("rm", "--quiet", "--cached", "modules/drive-pod.yaml")
    keep(family)
    assert family.changed_in() == ["results/avocet.yaml"]
    assert family.staged == ["modules/drive-pod.yaml", "notes.txt", "robots/avocet.yaml"]


def test_only_the_family_in_a_larger_repository_is_touched(tmp_path):
    family = GitFamily(tmp_path / "workshop", inside="robots and more/waders")
    keep(family)
    assert family.changed_in() == ["robots and more/waders/results/avocet.yaml"]
    assert family.status == ""
    repository = find_repository(family.root)
    assert set(list_tree(repository, head_commit(repository))) == {
        "family.yaml",
        "modules/drive-pod.yaml",
        "results/avocet.yaml",
        "robots/avocet.yaml",
    }


def test_the_first_commit_of_a_repository_can_be_ours(tmp_path):
    family = GitFamily(tmp_path / "waders", commit=False)
    assert head_commit(find_repository(family.root)) is None
    keep(family)
    assert family.git("log", "--format=%s") == "Weigh avocet"
    assert family.git("symbolic-ref", "HEAD") == "refs/heads/main"
    assert family.changed_in() == ["results/avocet.yaml"]


def test_with_no_branch_checked_out_the_head_moves_and_no_branch_does(family):
    main = family.git("rev-parse", "main")
    family.git("checkout", "--quiet", "--detach")
    commit = keep(family)
    assert family.git("rev-parse", "HEAD") == commit
    assert family.git("rev-parse", "main") == main


def test_what_is_committed_already_is_not_committed_again(family):
    first = keep(family)
    assert keep(family) is None
    assert family.git("rev-parse", "HEAD") == first


def test_files_committed_before_but_never_staged_are_staged(family):
    keep(family)
    family.git("rm", "--quiet", "--cached", "results/avocet.yaml")
    assert keep(family) is None
    assert family.status == ""


def test_dates_of_git_itself_are_obeyed_before_the_given_one(family, monkeypatch):
    keep(family, when="2026-05-02T09:00:00+00:00")
    assert (
        family.git("log", "-1", "--format=%aI %cI") == "2026-05-02T09:00:00+00:00 2026-05-02T09:00:00+00:00"
    )
    monkeypatch.setenv("GIT_AUTHOR_DATE", "2026-05-01T23:30:00-0330")
    keep(family, {"results/b.yaml": b"- {}\n"}, when="2026-05-03T09:00:00+00:00")
    assert (
        family.git("log", "-1", "--format=%aI %cI") == "2026-05-01T23:30:00-03:30 2026-05-03T09:00:00+00:00"
    )


@pytest.mark.parametrize(
    ("said", "day"),
    [
        ("2026-05-01T23:30:00-0330", date(2026, 5, 1)),
        ("1777692600 +0000", date(2026, 5, 2)),
        ("1777692599 -0330", date(2026, 5, 1)),
        ("Fri, 1 May 2026 23:30:00 +0200", date(2026, 5, 1)),
    ],
)
def test_the_day_of_a_record_is_that_of_its_commit_where_it_was_made(family, monkeypatch, said, day):
    monkeypatch.setenv("GIT_AUTHOR_DATE", said)
    assert commit_day() == day
    keep(family)
    assert family.git("log", "-1", "--format=%as") == day.isoformat()


def test_a_date_that_git_cannot_read_is_refused(family, monkeypatch):
    monkeypatch.setenv("GIT_AUTHOR_DATE", "the day before the event")
    with pytest.raises(AskedWrongly, match="the day before the event"):
        commit_day()


def test_hooks_are_not_run(family):
    for name in ("pre-commit", "commit-msg", "post-commit", "reference-transaction", "post-index-change"):
        hook = family.top / ".git/hooks" / name
        hook.write_text(f"#!/bin/sh\ntouch {family.top}/ran-{name}\nexit 1\n")
        hook.chmod(0o755)
    assert keep(family)
    assert not list(family.top.glob("ran-*"))


@pytest.mark.parametrize(
    "file", ["MERGE_HEAD", "CHERRY_PICK_HEAD", "REVERT_HEAD", "rebase-merge", "BISECT_LOG"]
)
def test_while_something_else_is_under_way_nothing_is_committed(family, file):
    before = family.git("rev-parse", "HEAD")
    (family.top / ".git" / file).write_text(f"{before}\n")
    with pytest.raises(NotNow, match="under way"):
        keep(family)
    assert family.git("rev-parse", "HEAD") == before


def test_without_an_identity_nothing_is_committed_under_a_guessed_name(family, monkeypatch):
    for name in ("GIT_AUTHOR_NAME", "GIT_AUTHOR_EMAIL", "GIT_COMMITTER_NAME", "GIT_COMMITTER_EMAIL"):
        monkeypatch.delenv(name)
    monkeypatch.setenv("EMAIL", "someone@a-machine.example")
    before = family.git("rev-parse", "HEAD")
    with pytest.raises(NotNow, match="who you are"):
        keep(family)
    assert family.git("rev-parse", "HEAD") == before


def test_filters_and_line_end_settings_do_not_touch_what_is_stored(family):
    family.git("config", "core.autocrlf", "true")
    family.git("config", "filter.up.clean", f"touch {family.top}/ran; tr a-z A-Z")
    family.write({".gitattributes": "* filter=up text=auto\n"})
    data = b"- {on: 2026-05-02,\r\nkind: mass}\r\n"
    keep(family, {"results/avocet.yaml": data})
    assert family.show("HEAD:results/avocet.yaml") == data
    assert index_entries(find_repository(family.root), ["results"])[0].blob == content_id(data)
    assert not (family.top / "ran").exists()


def test_names_with_spaces_and_other_letters_are_stored_as_they_are(family):
    names = ["plates/lid of the tray.dxf", "plates/Flügel.dxf", "plates/[a]*.dxf", "plates/-x.dxf"]
    keep(family, dict.fromkeys(names, b"0\n"))
    assert family.status == ""
    repository = find_repository(family.root)
    assert set(names) <= set(list_tree(repository, head_commit(repository)))


def test_a_repository_with_longer_ids_works_as_well(tmp_path):
    family = GitFamily(tmp_path / "waders", digest="sha256")
    commit = keep(family)
    assert len(commit) == 64
    assert family.status == ""
    assert keep(family) is None


def test_a_second_working_tree_commits_to_its_own_branch(family, tmp_path):
    family.git("worktree", "add", "--quiet", "-b", "side", str(tmp_path / "side"))
    other = object.__new__(GitFamily)
    other.top = other.root = tmp_path / "side"
    other.commits = 9
    commit = keep(other)
    assert family.git("rev-parse", "side") == commit
    assert other.status == ""
    assert family.git("rev-parse", "main") != commit


def test_a_submodule_commits_to_itself(family, tmp_path):
    outer = GitFamily(tmp_path / "outer", {"readme.txt": "x\n"})
    outer.git("-c", "protocol.file.allow=always", "submodule", "--quiet", "add", str(family.top), "waders")
    outer.commit("Add the family")
    inner = object.__new__(GitFamily)
    inner.top = inner.root = outer.top / "waders"
    inner.commits = 9
    before = outer.git("rev-parse", "HEAD")
    commit = keep(inner)
    assert inner.git("rev-parse", "HEAD") == commit
    assert outer.git("rev-parse", "HEAD") == before


def test_variables_that_git_sets_for_hooks_do_not_lead_us_to_another_repository(
    family, tmp_path, monkeypatch
):
    other = GitFamily(tmp_path / "other", {"readme.txt": "x\n"})
    before = other.git("rev-parse", "HEAD")
    monkeypatch.setenv("GIT_DIR", str(other.top / ".git"))
    monkeypatch.setenv("GIT_INDEX_FILE", str(other.top / ".git/index"))
    monkeypatch.setenv("GIT_WORK_TREE", str(other.top))
    commit = keep(family)
    for name in ("GIT_DIR", "GIT_INDEX_FILE", "GIT_WORK_TREE"):
        monkeypatch.delenv(name)
    assert family.git("rev-parse", "HEAD") == commit
    assert other.git("rev-parse", "HEAD") == before
    assert family.status == other.status == ""


def test_settings_given_to_git_by_environment_stay(family, monkeypatch):
    for name in ("GIT_AUTHOR_NAME", "GIT_COMMITTER_NAME"):
        monkeypatch.delenv(name)
    monkeypatch.setenv("GIT_CONFIG_COUNT", "1")
    monkeypatch.setenv("GIT_CONFIG_KEY_0", "user.name")
    monkeypatch.setenv("GIT_CONFIG_VALUE_0", "Kim Pit")
    keep(family)
    assert family.git("log", "-1", "--format=%an") == "Kim Pit"


def test_a_lock_of_another_git_is_waited_for_and_then_named(family, monkeypatch):
    monkeypatch.setattr("lineage.archive.commits._PAUSE", 0.001)
    monkeypatch.setattr("lineage.archive.commits._TRIES", 2)
    lock = family.top / ".git/refs/heads/main.lock"
    lock.write_text("")
    before = family.git("rev-parse", "HEAD")
    with pytest.raises(GitFailed):
        keep(family)
    assert family.git("rev-parse", "HEAD") == before
    lock.unlink()
    assert keep(family)


def test_a_program_stays_one(family):
    family.write({"tools/cut.sh": "#!/bin/sh\n"})
    (family.root / "tools/cut.sh").chmod(0o755)
    commit_paths(find_repository(family.root), {"tools/cut.sh": b"#!/bin/sh\n"}, "Add")
    assert family.git("ls-tree", "HEAD", "tools/cut.sh").startswith("100755")


def test_ten_commits_in_a_row_are_ten(family):
    for number in range(10):
        keep(family, {"results/avocet.yaml": b"- {no: %d}\n" % number})
    assert family.git("rev-list", "--count", "HEAD") == "11"
    assert FAMILY.encode() == family.show("HEAD:family.yaml")
    assert os.environ["GIT_CONFIG_NOSYSTEM"] == "1"
