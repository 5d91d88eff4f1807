"""Masses by role of several states beside each other."""

from msgspec.structs import replace

from lineage.reports.charts.pictures import Bar
from lineage.reports.charts.roles_beside import MOST_ROLES, OTHERS, roles_beside
from lineage.reports.pages.compare import compare_page
from lineage.reports.views.card import Card
from tests import sample_views as sample


def card(design: str, limit: float | None, **by_role: float) -> Card:
    plain = sample.card()
    assert plain.class_ is not None
    return sample.card(
        design=design,
        weight=replace(plain.weight, by_role_g=by_role),
        class_=None if limit is None else replace(plain.class_, limit_g=limit),
    )


def width(picture, label: str) -> float:
    (found,) = (row for row in picture.rows if row.full == label)
    (mark,) = found.marks
    assert isinstance(mark, Bar)
    return mark.width


def test_each_is_drawn_as_a_share_of_its_own_limit() -> None:
    made = roles_beside([card("big", 1000, drive=400, chassis=500), card("small", 100, drive=40)])
    assert made is not None
    assert made.unit == "%"
    assert [upright.label for upright in made.uprights] == ["limit of each"]
    assert width(made, "drive: big@C") == width(made, "drive: small@C")
    figures = {row.full: row.figure for row in made.rows}
    assert figures["drive: big@C"] == "400.0 g, 40 %"
    assert figures["chassis: small@C"] == "none"
    assert figures["whole: big@C"] == "900.0 g, 90 %"
    assert "drive: small@C 40.0 g, 40 %" in made.said


def test_where_one_has_no_limit_grams_are_drawn_and_no_limit() -> None:
    made = roles_beside([card("big", 1000, drive=400), card("part", None, drive=200)])
    assert made is not None
    assert (made.unit, made.uprights) == ("g", ())
    assert abs(width(made, "drive: big@C") - 2 * width(made, "drive: part@C")) < 0.2


def test_small_roles_are_one_and_nothing_is_lost() -> None:
    roles = {f"role-{n}": 10.0 * (n + 1) for n in range(9)}
    made = roles_beside([card("one", 1000, **roles), card("two", 1000, **roles)])
    assert made is not None
    assert len(made.rows) == 2 * (MOST_ROLES + 2)
    figures = {row.full: row.figure for row in made.rows}
    assert figures[f"{OTHERS}: one@C"] == "60.0 g, 6 %"
    assert figures["whole: two@C"] == "450.0 g, 45 %"


def test_neighbours_have_fills_of_their_own() -> None:
    made = roles_beside([card(name, 100, drive=40) for name in ("a", "b", "c", "d")])
    assert made is not None
    assert len({mark.fill for row in made.rows[:4] for mark in row.marks if isinstance(mark, Bar)}) == 4


def test_it_stands_where_siblings_are_compared_and_not_from_build_to_build() -> None:
    assert roles_beside([card("one", 1000, drive=1)]) is None
    assert roles_beside([card("one", 1000), card("two", 1000)]) is None
    siblings = compare_page(sample.compare(designs=(card("one", 100, drive=4), card("two", 100, drive=4))))
    builds = compare_page(sample.compare(designs=(card("one", 100, drive=4), card("one", 100, drive=5))))
    shown = [[p.name for s in page.sections for p in s.pictures] for page in (siblings, builds)]
    assert "roles" in shown[0]
    assert "roles" not in shown[1]
