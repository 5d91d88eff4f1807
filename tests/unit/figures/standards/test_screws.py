"""How types of screws are read."""

import pytest

from lineage.figures.standards.screws import nut_mass, parse_screw, screw_mass, washer_mass


@pytest.mark.parametrize(
    "text, type_, tool, length",
    [
        ("ISO 4762 M3x10", "ISO 4762 M3x10", "2.5 mm hex key", 10),
        ("DIN 912 M3x10", "ISO 4762 M3x10", "2.5 mm hex key", 10),
        ("M3x10 cap", "ISO 4762 M3x10", "2.5 mm hex key", 10),
        ("M2.5 × 6 cap", "ISO 4762 M2.5x6", "2 mm hex key", 6),
        ("ISO 7380-1 M3x8", "ISO 7380-1 M3x8", "2 mm hex key", 8),
        ("ISO 7380 M3x8", "ISO 7380-1 M3x8", "2 mm hex key", 8),
        ("M3x8 button", "ISO 7380-1 M3x8", "2 mm hex key", 8),
        ("ISO 10642 M3x8", "ISO 10642 M3x8", "2 mm hex key", 8),
        ("M3x8 countersunk", "ISO 10642 M3x8", "2 mm hex key", 8),
        ("DIN 7991 M3x8", "DIN 7991 M3x8", "2 mm hex key", 8),
        ("ISO  4762  M3 x 10 mm", "ISO 4762 M3x10", "2.5 mm hex key", 10),
        ("ASME B18.3 4-40 x 1/2 in", "ASME B18.3 4-40 x 1/2 in", "3/32 in hex key", 12.7),
        ("ASME B18.3 #4-40 x 1/2 in", "ASME B18.3 4-40 x 1/2 in", "3/32 in hex key", 12.7),
        ("4-40 x 1/2 in cap", "ASME B18.3 4-40 x 1/2 in", "3/32 in hex key", 12.7),
        ("10-32 x 1 1/4 in button", "ASME B18.3 10-32 x 1 1/4 in button", "1/8 in hex key", 31.75),
        ("1/4-20 x 1 in countersunk", "ASME B18.3 1/4-20 x 1 in countersunk", "5/32 in hex key", 25.4),
        ("6-32 x 0.375 in cap", "ASME B18.3 6-32 x 0.375 in", "7/64 in hex key", 9.525),
        ("ISO 7380-1 M2x6", "ISO 7380-1 M2x6", None, 6),
    ],
)
def test_a_type_is_read_in_the_words_of_standards_and_of_the_workshop(text, type_, tool, length):
    screw = parse_screw(text)
    assert (screw.type, screw.tool, screw.length_mm) == (type_, tool, pytest.approx(length))


@pytest.mark.parametrize(
    "text",
    [
        "thumb screw", "M3x10", "4-40 x 1/2 in", "M7x10 cap", "ISO 4762 M3x10 button", "ISO 9999 M3x10", "M3x0 cap",
        "4-40 x in cap", "4-40 x 1/0 in cap", "5-44 x 1/2 in cap", "M3x10 cap black", "", "M3x٣ cap",
    ],
)  # fmt: skip
def test_any_other_text_is_no_known_screw(text):
    assert parse_screw(text) is None


def test_a_length_between_two_of_the_chart_lies_between_their_masses():
    assert screw_mass(parse_screw("M3x11 cap")).grams == pytest.approx(0.95)


def test_a_length_outside_the_chart_is_worked_out_from_the_shape_with_a_wider_spread():
    found = screw_mass(parse_screw("M3x40 cap"))
    assert found.share == 0.10
    assert found.grams == pytest.approx(1.9 + 10 * 0.0441, rel=0.2)


def test_what_no_table_has_has_no_mass():
    assert screw_mass(parse_screw("ISO 7380-1 M2x6")) is None
    assert screw_mass(parse_screw("M6x1 countersunk")) is None
    assert nut_mass("4-40") is None
    assert nut_mass("M2", "DIN 985") is None
    assert washer_mass("4-40") is None


def test_a_countersunk_head_of_the_older_standard_is_lower():
    heights = [parse_screw(f"{standard} M4x10").head_height_mm for standard in ("ISO 10642", "DIN 7991")]
    assert heights == [2.48, 2.3]
