"""Pages as a browser lays them out, on a telephone 360 px wide with everything unfolded."""

import json
import os
import re
import shutil
import subprocess
from html import unescape
from pathlib import Path

import pytest

from lineage.drawings.outline import Loop, Outline, Piece, circle_segments
from lineage.reports.charts.plates import overlay, plate_picture
from lineage.reports.to_html import card_html, compare_html, lessons_html, todo_html
from tests import sample_views as sample

BROWSER = shutil.which("chromium")
LONG = "a-very-long-name-of-a-part-that-somebody-typed.inside-another.which-is-long-too"

pytestmark = pytest.mark.skipif(BROWSER is None, reason="no chromium here")

MEASURE = """<!DOCTYPE html><body><script>
(async () => {
  const found = {};
  for (const name of NAMES) {
    const frame = document.createElement('iframe');
    frame.style = 'width:360px;height:3000px;border:0';
    frame.src = name;
    document.body.append(frame);
    await new Promise(done => frame.onload = done);
    const page = frame.contentDocument;
    page.querySelectorAll('details').forEach(fold => fold.open = true);
    const low = [...page.querySelectorAll('summary, nav a, label')]
      .filter(e => e.getClientRects().length && e.getBoundingClientRect().height < 43.5);
    found[name] = {
      wide: page.documentElement.scrollWidth,
      room: page.documentElement.clientWidth,
      low: low.map(e => e.textContent.trim()),
      pictures: [...page.querySelectorAll('figure svg')].map(e => e.getBoundingClientRect().width),
      hatched: getComputedStyle(page.querySelector('.answer'), '::before').backgroundImage.includes('gradient'),
      styled: getComputedStyle(page.querySelector('h1')).fontWeight === '700',
    };
    frame.remove();
  }
  const out = document.createElement('pre');
  out.id = 'found';
  out.textContent = JSON.stringify(found);
  document.body.append(out);
})();
</script></body>"""


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
def measured(tmp_path_factory: pytest.TempPathFactory) -> tuple[dict[str, dict[str, object]], str]:
    folder = tmp_path_factory.mktemp("pages")
    made = pages()
    for name, page in made.items():
        (folder / name).write_text(page, encoding="utf-8")
    measure = folder / "measure.html"
    measure.write_text(MEASURE.replace("NAMES", json.dumps(list(made))), encoding="utf-8")
    ran = run_browser(folder, measure)
    answer = re.search(r'<pre id="found">(.*?)</pre>', ran.stdout, re.DOTALL)
    assert answer is not None, ran.stderr[-2000:]
    return json.loads(unescape(answer[1])), ran.stderr


def run_browser(folder: Path, page: Path) -> subprocess.CompletedProcess[str]:
    assert BROWSER is not None
    # As root, as in containers, the browser's own sandbox cannot be set up.
    root = ["--no-sandbox"] if os.name == "posix" and os.geteuid() == 0 else []
    command = [
        BROWSER, "--headless", *root, "--disable-gpu", "--disable-background-networking", f"--user-data-dir={folder / 'profile'}",
        "--allow-file-access-from-files", "--enable-logging=stderr", "--virtual-time-budget=20000", "--dump-dom", page.as_uri(),
    ]  # fmt: skip
    return subprocess.run(command, capture_output=True, text=True, timeout=90, check=True)


@pytest.mark.parametrize("name", ["card.html", "compare.html", "lessons.html", "todo.html"])
def test_a_telephone_shows_a_page_without_scrolling_sideways(
    name: str, measured: tuple[dict[str, dict[str, object]], str]
) -> None:
    found = measured[0][name]
    assert found["styled"] is True
    assert found["wide"] == found["room"]


@pytest.mark.parametrize("name", ["card.html", "compare.html", "lessons.html", "todo.html"])
def test_whatever_is_touched_is_44_pixels_high(
    name: str, measured: tuple[dict[str, dict[str, object]], str]
) -> None:
    assert measured[0][name]["low"] == []


def test_pictures_fit_the_telephone(measured: tuple[dict[str, dict[str, object]], str]) -> None:
    widths = measured[0]["card.html"]["pictures"]
    assert isinstance(widths, list)
    assert len(widths) >= 5
    assert all(200 < width <= 360 for width in widths)


def test_bad_news_is_hatched_and_good_news_is_not(measured: tuple[dict[str, dict[str, object]], str]) -> None:
    assert measured[0]["lessons.html"]["hatched"] is True
    assert measured[0]["card.html"]["hatched"] is False


def test_the_browser_has_nothing_to_complain_about(
    measured: tuple[dict[str, dict[str, object]], str],
) -> None:
    assert not [line for line in measured[1].splitlines() if "CONSOLE" in line]
