"""Logs are read entry by entry; which entries count does not hang on their order."""

from hashlib import sha1

import pytest

from lineage.spec.log import corrected, entry_id
from lineage.spec.result_file import read_results

A = "- {on: 2025-03-01, kind: mass, is: 31 g, of: lid}"
B = "- {on: 2025-03-02, kind: gap, of: deck, is: 0.4 mm}"
C = "- {on: 2025-03-03, kind: trial, of: self-right, passed: 7, tries: 10}"


def read(*lines, end="\n"):
    return read_results("".join(line + end for line in lines).encode(), "results/avocet.yaml", "avocet")


def id_of(line):
    return sha1(line.encode()).hexdigest()[:10]


def correction(line, target, **more):
    keys = "".join(f", {key}: {value}" for key, value in more.items())
    return line.removesuffix("}") + f", instead_of: {target}{keys}}}"


def test_an_id_is_of_the_line_without_its_end():
    assert [e.id for e in read(A, B).entries] == [id_of(A), id_of(B)]
    assert [e.id for e in read(A, B, end="\r\n").entries] == [id_of(A), id_of(B)]
    assert read_results(A.encode(), "f", "avocet").entries[0].id == id_of(A)
    assert entry_id(A.encode() + b"\r\n") == id_of(A)


def test_an_entry_has_the_place_of_its_line():
    entry = read("# weighings", A).entries[0]
    assert (entry.place.file, entry.place.line, entry.place.column, entry.place.end) == (
        "results/avocet.yaml", 2, 1, len(A) + 1,
    )  # fmt: skip


def test_lines_that_are_indented_belong_to_the_entry_above():
    log = read(
        "- on: 2025-03-01",
        "  kind: mass  # bench",
        "  # the lid alone",
        "  of: lid",
        "",
        "  is: 31 g",
        "",
        "# end",
        B,
    )
    assert log.problems == ()
    assert [e.place.line for e in log.entries] == [1, 9]
    with_comment_behind = read(
        "- on: 2025-03-01", "  kind: mass  # bench", "  # the lid alone", "  of: lid", "", "  is: 31 g", B
    )
    assert with_comment_behind.entries[0].id == log.entries[0].id


def test_a_dash_alone_begins_an_entry():
    assert len(read("-", "  {on: 2025-03-01, kind: mass, is: 31 g}").entries) == 1


@pytest.mark.parametrize(
    "line", ["- {on: 2025-03-01, kind: mass, is: 31", "- {on: x}", "- a", "- [", "-\t{", "- ", '- "']
)
def test_one_bad_line_spoils_one_entry(line):
    log = read(A, line, B)
    assert [e.id for e in log.entries] == [id_of(A), id_of(B)]
    assert [p.place.line for p in log.problems] == [2]
    assert log.problems[0].source == line


def test_bytes_that_are_no_text_spoil_one_entry():
    log = read_results(A.encode() + b"\n- {on: \xff}\n" + B.encode(), "f", "avocet")
    assert [e.id for e in log.entries] == [id_of(A), id_of(B)]
    assert [(p.code, p.place.line, p.place.column) for p in log.problems] == [("encoding", 2, 8)]


def test_a_merge_left_open_spoils_no_entry():
    log = read(A, "<<<<<<< ours", B, "=======", C, ">>>>>>> theirs")
    assert [e.id for e in log.entries] == [id_of(A), id_of(B), id_of(C)]
    assert [(p.code, p.place.line) for p in log.problems] == [("conflict-marker", 2)]


def test_two_merges_left_open_are_two_problems():
    both = ["<<<<<<< a", A, "||||||| base", "=======", B, ">>>>>>> b"]
    assert [p.place.line for p in read(*both, *both).problems] == [1, 7]


def test_a_line_of_no_entry_is_told():
    log = read("{on: 2025-03-01}", A, "  - x", "stray: yes", B)
    assert [(p.code, p.place.line) for p in log.problems] == [("entry", 1), ("indent", 3), ("entry", 4)]
    assert [e.id for e in log.entries] == [id_of(B)]


def test_an_empty_log_has_no_entries_and_no_problems():
    for data in (b"", b"\n\n", b"# nothing yet\n", b"\xef\xbb\xbf"):
        assert read_results(data, "f", "avocet") == read()


def test_a_log_that_is_too_large_is_refused_whole():
    log = read_results(b"# " + b"x" * 2_000_001, "f", "avocet")
    assert [p.code for p in log.problems] == ["too-large"]


def test_a_correction_takes_the_place_of_its_entry():
    better = correction("- {on: 2025-03-01, kind: mass, is: 33 g, of: lid}", id_of(A))
    for lines in ([A, better], [better, A]):
        assert [e.id for e in corrected(read(*lines).entries).entries] == [id_of(better)]


def test_a_chain_of_corrections_leaves_the_last():
    second = correction("- {on: 2025-03-01, kind: mass, is: 33 g}", id_of(A))
    third = correction("- {on: 2025-03-01, kind: mass, is: 34 g}", id_of(second))
    for lines in ([A, second, third], [third, A, second]):
        log = corrected(read(*lines).entries)
        assert [e.id for e in log.entries] == [id_of(third)]
        assert log.problems == ()


def test_a_withdrawal_strikes_an_entry_out_and_is_none_itself():
    strike = f"- {{withdrawn: yes, instead_of: {id_of(A)}}}"
    assert [e.id for e in corrected(read(A, B, strike).entries).entries] == [id_of(B)]


def test_striking_out_a_correction_does_not_bring_the_corrected_entry_back():
    second = correction("- {on: 2025-03-01, kind: mass, is: 33 g}", id_of(A))
    strike = f"- {{withdrawn: yes, instead_of: {id_of(second)}}}"
    assert corrected(read(A, second, strike).entries).entries == ()


def test_equal_lines_are_one():
    assert [e.id for e in corrected(read(A, B, A).entries).entries] == [id_of(A), id_of(B)]


def test_a_correction_of_nothing_counts_and_is_told():
    lone = correction(A, "0123456789")
    log = corrected(read(lone).entries)
    assert [e.id for e in log.entries] == [id_of(lone)]
    assert [(p.code, p.level) for p in log.problems] == [("correction-of-nothing", "warning")]


def test_an_id_is_ten_hexadecimal_digits():
    assert [p.code for p in read(correction(A, "last")).problems] == ["entry-id"]
    assert [p.code for p in read(correction(A, "1234")).problems] == ["entry-id"]
    assert len(read(correction(A, "1234567890")).entries) == 1
