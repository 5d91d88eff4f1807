import re
import subprocess
import sys
from functools import cache
from pathlib import Path

import jinja2
import pytest

from lineage.drawings.outline import Line, Loop, Outline, Piece
from lineage.reports.charts.plates import overlay, plate_picture
from lineage.reports.pages.compare import compare_page
from lineage.reports.pages.family import family_page
from lineage.reports.text.card import card_text
from lineage.reports.text.compare import compare_text
from lineage.reports.text.family import family_text
from lineage.reports.text.history import history_text
from lineage.reports.text.lessons import lessons_text
from lineage.reports.text.spares import spares_text
from lineage.reports.text.todo import todo_text
from lineage.reports.to_html import (
    card_html,
    compare_html,
    drawn,
    family_html,
    history_html,
    lessons_html,
    spares_html,
    todo_html,
)
from lineage.reports.to_json import as_text
from lineage.reports.views import card as c
from lineage.reports.views import family as f
from lineage.reports.views import history as h
from lineage.reports.views import lessons as s
from lineage.reports.views.cautions import LITHIUM, MAKE_SAFE, OVER_ALL, SPIN_UP
from lineage.reports.views.figures import ValueU
from tests import sample_views as sample
from tests.page_walk import Walk, numbers

HTML = {
    "card": card_html,
    "compare": compare_html,
    "lessons": lessons_html,
    "todo": todo_html,
    "history": history_html,
    "family": family_html,
    "spares": spares_html,
}
TEXT = {
    "card": card_text,
    "compare": compare_text,
    "lessons": lessons_text,
    "todo": todo_text,
    "history": history_text,
    "family": family_text,
    "spares": spares_text,
}
HOSTILE = "<script>alert(1)</script>\"'><img src=x onerror=alert(1)>javascript:alert(1)\u202egnp.\u2066"


def rectangle(width: float, height: float) -> Outline:
    corners = ((0.0, 0.0), (width, 0.0), (width, height), (0.0, height))
    segments = tuple(Line(a, b) for a, b in zip(corners, (*corners[1:], corners[0]), strict=True))
    return Outline(pieces=(Piece(outside=Loop(segments)),))


@cache
def pages() -> dict[str, str]:
    made = {name: HTML[name](view) for name, view in sample.all_views().items()}
    plates = (plate_picture("side", rectangle(120, 40)), plate_picture("belly", rectangle(90, 60), 2))
    made["card with plates"] = card_html(sample.card(), plates=plates)
    change = overlay("side", rectangle(120, 40), rectangle(110, 45))
    made["compare with plates"] = compare_html(sample.compare(), overlays=(change,))
    made["bare card"] = card_html(bare_card())
    made["no build yet"] = history_html(sample.history(steps=(), now=None))
    made["an empty family"] = family_html(
        sample.family(designs=(), uses=(), tally=(), lessons=(), stock=(), events=())
    )
    made["nothing to pack"] = spares_html(sample.spares(packing=(), chance_box_short=None))
    made["nothing to do"] = todo_html(sample.todo(todo=sample.NOTHING_TO_DO, next=(), inspect=()))
    three = (sample.card(build="A"), sample.card(build="B"), sample.card())
    made["three"] = compare_html(sample.compare(designs=three, pairs=(sample.pair(), sample.pair())))
    return made


def bare_card() -> c.Card:
    empty = sample.weight(
        predicted_g=None, known_items=0, items_without_mass=("lamp",), measured_g=None, measured_on=None,
        normalised_error=None, usual_gap_g=None, margin_g=None, chance_over=None, role_may_be=None, by_role_g={},
        by_material_g={}, by_module_g={}, choices={}, balance=None, items=(),
    )  # fmt: skip
    return sample.card(
        title=None, on=None, weight=empty, fits={}, bays=None, grips=None, access={}, wrong_ways=None,
        failures=sample.NO_FAILURES, snags=(), trials=(), cautions=(),
    )  # fmt: skip


@pytest.mark.parametrize("name", pages())
def test_tags_close_names_are_there_once_and_links_lead_somewhere(name: str) -> None:
    assert Walk(pages()[name]).faults == []


@pytest.mark.parametrize("name", pages())
def test_a_page_asks_nothing_of_anywhere_and_runs_nothing(name: str) -> None:
    page = pages()[name]
    walk = Walk(page)
    assert not re.search(r"https?:|//\w", page)
    assert walk.tags["script"] == walk.tags["link"] == walk.tags["img"] == walk.tags["iframe"] == 0
    assert not [key for _, key, _ in walk.attributes if key.startswith("on")]
    assert {
        value for _, key, value in walk.attributes if key in {"href", "src"} and (value or "")[:1] != "#"
    } == set()
    policy = next(
        value for tag, key, value in walk.attributes if tag == "meta" and "default-src" in (value or "")
    )
    assert (policy or "").startswith("default-src 'none'")


@pytest.mark.parametrize("name", pages())
def test_a_number_is_never_broken_at_its_point(name: str) -> None:
    assert re.findall(r"\d\.<wbr>\d", pages()[name]) == []


