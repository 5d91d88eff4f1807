"""Pages claim no more than the verdict: what is marked as good or bad says so in the words of the verdict itself."""

import re
from html import unescape
from pathlib import Path

import pytest

from lineage.reports.pages.changes import tone_of
from lineage.reports.pages.compare import compare_page
from tests import sample_views as sample

SETTLED = {"good": "helped", "bad": "made it worse"}
FOUND = re.compile(r'<div class="found (good|bad|open)">(.*?)</div>', re.DOTALL)
VERDICTS = (
    "helped",
    "made it worse",
    "leaning better",
    "leaning worse",
    "no difference seen",
    "too few to tell",
    None,
)


def text(markup: str) -> str:
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", markup)).split())


@pytest.mark.parametrize("verdict", VERDICTS)
def test_only_a_settled_verdict_is_marked(verdict: str | None) -> None:
    assert tone_of(verdict) == {"helped": "good", "made it worse": "bad"}.get(verdict or "", "open")


@pytest.mark.parametrize("verdict", ["leaning better", "leaning worse", "too few to tell"])
def test_the_answer_of_a_comparison_marks_nothing_that_only_leans(verdict: str) -> None:
    change = sample.change("blade", text="blade: thickness 3 mm → 2 mm", verdict=verdict)
    page = compare_page(sample.compare(pairs=(sample.pair(changes=(change,)),)))
    told = [line for line in page.answers if line.said == verdict]
    assert all(line.tone == "open" for line in told)
    assert page.verdict.tone == "open"
    assert "helped" not in " ".join(line.said for line in page.answers)


def test_on_the_pages_of_the_sample_what_is_marked_begins_with_the_verdict(demo: Path) -> None:
    seen = dict.fromkeys(("good", "bad", "open"), 0)
    for path in sorted((demo / "pages").glob("*.html")):
        for tone, inside in FOUND.findall(path.read_text(encoding="utf-8")):
            seen[tone] += 1
            begins = text(inside)
            if tone in SETTLED:
                assert begins.startswith(SETTLED[tone]), (path.name, begins)
            else:
                assert not begins.startswith(tuple(SETTLED.values())), (path.name, begins)
    assert all(seen.values())


def test_what_two_changes_were_to_bring_is_missed_once(demo: Path) -> None:
    page = text((demo / "pages/compare-dunlin@B_C.html").read_text(encoding="utf-8"))
    assert re.findall(r"expected and missed (?:gap deck-over-board,? ?)+", page) == [
        "expected and missed gap deck-over-board "
    ]
