"""Words for what is wrong."""

from lineage.drawings.faults import WANTED, at, problem


def test_every_code_says_what_is_wanted_and_how_to_mend_it():
    assert all(code.startswith("drawing.") and wanted and mend for code, (wanted, mend) in WANTED.items())


def test_a_problem_stands_at_the_line_of_its_entity():
    found = problem("plates/side.dxf", 12, "drawing.gap", "2 gaps", "warning")
    assert (found.place.file, found.place.line, found.place.column) == ("plates/side.dxf", 12, 1)
    assert found.level == "warning"


def test_coordinates_have_two_digits_and_no_minus_zero():
    assert at((10.004, -0.001)) == "(10.00, 0.00) mm"
    assert at((-5.25, 1e5)) == "(-5.25, 100000.00) mm"