def test_a_reference_may_be_broken_at_its_points() -> None:
    page = card_html(sample.card(access={"drive-left.hub": sample.card().access["battery"]}))
    assert "drive-left.<wbr>hub" in page


@pytest.mark.parametrize("name", pages())
def test_the_same_view_gives_the_same_bytes(name: str) -> None:
    assert pages()[name] == pages.__wrapped__()[name]


@pytest.mark.parametrize("name", HTML)
def test_every_figure_of_the_text_stands_on_the_page_too(name: str) -> None:
    view = sample.all_views()[name]
    assert numbers(TEXT[name](view)) - numbers(Walk(HTML[name](view)).text) == set()


def test_rounded_figures_are_the_same_in_text_and_page_and_exact_in_json() -> None:
    view = sample.card()
    page, text, exact = Walk(card_html(view)).text, card_text(view), as_text(view)
    for shown, number in (("1343 ± 16 g", "1342.63"), ("1352.0 ± 1.3 g", "0.65"), ("3 of 12", "0.25")):
        assert number in exact
        assert shown in text
        assert shown in page


@pytest.mark.parametrize("over", [True, False])
def test_the_answer_stands_before_the_working_and_says_what_to_do(over: bool) -> None:
    margin = ValueU(-17.12 if over else 8.8, 0.65)
    page = card_html(sample.card(weight=sample.weight(margin_g=margin, chance_over=0.99 if over else 0.001)))
    text = Walk(page).text
    assert (
        text.index("Over the limit" if over else "Under the limit")
        < text.index("Cautions")
        < text.index("By role")
    )
    assert ("Take off at least 17.2 g." in text) is over


def test_what_is_not_known_is_said_and_not_shown_as_nothing() -> None:
    text = Walk(card_html(bare_card())).text
    assert "Margin not known" in text
    assert "0 of 1 thing has a mass. Not known: lamp." in text
    assert re.search(r"(?<![\d.])0 g", text) is None


def test_every_removal_ladder_begins_with_making_the_robot_safe() -> None:
    page = card_html(sample.card())
    ladders = re.findall(r'<ol class="ladder" start="0"><li><span>(.*?)</span>', page)
    assert len(ladders) == 1
    assert all(first.startswith("Make the robot safe: power link out") for first in ladders)


@pytest.mark.parametrize("name", ["card", "lessons", "todo", "compare", "spares"])
def test_cautions_stand_on_the_page(name: str) -> None:
    assert "Before any work: power link out." in Walk(pages()[name]).text


def test_a_comparison_has_the_cautions_of_both_and_the_general_one_last() -> None:
    spinner = sample.card(cautions=(MAKE_SAFE, SPIN_UP, OVER_ALL))
    lifter = sample.card(cautions=(MAKE_SAFE, LITHIUM, OVER_ALL))
    page = compare_page(sample.compare(designs=(spinner, lifter)))
    assert page.cautions == (MAKE_SAFE, SPIN_UP, LITHIUM, OVER_ALL)


def hostile_pages() -> dict[str, str]:
    role = {HOSTILE: 900.5, "b": 442.13}
    card = sample.card(
        design=HOSTILE,
        title=HOSTILE,
        weight=sample.weight(by_role_g=role, items_without_mass=(HOSTILE,)),
        fits={HOSTILE: sample.fit()},
        access={HOSTILE: sample.card().access["battery"]},
        cautions=(HOSTILE,),
    )
    plates = (plate_picture(HOSTILE, rectangle(10, 10)),)
    change = sample.change(HOSTILE, text=HOSTILE, verdict=HOSTILE, evidence=(sample.evidence(text=HOSTILE),))
    return {
        "card": card_html(card, plates=plates),
        "compare": compare_html(
            sample.compare(designs=(card, card), pairs=(sample.pair(changes=(change,)),))
        ),
        "lessons": lessons_html(sample.lessons(title=HOSTILE, event=HOSTILE, pit_left=(HOSTILE,))),
        "history": history_html(
            sample.history(
                title=HOSTILE,
                steps=(
                    h.StepView(
                        label="A",
                        on="2023-03-04",
                        why=(HOSTILE,),
                        changes=(change,),
                        figures=sample.history().steps[0].figures,
                        before="0",
                    ),
                ),
            )
        ),
        "family": family_html(
            sample.family(
                title=HOSTILE,
                lessons=(f.LessonStateView(name="x", state="trying", lesson=HOSTILE),),
                designs=(
                    f.DesignView(
                        name=HOSTILE,
                        kind="robot",
                        class_=HOSTILE,
                        state=None,
                        from_=HOSTILE,
                        now=HOSTILE,
                        next=(HOSTILE,),
                        builds=(
                            f.BuildView(label=HOSTILE, on="2023-03-04", before=None, uses=(HOSTILE,)),
                            f.BuildView(label="B", on="2024-03-04", before=HOSTILE),
                        ),
                        events={"2023-10-07-creek": HOSTILE},
                    ),
                ),
            )
        ),
        "spares": spares_html(
            sample.spares(
                basis=HOSTILE,
                packing=(
                    s.PackView(
                        item=HOSTILE, ref=None, quantity=1, chance_short=None, rework=(HOSTILE,), always=True
                    ),
                ),
            )
        ),
        "todo": todo_html(sample.todo(design=HOSTILE, next=(HOSTILE,), todo=sample.work(keep=(HOSTILE,)))),
    }


