"""The whole site in a browser, opened from files: the sample family's, and one whose texts try everything."""

from pathlib import Path

import pytest

from lineage.tasks.site import write_site
from tests.browsing import LACKING, TELEPHONE, WHY_NOT, browser, faults, look_at
from tests.hostile import hostile_family

pytestmark = pytest.mark.skipif(bool(LACKING), reason=WHY_NOT)

DESK, PAPER = 1200, 695  # px; A4 less its margins at 96 px an inch
LETTER = 717  # px; the same of Letter
ONE_OF_EACH = (
    "index.html", "family.html", "card-turnstone@B.html", "compare-turnstone@B_C.html", "compare-avocet_dunlin.html",
    "history-avocet.html", "lessons-2025-04-05-mudflat-cup.html", "form-2025-04-05-mudflat-cup.html", "spares-avocet.html",
    "todo-avocet.html", "guide.html", "guide-figures.html", "guide-honesty.html", "guide-first-family.html",
)  # fmt: skip
DARK, LIGHT, WHITE = "rgb(16, 28, 39)", "rgb(251, 250, 246)", "rgb(255, 255, 255)"


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
    modes = ((DESK, "screen"), (PAPER, "print"), (LETTER, "print"), (DESK, "dark"))
    jobs = [(name, width, mode) for name in ONE_OF_EACH for width, mode in modes]
    found, said = look_at(demo / "pages", tmp_path, jobs)
    assert len(found) == len(jobs)
    assert said == []
    assert faults(found) == []
    papers = {
        mode: {page["paper"] for name, page in found.items() if name.endswith(mode)} for _, mode in modes
    }
    assert papers == {"screen": {LIGHT}, "print": {WHITE}, "dark": {DARK}}


def test_on_a_desk_no_column_of_a_table_is_out_of_sight(demo: Path, tmp_path: Path) -> None:
    names = sorted(path.name for path in (demo / "pages").glob("*.html"))
    found, _ = look_at(demo / "pages", tmp_path, [(name, DESK, "screen") for name in names])
    assert [(name, page["hidden"]) for name, page in found.items() if page["hidden"]] == []


@pytest.mark.parametrize("paper", [(8.27, 11.69), (8.5, 11.0)], ids=["A4", "Letter"])
def test_the_paper_for_the_pits_is_two_sides_a_robot(
    paper: tuple[float, float], demo: Path, tmp_path: Path
) -> None:
    with browser(tmp_path) as looking:
        for name in sorted(path.name for path in (demo / "pages").glob("form-*.html")):
            looking.open(demo / "pages" / name, mode="print")
            robots = looking.run("return document.querySelectorAll('.pit').length")
            assert looking.printed_pages(paper) == 2 * robots > 2


def test_what_a_stranger_typed_does_nothing_and_breaks_nothing(tmp_path: Path) -> None:
    family = hostile_family(tmp_path)
    write_site(family, tmp_path / "site")
    names = sorted(path.name for path in (tmp_path / "site").glob("*.html"))
    jobs = [
        (name, width, mode) for name in names for width, mode in ((TELEPHONE, "screen"), (PAPER, "print"))
    ]
    found, said = look_at(tmp_path / "site", tmp_path, jobs)
    assert len(found) == len(jobs) > 30
    assert said == []
    assert faults(found) == []


SHOWN = "return document.querySelector('main').innerText"


def test_without_scripts_every_page_shows_the_same_but_for_the_search(demo: Path, tmp_path: Path) -> None:
    with browser(tmp_path) as looking:
        for name in ONE_OF_EACH:
            looking.open(demo / "pages" / name)
            with_them = looking.run(SHOWN)
            looking.open(demo / "pages" / name, scripts=False)
            assert with_them.replace("Search all pages for a part, a fault, a reason\n", "") == looking.run(
                SHOWN
            )
            assert len(with_them) > 200
        looking.open(demo / "pages/index.html", scripts=False)
        assert not looking.find("#search").is_displayed()  # a search that cannot search is not shown
        looking.open(demo / "pages/index.html")
        assert looking.find("#search").is_displayed()
    assert (looking.said, looking.asked) == ([], [])


LEFT = """return [...document.querySelectorAll('#all-pages li')].filter(e => e.checkVisibility())
  .map(e => e.querySelector('a').textContent)"""


def test_a_search_leaves_the_pages_that_have_all_its_words(demo: Path, tmp_path: Path) -> None:
    with browser(tmp_path) as looking:
        looking.open(demo / "pages/index.html")
        typed = looking.find("input[type=search]")
        typed.send_keys("Belt  THROWN")
        some = looking.run(LEFT)
        assert 3 < len(some) < 40
        assert looking.find("output").text == f"{len(some)} pages"
        assert not looking.find(".answer").is_displayed()
        assert "avocet@E" in some
        assert "dunlin@A" not in some
        typed.clear()
        typed.send_keys("no-such-thing")
        assert looking.run(LEFT) == []
        assert looking.find("output").text == "0 pages"
        typed.clear()
        typed.send_keys(" ")
        assert len(looking.run(LEFT)) == len(list((demo / "pages").glob("*.html"))) - 1
        assert looking.find(".answer").is_displayed()
    assert (looking.said, looking.asked) == ([], [])


def test_links_are_followed_to_where_they_lead(demo: Path, tmp_path: Path) -> None:
    with browser(tmp_path) as looking:
        looking.open(demo / "pages/index.html")
        looking.find("a[href='card-turnstone@C.html']").click()
        assert looking.find("h1").text == "turnstone@C"
        looking.find(".contents a").click()
        assert looking.run("return document.querySelector(':target').tagName") == "SECTION"


def test_a_page_that_talks_asks_and_overflows_would_be_found(tmp_path: Path) -> None:
    page = tmp_path / "page.html"
    page.write_text(
        "<!DOCTYPE html><title>x</title><main><h1>x</h1><p style='width:2000px'>wide</p>"
        "<p>one</p><p style='margin-top:-2.5em'>other</p><p style='overflow:hidden;width:3em;white-space:nowrap'>cut off here</p>"
        "</main><script>console.log('talks')</script><img src='http://elsewhere.example/x.png'>"
    )
    found, said = look_at(tmp_path, tmp_path, [("page.html", TELEPHONE, "screen")])
    told = " ".join(faults(found))
    assert "sideways" in told
    assert "lie on each other" in told
    assert "cut off here is cut off" in told
    assert any("talks" in line for line in said)
    assert "page.html: http://elsewhere.example/x.png" in said
