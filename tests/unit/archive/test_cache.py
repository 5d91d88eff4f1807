"""What was read before is given back, or quietly not."""

import pytest

from lineage.archive.cache import Cache, get, open_cache, put


@pytest.fixture
def cache(tmp_path):
    return Cache(tmp_path / "cache")


def test_what_was_put_is_got_by_kind_and_key(cache):
    cache.put("design", "a" * 40, b"\x00bytes")
    assert cache.get("design", "a" * 40) == b"\x00bytes"
    assert cache.get("outline", "a" * 40) is None
    assert cache.get("design", "b" * 40) is None


def test_a_spoilt_or_cut_off_file_is_no_answer(cache):
    cache.put("design", "a", b"bytes")
    file = next(path for path in cache.folder.rglob("*") if path.is_file())
    for spoilt in (file.read_bytes()[:-1], b"", file.read_bytes() + b"x"):
        file.write_bytes(spoilt)
        assert cache.get("design", "a") is None


def test_keys_cannot_lead_out_of_the_folder(cache, tmp_path):
    cache.put("design", "../../../escape", b"x")
    assert cache.get("design", "../../../escape") == b"x"
    assert [path.name for path in tmp_path.iterdir()] == ["cache"]


def test_a_folder_that_takes_nothing_is_no_cache(tmp_path):
    (tmp_path / "cache").write_text("a file stands in the way")
    cache = Cache(tmp_path / "cache")
    cache.put("design", "a", b"x")
    assert cache.get("design", "a") is None


def test_where_it_lies_and_how_it_is_switched_off(monkeypatch, tmp_path):
    monkeypatch.setenv("ROBOT_LINEAGE_CACHE", "off")
    assert open_cache("1").folder is None
    monkeypatch.setenv("ROBOT_LINEAGE_CACHE", str(tmp_path / "moved"))
    assert open_cache("1").folder == tmp_path / "moved/1"
    monkeypatch.delenv("ROBOT_LINEAGE_CACHE")
    monkeypatch.setenv("XDG_CACHE_HOME", str(tmp_path / "xdg"))
    assert open_cache("1").folder == tmp_path / "xdg/robot-lineage/1"
    monkeypatch.setenv("XDG_CACHE_HOME", "relative/is/ignored")
    monkeypatch.setenv("HOME", str(tmp_path / "home"))
    assert open_cache("1").folder == tmp_path / "home/.cache/robot-lineage/1"
    monkeypatch.delenv("HOME")
    assert open_cache("1").folder is None


def test_the_cache_of_this_edition_is_asked_without_opening_it(monkeypatch, tmp_path):
    monkeypatch.setenv("ROBOT_LINEAGE_CACHE", str(tmp_path))
    assert get("design", "a") is None
    put("design", "a", b"x")
    assert get("design", "a") == b"x"


def test_without_a_folder_nothing_is_kept_and_nothing_fails():
    cache = Cache(None)
    cache.put("design", "a", b"x")
    assert cache.get("design", "a") is None
