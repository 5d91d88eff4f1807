"""The files of a family in the folder and in a commit: the same questions, the same answers."""

import os

import pytest

import lineage.archive.revision_tree
import lineage.archive.tree
from lineage.archive.git import find_repository
from lineage.archive.ids import content_id
from lineage.archive.revision_tree import RevisionTree
from lineage.archive.tree import Tree, WorkingTree, find_family
from lineage.problems import AskedWrongly, BadInput
from tests.builders import FAMILY, SMALL, GitFamily, make_family, write_files


@pytest.fixture(
    params=["folder", "commit", "commit in a larger repository", "commit with longer ids"], scope="module"
)
def tree(request, tmp_path_factory) -> Tree:
    tmp_path = tmp_path_factory.mktemp("trees")
    write_files(tmp_path.parent, {"outside.yaml": "secret"})
    inside = "robots/waders" if "larger" in request.param else ""
    family = GitFamily(
        tmp_path / "top", inside=inside, digest="sha256" if "longer" in request.param else "sha1"
    )
    write_files(family.top, {"elsewhere/family.yaml": "family: other\n"} if inside else {})
    (family.root / "inner.yaml").symlink_to("robots/avocet.yaml")
    (family.root / "outer.yaml").symlink_to("/etc/passwd")
    (family.root / "upper.yaml").symlink_to(os.path.relpath(tmp_path.parent / "outside.yaml", family.root))
    (family.root / "ring.yaml").symlink_to("ring.yaml")
    family.write({"builds/.A.partial/build.yaml": "half", "plates/ü x.dxf": b"\x00\r\n"})
    family.commit("All")
    if request.param == "folder":
        return WorkingTree(family.root)
    return RevisionTree(find_repository(family.root), "HEAD")


def test_files_are_listed_in_order_without_unfinished_ones(tree):
    links = {"inner.yaml", "outer.yaml", "upper.yaml", "ring.yaml"}
    assert set(tree.files()) - links == {*SMALL, "plates/ü x.dxf"}
    assert list(tree.files()) == sorted(tree.files())
    assert tree.files("robots") == tree.files("robots/") == ("robots/avocet.yaml",)
    assert tree.files("robot") == tree.files("none") == ()


def test_files_are_read_as_bytes_and_known_by_their_content(tree):
    assert tree.read("family.yaml") == FAMILY.encode()
    assert tree.read("plates/ü x.dxf") == b"\x00\r\n"
    assert tree.content_id("plates/ü x.dxf") == content_id(b"\x00\r\n")
    assert tree.content_id("family.yaml") == content_id(FAMILY.encode())


def test_what_is_not_there_is_none(tree):
    for path in ("robots/none.yaml", "robots", "family.yaml/x", "none/none.yaml"):
        assert tree.read(path) is None
        assert tree.content_id(path) is None


def test_a_link_inside_the_family_is_followed(tree):
    assert tree.read("inner.yaml") == SMALL["robots/avocet.yaml"].encode()


@pytest.mark.parametrize(
    "path",
    [
        "../outside.yaml",
        "/etc/passwd",
        "robots/../../x",
        "a//b",
        "",
        ".",
        "a\\b",
        "a\nb",
        "outer.yaml",
        "upper.yaml",
        "ring.yaml",
    ],
)
def test_nothing_outside_the_family_is_read(tree, path):
    for ask in (tree.read, tree.content_id):
        with pytest.raises(BadInput) as caught:
            ask(path)
        assert caught.value.problems[0].code in {"outside-family", "unreadable"}


def test_huge_files_are_refused_and_still_known_by_their_id(tree, monkeypatch):
    for module in (lineage.archive.tree, lineage.archive.revision_tree):
        monkeypatch.setattr(module, "READ_LIMIT", 10)
    monkeypatch.setattr(lineage.archive.revision_tree, "READ_LIMIT", 10)
    with pytest.raises(BadInput, match=r"family\.yaml has"):
        tree.read("family.yaml")
    assert tree.content_id("family.yaml") == content_id(FAMILY.encode())


def test_pipes_are_refused_instead_of_waited_for(tmp_path):
    root = make_family(tmp_path / "waders")
    os.mkfifo(root / "plates.dxf")
    with pytest.raises(BadInput, match="device or a pipe"):
        WorkingTree(root).read("plates.dxf")


def test_a_commit_is_read_a_folder_at_a_time(tmp_path, monkeypatch):
    files = {f"robots/r{number}.yaml": f"robot: r{number}\n" for number in range(20)}
    family = GitFamily(tmp_path / "waders", {**SMALL, **files})
    tree = RevisionTree(find_repository(family.root), "main")
    calls = []
    real = lineage.archive.revision_tree.read_blobs
    monkeypatch.setattr(
        lineage.archive.revision_tree, "read_blobs", lambda *args: calls.append(1) or real(*args)
    )
    assert [tree.read(path) for path in files] == [text.encode() for text in files.values()]
    assert len(calls) == 1


def test_a_commit_stays_what_it_was_while_the_folder_moves_on(tmp_path):
    family = GitFamily(tmp_path / "waders")
    family.git("tag", "spring")
    family.write({"robots/avocet.yaml": "robot: avocet\n"})
    family.commit("Change")
    then = RevisionTree(find_repository(family.root), "spring")
    assert then.read("robots/avocet.yaml") == SMALL["robots/avocet.yaml"].encode()
    assert (then.name, WorkingTree(family.root).name) == ("git:spring", "now")


@pytest.mark.parametrize(
    "revision", ["none", "--all", "-n1", "", "main\n", "main..main", ":/Begin^{tree}", "HEAD:family.yaml"]
)
def test_what_names_no_commit_is_asked_wrongly(tmp_path, revision):
    family = GitFamily(tmp_path / "waders")
    with pytest.raises(AskedWrongly, match="names no commit"):
        RevisionTree(find_repository(family.root), revision)


def test_a_shallow_clone_says_why_a_commit_is_missing(tmp_path):
    family = GitFamily(tmp_path / "waders")
    first = family.git("rev-parse", "HEAD")
    family.write({"robots/avocet.yaml": "robot: avocet\n"})
    family.commit("Change")
    family.git("clone", "--quiet", "--depth=1", f"file://{family.top}", str(tmp_path / "shallow"))
    repository = find_repository(tmp_path / "shallow")
    assert RevisionTree(repository, "HEAD").read("robots/avocet.yaml") == b"robot: avocet\n"
    with pytest.raises(AskedWrongly, match="shallow"):
        RevisionTree(repository, first)


def test_the_family_is_found_from_any_folder_in_it(tmp_path):
    root = make_family(tmp_path / "waders")
    (root / "plates/avocet").mkdir(parents=True)
    assert find_family(root / "plates/avocet") == find_family(root) == root
    with pytest.raises(AskedWrongly, match=r"no family\.yaml"):
        find_family(tmp_path)
    with pytest.raises(AskedWrongly, match="not a folder"):
        find_family(tmp_path / "none")


def test_a_folder_or_commit_with_more_files_than_a_family_has_is_refused(tmp_path, monkeypatch):
    family = GitFamily(tmp_path / "waders")
    for module in (lineage.archive.tree, lineage.archive.revision_tree):
        monkeypatch.setattr(module, "FILES_LIMIT", 2)
    with pytest.raises(BadInput, match="more than 2 files"):
        WorkingTree(family.root).files()
    with pytest.raises(BadInput, match="more than 2 files"):
        RevisionTree(find_repository(family.root), "HEAD")
