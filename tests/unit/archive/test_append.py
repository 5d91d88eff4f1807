"""One more line: every byte before stays."""

import os
from concurrent.futures import ThreadPoolExecutor

import pytest

from lineage.archive.append import append_line
from lineage.archive.ids import entry_id
from lineage.problems import AskedWrongly, NotNow

PATH = "results/avocet.yaml"
LINE = "- {on: 2026-05-02, kind: mass, is: 1352 g}"


def line(text=LINE):
    return lambda no: text if no is None else text.replace("}", f", no: {no}}}")


def append(root, text=LINE, **more):
    return append_line(root, PATH, line(text), **more)


def content(root):
    return (root / PATH).read_bytes()


def test_the_first_line_makes_the_file(tmp_path):
    appended = append(tmp_path)
    assert content(tmp_path) == f"{LINE}\n".encode()
    assert (appended.id, appended.no, appended.written, appended.existed_equal) == (
        entry_id(LINE.encode()),
        None,
        True,
        False,
    )


def test_the_id_of_a_line_leaves_out_its_line_end():
    assert entry_id(b"- {a: 1}\r\n") == entry_id(b"- {a: 1}\n") == entry_id(b"- {a: 1}")
    assert entry_id(b"- {a: 1}") == "f1976c8811"


@pytest.mark.parametrize(
    ("before", "added"),
    [
        (b"# mine\n- {a: 1}\n", b"%s\n"),
        (b"- {a: 1}", b"\n%s\n"),
        (b"- {a: 1}\r\n- {b: 2}\r\n", b"%s\r\n"),
        (b"- {a: 1}\r\n- {b: 2}", b"\r\n%s\r\n"),
        (b"\xef\xbb\xbf- {a: 1}\n\n\n", b"%s\n"),
        (b"", b"%s\n"),
        (b"\xff\xfe not text at all", b"\n%s\n"),
    ],
)
def test_every_byte_before_stays_and_the_line_ends_of_the_file_are_used(tmp_path, before, added):
    (tmp_path / "results").mkdir()
    (tmp_path / PATH).write_bytes(before)
    append(tmp_path)
    assert content(tmp_path) == before + added % LINE.encode()


def test_an_equal_line_is_told_and_not_written(tmp_path):
    append(tmp_path)
    appended = append(tmp_path)
    assert (appended.written, appended.existed_equal, appended.id) == (False, True, entry_id(LINE.encode()))
    assert content(tmp_path) == f"{LINE}\n".encode()


def test_asked_again_an_equal_line_gets_the_next_number(tmp_path):
    numbers = [append(tmp_path, again=True).no for _ in range(3)]
    assert numbers == [None, 2, 3]
    assert content(tmp_path).count(b"\n") == 3
    assert b", no: 3}" in content(tmp_path)


def test_an_equal_line_is_found_in_a_file_with_other_line_ends(tmp_path):
    (tmp_path / "results").mkdir()
    (tmp_path / PATH).write_bytes(f"{LINE}\r\n".encode())
    assert not append(tmp_path).written


def test_a_line_that_does_not_say_what_was_meant_is_taken_back(tmp_path):
    def refuse(data):
        assert data == LINE.encode()
        raise ValueError("not what was meant")

    with pytest.raises(ValueError, match="not what was meant"):
        append(tmp_path, check=refuse)
    assert not (tmp_path / PATH).exists()
    append(tmp_path, "- {a: 1}")
    with pytest.raises(ValueError, match="not what was meant"):
        append(tmp_path, check=refuse)
    assert content(tmp_path) == b"- {a: 1}\n"


def test_a_disk_that_takes_nothing_more_leaves_the_file_as_it_was(tmp_path, monkeypatch):
    append(tmp_path, "- {a: 1}")
    real, calls = os.fsync, []

    def full(handle):
        calls.append(handle)
        if len(calls) == 1:
            raise OSError(28, os.strerror(28))
        real(handle)

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(NotNow, match="No space left"):
        append(tmp_path)
    assert content(tmp_path) == b"- {a: 1}\n"


def test_many_writers_at_once_lose_no_line(tmp_path):
    lines = [f"- {{on: 2026-05-02, no: {number}}}" for number in range(60)]
    with ThreadPoolExecutor(8) as pool:
        list(pool.map(lambda text: append(tmp_path, text), lines))
    assert sorted(content(tmp_path).decode().splitlines()) == sorted(lines)


def test_a_link_inside_the_family_is_followed_and_one_that_leads_out_refused(tmp_path):
    family = tmp_path / "family"
    (family / "results").mkdir(parents=True)
    (family / "results/other.yaml").write_text("- {a: 1}\n")
    (family / PATH).symlink_to("other.yaml")
    append(family)
    assert (family / "results/other.yaml").read_text() == f"- {{a: 1}}\n{LINE}\n"
    (family / PATH).unlink()
    (family / PATH).symlink_to(tmp_path / "outside.yaml")
    with pytest.raises(AskedWrongly, match="leads out of the family"):
        append(family)
    assert not (tmp_path / "outside.yaml").exists()
