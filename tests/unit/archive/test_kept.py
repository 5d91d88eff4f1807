"""What was written is committed where it can be, and it is said where not."""

import pytest

from lineage.archive.append import append_line
from lineage.archive.attributes import GITATTRIBUTES
from lineage.archive.keep import write_whole
from lineage.archive.kept import keep
from tests.builders import SMALL, GitFamily, make_family

PATH = "results/avocet.yaml"


@pytest.fixture
def family(tmp_path):
    return GitFamily(tmp_path / "waders", {**SMALL, ".gitattributes": GITATTRIBUTES})


def measure(root, grams):
    append_line(root, PATH, lambda _: f"- {{on: 2026-05-02, kind: mass, is: {grams} g}}")
    return keep(root, [PATH], f"Weigh avocet: {grams} g")


def test_a_line_is_kept_and_committed(family):
    kept = measure(family.root, 1352)
    assert kept.commit == family.git("rev-parse", "HEAD")
    assert kept.said == ""
    assert family.status == ""


def test_not_asked_for_or_no_repository_keeps_the_file_alone(family, tmp_path):
    assert keep(family.root, ["family.yaml"], "x", commit=False).said == "kept, not committed: as asked"
    root = make_family(tmp_path / "plain")
    kept = measure(root, 1352)
    assert (kept.commit, kept.said) == (
        None,
        "kept, not committed: there is no git repository here: git init",
    )
    assert (root / PATH).exists()


def test_in_a_merge_the_line_is_kept_and_the_merge_named(family):
    other = family.clone(family.top.parent / "laptop")
    for side, text in ((family, "robot: avocet\ntitle: ours\n"), (other, "robot: avocet\ntitle: theirs\n")):
        side.write({"robots/avocet.yaml": text})
        side.commit("Change")
    family.git("pull", "--quiet", "--no-rebase", str(other.top), fine=False)
    kept = measure(family.root, 1352)
    assert kept.commit is None
    assert "a merge is under way" in kept.said
    assert (family.root / PATH).read_text().endswith("is: 1352 g}\n")
    assert family.git("diff", "--name-only", "--diff-filter=U") == "robots/avocet.yaml"


def test_without_an_identity_the_line_is_kept_and_the_cure_printed(family, monkeypatch):
    for name in ("GIT_AUTHOR_NAME", "GIT_AUTHOR_EMAIL", "GIT_COMMITTER_NAME", "GIT_COMMITTER_EMAIL"):
        monkeypatch.delenv(name)
    kept = measure(family.root, 1352)
    assert "git config --global user.name" in kept.said


def test_a_record_whose_commit_is_missing_is_completed_later(family):
    files = {
        "builds/avocet/drawings/lid-0123456789ab.dxf": b"lid\r\n",
        "builds/avocet/A/spec.yaml": b"robot: avocet\n",
        "builds/avocet/A/build.yaml": b"format: 1\n",
    }
    write_whole(family.root, files, "builds/avocet/A")  # and here the power went
    assert family.git("log", "--format=%s") == "Begin"
    assert write_whole(family.root, files, "builds/avocet/A") == ()
    kept = keep(family.root, tuple(files), "Record avocet@A")
    assert kept.commit == family.git("rev-parse", "HEAD")
    assert family.changed_in() == sorted(files)
    again = keep(family.root, tuple(files), "Record avocet@A")
    assert (again.commit, again.why_not) == (None, None)
    assert family.status == ""


def test_after_two_laptops_are_merged_no_line_of_either_is_missing(family):
    measure(family.root, 1000)
    other = family.clone(family.top.parent / "laptop")
    for grams in range(1100, 1104):
        measure(family.root, grams)
    for grams in range(1200, 1204):
        measure(other.root, grams)
    family.git("pull", "--quiet", "--no-rebase", "--no-edit", str(other.top))
    lines = (family.root / PATH).read_text().splitlines()
    assert sorted(lines) == sorted(
        f"- {{on: 2026-05-02, kind: mass, is: {grams} g}}"
        for grams in (1000, *range(1100, 1104), *range(1200, 1204))
    )


def test_on_a_laptop_that_changes_line_ends_files_stay_as_they_are(family):
    other = family.clone(family.top.parent / "laptop")
    other.git("config", "core.autocrlf", "true")
    for file in other.root.rglob("*.yaml"):
        file.unlink()
    other.git("checkout", "--quiet", "--", ".")
    assert (other.root / "robots/avocet.yaml").read_bytes() == SMALL["robots/avocet.yaml"].encode()
    measure(other.root, 1352)
    assert other.status == ""


def test_a_full_disk_is_said_and_the_line_is_kept(family, monkeypatch):
    def full(*args, **more):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("lineage.archive.kept.commit_paths", full)
    assert measure(family.root, 1352).said == "kept, not committed: git: No space left on device"
    assert (family.root / PATH).exists()


def test_an_index_that_stays_locked_is_named_and_the_commit_stands(family, monkeypatch):
    monkeypatch.setattr("lineage.archive.commits._PAUSE", 0.001)
    (family.top / ".git/index.lock").write_text("")
    kept = measure(family.root, 1352)
    assert kept.commit == family.git("rev-parse", "HEAD")
    assert f"git add -- {PATH}" in kept.note
