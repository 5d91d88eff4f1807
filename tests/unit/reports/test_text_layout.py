"""Text of eighty columns, counted as a terminal shows it."""

import pytest

from lineage.reports.text.layout import WIDTH, heading, shown_width, table, wrapped

WIDE = "電池と配線を留める長い結束バンド"
MARKED = "e\u0301tai\u0302n"


@pytest.mark.parametrize(
    ("text", "columns"),
    [
        ("wren", 4),
        ("電池", 4),
        (MARKED, 5),
        ("a\u200db", 2),
        ("ｗ", 2),
        ("\u1112\u1161\u11ab", 2),
        ("µm ±", 4),
    ],
)
def test_a_text_is_as_wide_as_a_terminal_shows_it(text: str, columns: int) -> None:
    assert shown_width(text) == columns


def test_columns_stay_under_their_heads_whatever_their_letters() -> None:
    shown = table(["item", "count"], [[WIDE, "3"], [MARKED, "12"], ["screw", "100"]], "lr")
    assert {shown_width(line) for line in shown.splitlines()} == {2 * len(WIDE) + 2 + 5}


@pytest.mark.parametrize("align", ["lwr", "llr", "wwr", "lRr"])
@pytest.mark.parametrize("text", ["n" * 60, WIDE * 4, f"{MARKED} " * 20, "word " * 30])
def test_a_table_is_never_wider_than_the_terminal_and_loses_no_letter(align: str, text: str) -> None:
    shown = table(["name", "what", "mass"], [[text, text, "12.5 g"]], align)
    assert all(shown_width(line) <= WIDTH for line in shown.splitlines())
    kept = "".join(shown.split("\n", 2)[2].split()).replace("12.5g", "")
    assert sorted(kept) == sorted("".join(text.split()) * 2)


@pytest.mark.parametrize(
    "text", [WIDE * 9, f"{WIDE} " * 9, f"{MARKED} " * 40, f"{WIDE} wren " * 8, "n" * 200]
)
def test_a_paragraph_and_a_heading_are_broken_where_they_are_too_wide_and_lose_no_letter(text: str) -> None:
    for shown in (wrapped(text, "    ", "- ").removeprefix("- "), heading(text).rpartition("\n")[0]):
        assert all(shown_width(line) <= WIDTH for line in shown.splitlines())
        assert "".join(shown.split()) == "".join(text.split())


def test_a_mark_stays_with_its_letter() -> None:
    lines = wrapped("e\u0301" * 200).splitlines()
    assert len(lines) > 1
    assert not [line for line in lines if line.startswith("\u0301")]


def test_the_rule_under_a_heading_is_as_long_as_its_longest_line() -> None:
    assert heading("電池").splitlines()[1] == "----"
    assert max(map(shown_width, heading(WIDE * 4).splitlines())) <= WIDTH
