"""New files are whole or not there, and nothing is overwritten."""

import os
import signal
import subprocess
import sys
import textwrap

import pytest

from lineage.archive.keep import write_new, write_whole
from lineage.archive.locking import only_writer
from lineage.archive.tree import WorkingTree
from lineage.problems import AskedWrongly, NotNow
from tests.builders import write_files

FOLDER = "builds/avocet/A"
FILES = {
    "builds/avocet/drawings/lid-0123456789ab.dxf": b"lid",
    f"{FOLDER}/spec.yaml": b"robot: avocet\n",
    f"{FOLDER}/build.yaml": b"format: 1\n",
}


def tree_of(root):
    return {path: WorkingTree(root).read(path) for path in WorkingTree(root).files()}


def test_what_was_written_is_read_back_and_nothing_else_is_left(tmp_path):
    assert write_whole(tmp_path, FILES, FOLDER) == tuple(FILES)
    assert tree_of(tmp_path) == FILES
    assert not list(tmp_path.rglob(".*"))


def test_writing_the_same_again_writes_nothing(tmp_path):
    write_whole(tmp_path, FILES, FOLDER)
    assert write_whole(tmp_path, FILES, FOLDER) == ()
    assert write_new(tmp_path, "events/2026-05-02-x.yaml", b"event: x\n")
    assert not write_new(tmp_path, "events/2026-05-02-x.yaml", b"event: x\n")


@pytest.mark.parametrize("path", list(FILES))
def test_another_file_in_the_way_is_never_overwritten_and_nothing_is_written(tmp_path, path):
    write_files(tmp_path, {path: b"other"})
    with pytest.raises(AskedWrongly, match="there already"):
        write_whole(tmp_path, FILES, FOLDER)
    assert tree_of(tmp_path) == {path: b"other"}


def test_an_empty_folder_of_the_label_is_no_hindrance(tmp_path):
    (tmp_path / FOLDER).mkdir(parents=True)
    write_whole(tmp_path, FILES, FOLDER)
    assert tree_of(tmp_path) == FILES


def test_a_folder_with_some_of_the_files_is_not_filled_up(tmp_path):
    write_files(tmp_path, {f"{FOLDER}/spec.yaml": FILES[f"{FOLDER}/spec.yaml"]})
    with pytest.raises(AskedWrongly, match="there already"):
        write_whole(tmp_path, FILES, FOLDER)


def test_a_link_that_leads_out_of_the_family_is_refused(tmp_path):
    (tmp_path / "family").mkdir()
    (tmp_path / "elsewhere").mkdir()
    (tmp_path / "family/builds").symlink_to(tmp_path / "elsewhere")
    with pytest.raises(AskedWrongly, match="leads out of the family"):
        write_whole(tmp_path / "family", FILES, FOLDER)
    assert not list((tmp_path / "elsewhere").iterdir())


@pytest.mark.parametrize(
    ("step", "count"),
    [
        (step, count)
        for step, most in {"fsync": 9, "rename": 2, "mkdir": 4}.items()
        for count in range(1, most + 1)
    ],
)
def test_a_writer_that_is_killed_at_any_step_leaves_nothing_half_and_the_next_one_finishes(
    tmp_path, step, count
):
    code = f"""
    import os, pathlib, signal
    from lineage.archive.keep import write_whole
    left = {count}
    def dying(real):
        def step(*args, **more):
            global left
            left -= 1
            if left == 0:
                os.kill(os.getpid(), signal.SIGKILL)
            return real(*args, **more)
        return step
    os.{step} = dying(os.{step})
    write_whole(pathlib.Path({str(tmp_path)!r}), {FILES!r}, {FOLDER!r})
    """
    done = subprocess.run([sys.executable, "-c", textwrap.dedent(code)], check=False)
    assert done.returncode == -signal.SIGKILL
    left = tree_of(tmp_path)
    assert left.items() <= FILES.items()
    built = {path for path in FILES if path.startswith(FOLDER)}
    assert built & left.keys() in (set(), built)
    write_whole(tmp_path, FILES, FOLDER)
    assert tree_of(tmp_path) == FILES
    assert not list(tmp_path.rglob(".*"))


def test_two_writers_do_not_write_at_once(tmp_path, monkeypatch):
    monkeypatch.setattr("lineage.archive.locking._PATIENCE", 0.01)
    with only_writer(tmp_path), pytest.raises(NotNow, match="another program"):
        write_whole(tmp_path, FILES, FOLDER)
    write_whole(tmp_path, FILES, FOLDER)


def test_a_disk_that_takes_nothing_more_is_said_in_words(tmp_path, monkeypatch):
    def full(handle):
        raise OSError(28, os.strerror(28))

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(NotNow, match="No space left"):
        write_whole(tmp_path, {f"{FOLDER}/spec.yaml": b"x"}, FOLDER)
    monkeypatch.undo()
    assert WorkingTree(tmp_path).files() == ()
