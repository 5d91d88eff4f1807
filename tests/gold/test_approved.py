"""Outputs for the sample family are as they were approved (see README.md beside this file for how to renew one)."""

import re
from difflib import unified_diff
from pathlib import Path

import pytest

from tests.program import fine

HERE = Path(__file__).parent
APPROVED, ACTUAL = HERE / "approved", HERE / "actual"
TEXTS = {
    "card-dunlin-C.txt": ("card", "dunlin@C"),
    "compare-dunlin-B-C.txt": ("compare", "dunlin@B", "dunlin@C"),
    "lessons-mudflat-cup-2023.txt": ("lessons", "2023-05-13-mudflat-cup"),
}
PICTURES = {
    "mass-by-role.svg": ("card-dunlin@C.html", "mass"),
    "chain-of-a-fit.svg": ("card-dunlin@C.html", "chain-1"),
    "gap-against-need.svg": ("card-dunlin@C.html", "gap-1"),
    "failures.svg": ("card-dunlin@C.html", "failures"),
    "plate.svg": ("card-dunlin@C.html", "plate-2"),
    "bay.svg": ("card-turnstone@C.html", "bay-1"),
    "waterfall.svg": ("compare-dunlin@B_C.html", "waterfall-1"),
    "forest.svg": ("compare-dunlin@B_C.html", "forest-1"),
    "plate-before-and-after.svg": ("compare-dunlin@B_C.html", "overlay-1"),
    "roles-beside.svg": ("compare-turnstone_whimbrel.html", "roles"),
    "over-builds.svg": ("history-turnstone.html", "over-mass"),
    "builds-over-the-years.svg": ("family.html", "family-lines"),
}


def held_to(name: str, actual: str, renewing: str | None) -> None:
    """Compares an output with its approved one; keeps it where they differ, approves it where that is asked by name."""
    if renewing == name:
        (APPROVED / name).write_text(actual, encoding="utf-8")
    place = APPROVED / name
    approved = place.read_text(encoding="utf-8") if place.exists() else ""
    if actual == approved:
        (ACTUAL / name).unlink(missing_ok=True)
        return
    ACTUAL.mkdir(exist_ok=True)
    (ACTUAL / name).write_text(actual, encoding="utf-8")
    told = "\n".join(
        unified_diff(approved.splitlines(), actual.splitlines(), "approved", "actual", lineterm="")
    )
    pytest.fail(f"{name} differs; what came out is kept in {ACTUAL / name}\n{told[:4000]}", pytrace=False)


def picture(page: str, name: str) -> str:
    """One picture of a page, a line a mark."""
    found = re.search(rf'<svg[^>]*aria-labelledby="{name}-title .*?</svg>', page, re.DOTALL)
    assert found is not None, f"the page has no picture {name}"
    return re.sub(r"(?<=>)(?=<(?!/))", "\n", re.sub(r"\n+", "\n", found[0])) + "\n"


@pytest.fixture
def renewing(pytestconfig: pytest.Config) -> str | None:
    """The one output that is to be approved, if any."""
    asked: str | None = pytestconfig.getoption("--renew")
    assert asked is None or asked in {*TEXTS, *PICTURES}, (
        f"--renew takes one of {', '.join((*TEXTS, *PICTURES))}"
    )
    return asked


@pytest.mark.parametrize("name", TEXTS)
def test_a_text_is_as_it_was_approved(name: str, demo: Path, renewing: str | None) -> None:
    held_to(name, fine(demo, *TEXTS[name]).out, renewing)


@pytest.mark.parametrize("name", PICTURES)
def test_a_picture_is_as_it_was_approved(name: str, demo: Path, renewing: str | None) -> None:
    page, of = PICTURES[name]
    held_to(name, picture((demo / "pages" / page).read_text(encoding="utf-8"), of), renewing)


def test_nothing_is_approved_that_no_test_compares() -> None:
    assert {path.name for path in APPROVED.iterdir()} == {*TEXTS, *PICTURES}


def test_what_differs_is_shown_and_kept_and_nothing_is_renewed_unasked(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    for name in ("APPROVED", "ACTUAL"):
        monkeypatch.setitem(globals(), name, tmp_path / name)
    (tmp_path / "APPROVED").mkdir()
    (tmp_path / "APPROVED/a.txt").write_text("one\n")
    for renewing in (None, "b.txt"):
        with pytest.raises(pytest.fail.Exception, match=r"(?s)a\.txt differs.*-one\n\+two"):
            held_to("a.txt", "two\n", renewing)
        assert (tmp_path / "ACTUAL/a.txt").read_text() == "two\n"
        assert (tmp_path / "APPROVED/a.txt").read_text() == "one\n"
    held_to("a.txt", "two\n", "a.txt")
    assert (tmp_path / "APPROVED/a.txt").read_text() == "two\n"
    assert not (tmp_path / "ACTUAL/a.txt").exists()
