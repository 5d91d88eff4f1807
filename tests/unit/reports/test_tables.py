from lineage.reports.pages.tables import Head, table


def test_the_unit_moves_into_the_head_and_figures_are_cut_at_the_point() -> None:
    made = table("Weights", [Head("thing"), Head("mass", "figure", "g")], [["a", "12.3 g"], ["b", "-4 g"]])
    assert made is not None
    assert (made.columns[1].unit, made.columns[1].places) == ("g", 1)
    assert [(row[1].whole, row[1].fraction) for row in made.rows] == [("12", ".3"), ("-4", "")]


def test_plus_minus_gets_a_column_of_its_own() -> None:
    rows = [["a", "1352 ± 4 g"], ["b", "7.31 ± 0.12 g"], ["c", "not known"], ["d", "88 g, ± not known"]]
    made = table("Weights", [Head("thing"), Head("mass", "figure", "g")], rows)
    assert made is not None
    assert [column.head for column in made.columns] == ["thing", "mass", "±"]
    assert [row[2].whole + row[2].fraction + row[2].text for row in made.rows] == [
        "4",
        "0.12",
        "",
        "not known",
    ]
    assert [row[1].whole + row[1].fraction + row[1].text for row in made.rows] == [
        "1352",
        "7.31",
        "not known",
        "88",
    ]


def test_a_column_without_any_text_is_left_out_but_never_the_first() -> None:
    made = table("Empty", [Head(""), Head("a"), Head("b")], [["", "", "x"]])
    assert made is not None
    assert [column.head for column in made.columns] == ["", "b"]


def test_without_rows_there_is_no_table() -> None:
    assert table("None", [Head("a")], []) is None
