"""Pages that wait on disk."""

import pytest

from lineage.archive.spool import Spool


def test_what_was_laid_down_is_read_back_in_any_order() -> None:
    with Spool() as spool:
        laid = {"b.html": b"two", "a.html": b"", "c.html": b"\x00\r\n" * 9000}
        for name, data in laid.items():
            spool.put(name, data)
        assert list(spool) == list(laid)
        assert {name: spool[name] for name in reversed(list(spool))} == laid
        spool.put("b.html", b"another")
        assert spool["b.html"] == b"another"
        assert spool["c.html"] == laid["c.html"]
        assert len(spool) == 3


def test_what_was_not_laid_down_is_not_there() -> None:
    with Spool() as spool, pytest.raises(KeyError):
        spool["a.html"]
