"""A safety copy counts once it has been opened and looked through."""

import pytest

from lineage.archive.backup import check_backup, make_backup
from lineage.archive.git import find_repository
from lineage.problems import AskedWrongly, NotNow
from tests.builders import GitFamily


@pytest.fixture(params=["sha1", "sha256"])
def family(tmp_path, request):
    family = GitFamily(tmp_path / "waders", digest=request.param)
    family.git("branch", "winter")
    family.git("tag", "spring")
    family.write({"robots/avocet.yaml": "robot: avocet\n"})
    family.commit("Change")
    (tmp_path / "stick").mkdir()
    return family


def backup(family):
    return make_backup(find_repository(family.root), family.top.parent / "stick", "waders")


def test_every_branch_and_tag_comes_back_from_a_copy(family, tmp_path):
    made = backup(family)
    head = family.git("rev-parse", "HEAD")
    assert made.file == tmp_path / f"stick/waders-{head[:10]}.bundle"
    assert made.commits == 2
    assert set(made.refs) == {"refs/heads/main", "refs/heads/winter", "refs/tags/spring", "HEAD"}
    assert list((tmp_path / "stick").iterdir()) == [made.file]
    family.git("clone", "--quiet", str(made.file), str(tmp_path / "back"))
    assert family.git("rev-parse", "HEAD", "origin/winter", "spring", at=tmp_path / "back").splitlines() == [
        head,
        *family.git("rev-parse", "winter", "spring").splitlines(),
    ]


def test_a_copy_can_be_made_twice(family):
    assert backup(family) == backup(family)


def test_what_is_not_committed_is_named_as_left_out(family):
    family.write(
        {
            ".gitignore": "*.tmp\n",
            "a.tmp": "x",
            "plates/new.dxf": "0\n",
            "modules/drive-pod.yaml": "module: x\n",
        }
    )
    (family.root / "link.yaml").symlink_to("family.yaml")
    (family.root / "gone.yaml").symlink_to("nowhere")
    family.git("add", "link.yaml")
    family.git("commit", "--quiet", "-m", "Link")
    assert backup(family).left_out == (".gitignore", "gone.yaml", "modules/drive-pod.yaml", "plates/new.dxf")


def test_a_copy_that_was_damaged_is_told(family):
    made = backup(family)
    data = bytearray(made.file.read_bytes())
    for damaged in (data[:-30], data[: len(data) // 2], data[:-40] + bytes(20) + data[-20:], b""):
        made.file.write_bytes(bytes(damaged))
        with pytest.raises(NotNow, match="not whole"):
            check_backup(made.file)


def test_a_damaged_repository_leaves_the_last_good_copy_alone(family):
    made = backup(family)
    good = made.file.read_bytes()
    blob = family.git("rev-parse", "HEAD:robots/avocet.yaml")
    (family.top / ".git/objects" / blob[:2] / blob[2:]).unlink()
    with pytest.raises(NotNow):
        backup(family)
    assert made.file.read_bytes() == good
    assert list(made.file.parent.iterdir()) == [made.file]


def test_what_cannot_be_copied_is_said_before(family, tmp_path):
    repository = find_repository(family.root)
    with pytest.raises(AskedWrongly, match="another disk"):
        make_backup(repository, family.root / "robots", "waders")
    with pytest.raises(AskedWrongly, match="mkdir"):
        make_backup(repository, tmp_path / "none", "waders")
    family.git("clone", "--quiet", "--depth=1", f"file://{family.top}", str(tmp_path / "shallow"))
    with pytest.raises(NotNow, match="shallow"):
        make_backup(find_repository(tmp_path / "shallow"), tmp_path / "stick", "waders")
    empty = GitFamily(tmp_path / "empty", commit=False)
    with pytest.raises(NotNow, match="nothing is committed"):
        make_backup(find_repository(empty.root), tmp_path / "stick", "waders")