@pytest.mark.parametrize("name", HTML)
def test_what_a_stranger_typed_stays_text_in_text_attributes_title_and_pictures(name: str) -> None:
    page = hostile_pages()[name]
    walk = Walk(page)
    assert walk.faults == []
    assert walk.tags["script"] == walk.tags["img"] == 0
    assert not [key for _, key, _ in walk.attributes if key.startswith("on")]
    assert "alert(1)" in walk.text
    assert not re.search("[\u202a-\u202e\u2066-\u2069]", page)


def test_a_hostile_name_becomes_no_name_of_an_element() -> None:
    ids = {value for _, key, value in Walk(hostile_pages()["card"]).attributes if key == "id"}
    assert all(re.fullmatch(r"[a-z0-9-]+", value or "") for value in ids)


def test_a_template_that_asks_for_what_is_not_there_is_a_fault(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    from lineage.reports import to_html

    (tmp_path / "style.css").write_text("")
    (tmp_path / "wrong.html.j2").write_text("{{ page.nothing_of_that_name }}")
    monkeypatch.setattr(to_html, "templates", lambda: tmp_path)
    to_html._environment.cache_clear()
    try:
        with pytest.raises(jinja2.UndefinedError):
            drawn("wrong.html.j2", None)  # type: ignore[arg-type]
    finally:
        to_html._environment.cache_clear()


def test_one_answer_of_a_step_in_several_places_is_given_once_and_pointed_to() -> None:
    text = Walk(compare_html(sample.compare())).text
    assert text.count("Failed in 12 of 23 → 1 of 18 bouts") == 1
    assert "One answer for all places of this step: see change 1." in text
    assert "pod and 1 more" in text


def test_jinja_is_loaded_only_when_a_page_is_made() -> None:
    code = "import sys, lineage.reports.to_html; sys.exit('jinja2' in sys.modules)"
    assert subprocess.run([sys.executable, "-c", code], check=False).returncode == 0


@pytest.mark.parametrize("name", pages())
def test_a_page_is_small(name: str) -> None:
    assert len(pages()[name].encode()) < 80_000


def test_the_calendar_has_a_row_a_design_and_what_went_under_each_event() -> None:
    page = family_html(sample.family())
    rows = dict(re.findall(r'<tr><th scope="row">(.*?)</th>(.*?)</tr>', page, re.DOTALL)[:3])
    cells = {name: re.findall(r"<td.*?</td>", row) for name, row in rows.items()}
    assert list(cells) == ["teal", "wren", "pod"]  # what has no build and went nowhere has no row
    assert '<b class="entry">A</b><span class="entry">pod@A</span>' in cells["wren"][0]
    assert "build not said" in cells["teal"][1]
    assert "B recorded 2024-01-13" in cells["pod"][1]
    assert "B recorded 2024-05-01" in cells["wren"][2]


def test_a_page_alone_has_no_links_to_other_pages() -> None:
    assert not re.search(r'href="[^#]', family_html(sample.family()))


def test_known_places_lead_to_their_pages() -> None:
    page = drawn("family.html.j2", family_page(sample.family()), links={"wren@A": "card-wren-A.html"})
    assert '<b class="entry"><a href="card-wren-A.html">A</a></b>' in page


def test_a_change_on_the_report_after_an_event_says_whose_it_is() -> None:
    text = Walk(lessons_html(sample.lessons(changes=(sample.change(design="wren"),)))).text
    assert "wren: module moved on: helped" in text


def test_what_a_choice_weighs_is_not_said_to_be_the_whole_robot() -> None:
    text = Walk(card_html(sample.card())).text
    assert "choice it weighsg fork: long 31.0" in text
    assert "whole robot" not in text


def test_siblings_say_on_the_page_what_they_say_in_the_text() -> None:
    view = sample.siblings()
    page = compare_html(view)
    walk = Walk(page)
    assert walk.faults == []
    assert numbers(compare_text(view)) - numbers(walk.text) == set()
    for words in (
        "Alike in both",
        "arm = wedge",
        "front, the same role",
        "Only in wren@C",
        "Only in teal@B",
        "What moving on would bring",
        "would miss its need",
        "comes with a newer build of what it is in",
        "plates of one drawing",
    ):
        assert words in walk.text


def test_a_history_says_of_a_branch_a_lesson_and_a_build_that_cannot_be_read() -> None:
    text = Walk(history_html(sample.history())).text
    assert "a branch, beside D" in text
    assert "answers steel-gears: Brass gears strip holding" in text
    assert "Cannot be read: spec.yaml: a key is not known" in text
    assert "grew from teal@A, when teal was at B" in text
    assert "Only described better, not changed: lid." in text


def test_every_change_of_siblings_is_one_click_away() -> None:
    page = compare_html(sample.siblings())
    fold = page.index("Every change, one by one")
    assert page.index('<li class="change"') > fold
    assert page.index('id="pair-1-otherwise"') > fold
