"""The whole site in a browser, opened from files: the sample family's, and one whose texts try everything."""

import re
import shutil
from html import unescape
from pathlib import Path

import pytest

from lineage.tasks.site import write_site
from tests.browsing import BROWSER, WHY_NOT, complaints, look_at, run_browser
from tests.hostile import hostile_family

pytestmark = pytest.mark.skipif(BROWSER is None, reason=WHY_NOT)

TELEPHONE, DESK, PAPER = 360, 1200, 695  # px; A4 less its margins at 96 px an inch
ONE_OF_EACH = (
    "index.html", "family.html", "card-turnstone@B.html", "compare-turnstone@B_C.html", "compare-avocet_dunlin.html",
    "history-avocet.html", "lessons-2025-04-05-mudflat-cup.html", "form-2025-04-05-mudflat-cup.html", "spares-avocet.html",
    "todo-avocet.html", "guide.html", "guide-figures.html", "guide-honesty.html", "guide-first-family.html",
)  # fmt: skip
DARK, LIGHT, WHITE = "rgb(16, 28, 39)", "rgb(251, 250, 246)", "rgb(255, 255, 255)"


def faults(found: dict) -> list[str]:
    """What is wrong with any page, in words."""
    told = []
    for name, page in found.items():
        if page["sideways"] > 0:
            told.append(f"{name} scrolls sideways by {page['sideways']} px")
        told += [f"{name}: {over}" for over in page["overlaps"]]
        told += [f"{name} asked for {asked}" for asked in page["asked"]]
        if not page["styled"] or not page["texts"]:
            told.append(f"{name} shows nothing, or has no style")
    return told


def test_every_page_of_the_sample_lies_well_on_a_telephone_and_says_and_asks_nothing(
    demo: Path, tmp_path: Path
) -> None:
    names = sorted(path.name for path in (demo / "pages").glob("*.html"))
    found, said = look_at(demo / "pages", tmp_path, [(name, TELEPHONE, "screen") for name in names])
    assert len(found) == len(names) > 80
    assert said == []
    assert faults(found) == []
    assert [(name, page["low"]) for name, page in found.items() if page["low"]] == []


def test_on_a_desk_on_paper_and_in_the_dark_nothing_lies_on_anything(demo: Path, tmp_path: Path) -> None:
    modes = ((DESK, "screen"), (PAPER, "print"), (DESK, "dark"))
    jobs = [(name, width, mode) for name in ONE_OF_EACH for width, mode in modes]
    found, said = look_at(demo / "pages", tmp_path, jobs)
    assert len(found) == len(jobs)
    assert said == []
    assert faults(found) == []
    papers = {
        mode: {page["paper"] for name, page in found.items() if name.endswith(mode)} for _, mode in modes
    }
    assert papers == {"screen": {LIGHT}, "print": {WHITE}, "dark": {DARK}}


def test_what_a_stranger_typed_does_nothing_and_breaks_nothing(tmp_path: Path) -> None:
    family = hostile_family(tmp_path)
    write_site(family, tmp_path / "site")
    names = sorted(path.name for path in (tmp_path / "site").glob("*.html"))
    jobs = [
        (name, width, mode) for name in names for width, mode in ((TELEPHONE, "screen"), (PAPER, "print"))
    ]
    found, said = look_at(tmp_path / "site", tmp_path, jobs)
    assert len(found) == len(jobs)
    assert said == []
    assert faults(found) == []


def shown(page: str) -> str:
    """The text of a page, its script left out."""
    bare = re.sub(r"<script>.*?</script>|<style>.*?</style>", "", page, flags=re.DOTALL)
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", bare)).split())


def test_without_its_script_the_first_page_shows_the_same(demo: Path, tmp_path: Path) -> None:
    index = demo / "pages/index.html"
    with_it = run_browser(tmp_path, index)
    # A browser whose scripts are off cannot be asked for what it shows; a page without its script can.
    bare, taken_out = re.subn(r"<script>.*?</script>", "", index.read_text(encoding="utf-8"), flags=re.DOTALL)
    assert taken_out == 1
    (tmp_path / "bare.html").write_text(bare, encoding="utf-8")
    without = run_browser(tmp_path, tmp_path / "bare.html")
    assert complaints(with_it) == complaints(without) == []
    assert shown(with_it.stdout) == shown(without.stdout)
    assert re.search(
        r'<form id="search"[^>]*hidden', without.stdout
    )  # a search that cannot search is not shown
    assert not re.search(r'<form id="search"[^>]*hidden', with_it.stdout)


SEARCH = """<!DOCTYPE html><body><script>
(async () => {
  const frame = document.createElement('iframe');
  frame.src = 'index.html';
  document.body.append(frame);
  await new Promise(done => frame.onload = done);
  const page = frame.contentDocument, input = page.querySelector('input[type=search]');
  const found = [];
  for (const words of ['Belt  THROWN', 'no-such-thing', '']) {
    input.value = words;
    input.dispatchEvent(new frame.contentWindow.Event('input'));
    const items = [...page.querySelectorAll('#all-pages li')].filter(e => e.checkVisibility());
    found.push(items.length + ' ' + page.querySelector('output').textContent + ' ' + page.querySelector('.answer').checkVisibility()
      + ' ' + items.slice(0, 40).map(e => e.querySelector('a').textContent).join(','));
  }
  const out = document.createElement('pre');
  out.id = 'found';
  out.textContent = found.join(';');
  document.body.append(out);
})();
</script></body>"""


def test_a_search_leaves_the_pages_that_have_all_its_words(demo: Path, tmp_path: Path) -> None:
    pages = tmp_path / "pages"
    shutil.copytree(demo / "pages", pages)
    (pages / "look.html").write_text(SEARCH, encoding="utf-8")
    ran = run_browser(tmp_path, pages / "look.html")
    answer = re.search(r'<pre id="found">(.*?)</pre>', ran.stdout, re.DOTALL)
    assert answer is not None
    some, none, every = (part.split(" ", 1) for part in unescape(answer[1]).split(";"))
    count = int(some[0])
    assert 3 < count < 40
    assert f"{count} pages false" in some[1]
    assert "avocet@E" in some[1]
    assert "dunlin@A" not in some[1]
    assert none == ["0", "0 pages false "]
    assert int(every[0]) == len(list((demo / "pages").glob("*.html"))) - 1
    assert " true " in every[1]
    assert complaints(ran) == []
