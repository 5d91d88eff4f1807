"""Pages as a browser lays them out, on a telephone 360 px wide with everything unfolded."""

from typing import Any

import pytest

from lineage.drawings.outline import Loop, Outline, Piece, circle_segments
from lineage.reports.charts.plates import overlay, plate_picture
from lineage.reports.to_html import card_html, compare_html, lessons_html, todo_html
from tests import sample_views as sample
from tests.browsing import LACKING, LOOK, TELEPHONE, WHY_NOT, browser, faults

LONG = "a-very-long-name-of-a-part-that-somebody-typed.inside-another.which-is-long-too"
HATCHED = "return getComputedStyle(document.querySelector('.answer'), '::before').backgroundImage.includes('gradient')"
NAMES = ("card.html", "compare.html", "lessons.html", "todo.html")

pytestmark = pytest.mark.skipif(bool(LACKING), reason=WHY_NOT)


def disc(radius: float) -> Outline:
    return Outline(pieces=(Piece(outside=Loop(circle_segments((0.0, 0.0), radius))),))


def pages() -> dict[str, str]:
    view = sample.card(
        design="wren" * 12, fits={LONG: sample.fit()}, access={LONG: sample.card().access["battery"]}
    )
    change = sample.change(LONG, text=f"{LONG}: thickness 3 mm → 2 mm")
    return {
        "card.html": card_html(view, plates=[plate_picture("disc", disc(30))]),
        "compare.html": compare_html(
            sample.compare(pairs=(sample.pair(changes=(change, sample.change())),)),
            overlays=[overlay(LONG, disc(30), disc(25))],
        ),
        "lessons.html": lessons_html(sample.lessons()),
        "todo.html": todo_html(sample.todo(todo=sample.work(keep=(LONG,)))),
    }


@pytest.fixture(scope="module")
def seen(tmp_path_factory: pytest.TempPathFactory) -> dict[str, Any]:
    """What was found about each page, whether its answer is hatched, and what the browser was told or asked."""
    folder = tmp_path_factory.mktemp("pages")
    found: dict[str, Any] = {}
    with browser(folder) as looking:
        for name, page in pages().items():
            (folder / name).write_text(page, encoding="utf-8")
            looking.open(folder / name, TELEPHONE)
            found[name] = {**looking.run(LOOK), "hatched": looking.run(HATCHED)}
    assert (looking.said, looking.asked) == ([], [])
    return found


@pytest.mark.parametrize("name", NAMES)
def test_a_telephone_shows_a_page_without_scrolling_sideways(name: str, seen: dict[str, Any]) -> None:
    assert faults({name: seen[name]}) == []


@pytest.mark.parametrize("name", NAMES)
def test_whatever_is_touched_is_44_pixels_high(name: str, seen: dict[str, Any]) -> None:
    assert seen[name]["low"] == []


def test_pictures_fit_the_telephone(seen: dict[str, Any]) -> None:
    widths = seen["card.html"]["pictures"]
    assert len(widths) >= 5
    assert all(200 < width <= TELEPHONE for width in widths)


def test_bad_news_is_hatched_and_good_news_is_not(seen: dict[str, Any]) -> None:
    assert seen["lessons.html"]["hatched"] is True
    assert seen["card.html"]["hatched"] is False
