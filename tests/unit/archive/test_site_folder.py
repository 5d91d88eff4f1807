"""The folder that pages are written to."""

import json

import pytest

from lineage.archive.ids import content_id
from lineage.archive.inputs import id_of, id_of_files, ids_of_files, inside
from lineage.archive.site_folder import LIST, LIST_FORMAT, Kept, PageList, SiteFolder
from lineage.archive.tree import WorkingTree
from lineage.problems import AskedWrongly


def listed(pages: dict[str, bytes], whole: str = "") -> PageList:
    kept = {name: Kept(inputs="", id=content_id(data)) for name, data in pages.items()}
    return PageList(format=LIST_FORMAT, whole=whole, pages=kept)


def write(folder, pages: dict[str, bytes]) -> tuple[str, ...]:
    return SiteFolder(folder).write(pages, listed(pages))


def test_only_what_differs_is_written(tmp_path) -> None:
    assert write(tmp_path / "out", {"a.html": b"1", "b.html": b"2"}) == ("a.html", "b.html")
    before = (tmp_path / "out/a.html").stat().st_mtime_ns
    assert write(tmp_path / "out", {"a.html": b"1", "b.html": b"3"}) == ("b.html",)
    assert (tmp_path / "out/a.html").stat().st_mtime_ns == before
    assert write(tmp_path / "out", {"a.html": b"1", "b.html": b"3"}) == ()


def test_a_page_that_is_no_more_goes_and_a_file_of_others_stays(tmp_path) -> None:
    write(tmp_path / "out", {"a.html": b"1", "b.html": b"2"})
    (tmp_path / "out/mine.html").write_text("mine")
    write(tmp_path / "out", {"a.html": b"1"})
    assert sorted(path.name for path in (tmp_path / "out").iterdir()) == ["a.html", "mine.html", LIST]


def test_a_page_that_somebody_changed_or_took_away_is_not_as_listed(tmp_path) -> None:
    write(tmp_path, {"a.html": b"1", "b.html": b"2", "c.html": b"3"})
    (tmp_path / "a.html").write_text("another")
    (tmp_path / "b.html").unlink()
    folder = SiteFolder(tmp_path)
    assert [folder.is_as_listed(name) for name in ("a.html", "b.html", "c.html", "d.html")] == [
        False,
        False,
        True,
        False,
    ]


@pytest.mark.parametrize("what", ["file", "folder of others"])
def test_what_is_not_ours_is_not_written_into(tmp_path, what) -> None:
    if what == "file":
        (tmp_path / "out").write_text("x")
    else:
        (tmp_path / "out").mkdir()
        (tmp_path / "out/thesis.txt").write_text("x")
    with pytest.raises(AskedWrongly) as error:
        SiteFolder(tmp_path / "out")
    assert "folder" in str(error.value)


def test_a_list_that_is_none_is_refused_and_one_of_another_format_is_made_anew(tmp_path) -> None:
    (tmp_path / LIST).write_text("[1, 2")
    with pytest.raises(AskedWrongly):
        SiteFolder(tmp_path)
    (tmp_path / LIST).write_text(json.dumps({"format": 99, "whole": "x", "pages": {}}))
    assert SiteFolder(tmp_path).listed.whole == ""


def test_a_list_that_somebody_forged_takes_nothing_away_elsewhere(tmp_path) -> None:
    (tmp_path / "keep.html").write_text("keep")
    out = tmp_path / "out"
    write(out, {"a.html": b"1"})
    names = ["../keep.html", str(tmp_path / "keep.html"), "notes.txt"]
    (out / "notes.txt").write_text("keep")
    forged = {"format": LIST_FORMAT, "whole": "", "pages": {name: {"inputs": "", "id": ""} for name in names}}
    (out / LIST).write_text(json.dumps(forged))
    write(out, {"a.html": b"2"})
    assert (tmp_path / "keep.html").read_text() == "keep"
    assert (out / "notes.txt").read_text() == "keep"


def test_a_link_in_the_place_of_a_page_is_replaced_and_not_followed(tmp_path) -> None:
    (tmp_path / "precious").write_text("precious")
    write(tmp_path / "out", {"a.html": b"1"})
    (tmp_path / "out/a.html").unlink()
    (tmp_path / "out/a.html").symlink_to(tmp_path / "precious")
    assert write(tmp_path / "out", {"a.html": b"1"}) == ("a.html",)
    assert (tmp_path / "precious").read_text() == "precious"
    assert not (tmp_path / "out/a.html").is_symlink()


def test_ids_of_inputs_change_with_any_file_but_the_pages(tmp_path) -> None:
    for name in ("family.yaml", "robots/wren.yaml", "bouts/x.yaml", "pages/index.html"):
        (tmp_path / name).parent.mkdir(exist_ok=True)
        (tmp_path / name).write_text(name)
    tree = WorkingTree(tmp_path)
    assert inside(tree, tmp_path / "pages") == "pages"
    assert inside(tree, tmp_path.parent / "elsewhere") is None
    ids = ids_of_files(tree, "pages")
    assert list(ids) == ["bouts/x.yaml", "family.yaml", "robots/wren.yaml"]
    every, logged = id_of_files(ids), id_of_files(ids, ("family.yaml", "bouts/"))
    (tmp_path / "robots/wren.yaml").write_text("changed")
    changed = ids_of_files(tree, "pages")
    assert id_of_files(changed) != every
    assert id_of_files(changed, ("family.yaml", "bouts/")) == logged


def test_an_id_minds_which_text_stood_where() -> None:
    assert id_of("a", "b") != id_of("b", "a")
    assert id_of(["a", "b"]) != id_of(["ab"])
