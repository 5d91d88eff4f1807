import csv
from io import StringIO

import pytest

from lineage.reports.to_csv import (
    card_csv,
    compare_csv,
    family_csv,
    history_csv,
    lessons_csv,
    spares_csv,
    todo_csv,
)
from lineage.reports.views.card import ItemView
from lineage.reports.views.figures import ValueU
from tests import sample_views as sample


def rows(text: str) -> list[dict[str, str]]:
    return list(csv.DictReader(StringIO(text)))


def test_items_of_weight_stand_unrounded_and_what_is_not_known_is_empty() -> None:
    side, screws, lamp = rows(card_csv(sample.card()))
    assert side == {
        "ref": "side",
        "kind": "part",
        "count": "2",
        "mass_g": "900.5",
        "u_g": "4.0",
        "basis": "drawing",
    }
    assert (screws["mass_g"], screws["u_g"]) == ("442.13", "")
    assert (lamp["mass_g"], lamp["u_g"], lamp["basis"]) == ("", "", "")


def test_a_change_is_a_row_with_its_mass_and_counts() -> None:
    first, _, lamp, lid = rows(compare_csv(sample.compare()))
    assert (first["mass_g"], first["failures_before"], first["bouts_after"]) == ("2.35", "12", "18")
    assert (lamp["mass_g"], lamp["failures_before"]) == ("", "")
    assert (first["described_better"], lid["described_better"]) == ("no", "yes")


def test_what_broke_is_a_row_with_its_rank() -> None:
    (row,) = rows(lessons_csv(sample.lessons()))
    assert (row["rank"], row["at"], row["cost_s"], row["seen_before"]) == ("1", "pod.gearbox", "720.0", "3")


def test_every_line_of_work_is_a_row() -> None:
    made = rows(todo_csv(sample.todo()))
    assert [row["do"] for row in made] == [
        "cut", "print", "stock", "buy", "screws", "rework", "keep", "scrap",
    ]  # fmt: skip
    assert made[0] == {
        "do": "cut", "what": "belly", "count": "1", "from": "al-2", "note": "plates/belly.dxf", "takes_s": "", "cost": "",
    }  # fmt: skip


@pytest.mark.parametrize("start", ["=", "+", "-", "@", "\t", "\r"])
def test_a_text_that_a_spreadsheet_would_run_gets_an_apostrophe(start: str) -> None:
    (row, *_) = rows(todo_csv(sample.todo(todo=sample.work(cut=(), keep=(f"{start}1+1",)))))[-2:]
    assert row["what"].startswith(f"'{start}".replace("\r", "\r"))


def test_a_negative_number_stays_a_number() -> None:
    item = ItemView(ref="ballast", kind="as weighed", count=1, mass_g=ValueU(-3.5, 0.1), basis="weighed")
    (row,) = rows(card_csv(sample.card(weight=sample.weight(items=(item,)))))
    assert row["mass_g"] == "-3.5"


def test_a_text_with_commas_quotes_and_lines_reads_back_as_it_was() -> None:
    text = 'one, "two"\nthree'
    made = rows(todo_csv(sample.todo(todo=sample.work(keep=(text,)))))
    assert text in [row["what"] for row in made]


def test_a_history_is_a_row_a_build_and_nothing_where_nothing_is_known() -> None:
    found = rows(history_csv(sample.history()))
    assert [row["build"] for row in found] == ["A", "B", "C"]
    assert [row["mass_g"] for row in found] == ["1368.05", "1333.3", ""]
    assert [row["changes"] for row in found] == ["0", "1", "1"]  # what is only described better is none
    assert found[0]["share_of_bouts_failed"] == ""


def test_a_family_is_a_row_a_build_with_the_events_it_went_to() -> None:
    found = rows(family_csv(sample.family()))
    told = [(row["design"], row["build"], row["modules"], row["events"]) for row in found]
    assert told == [
        ("teal", "A", "pod@A", "2023-10-07-creek"),
        ("wren", "A", "pod@A", "2023-10-07-creek"),
        ("wren", "B", "pod@B", ""),
        ("pod", "A", "", ""),
        ("pod", "B", "", ""),
        ("lifter", "", "", ""),
    ]


def test_a_box_is_a_row_an_item() -> None:
    found = rows(spares_csv(sample.spares()))
    assert [(row["item"], row["quantity"], row["always"]) for row in found] == [
        ("gear set", "2", "no"),
        ("tape", "", "yes"),
    ]
