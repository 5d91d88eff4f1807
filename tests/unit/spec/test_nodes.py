"""What YAML may say here, what is refused, where, and with which cure."""

import pytest
import yaml

from lineage.problems import Place
from lineage.spec import nodes
from lineage.spec.document import Faulty, Mapping, Scalar, Sequence
from lineage.spec.nodes import parse


def only(text: str | bytes):
    """The one problem of a text."""
    document = parse(text if isinstance(text, bytes) else text.encode(), "f.yaml")
    assert len(document.problems) == 1, document.problems
    return document.problems[0]


@pytest.mark.parametrize(
    ("text", "code", "line", "column", "cure"),
    [
        ("a: 1\nb: 2\na: 3\n", "duplicate-key", 3, 1, "delete one of the two"),
        ("a: !!int 1\n", "tag", 1, 4, "delete it"),
        ("a: !x!y 1\n", "tag", 1, 4, "quotes"),
        ("a: &b 1\n", "anchor", 1, 4, "delete it"),
        ("a: *b\n", "alias", 1, 4, "write it out"),
        ("a: * b\n", "alias", 1, 4, "quotes"),
        ("<<: {a: 1}\n", "merge-key", 1, 1, "write them out"),
        ("a:\n\tb: 1\n", "tab", 2, 1, "spaces"),
        ("a: {\n\tb: 1}\n", "tab", 2, 1, "spaces"),
        ("- \tx: 1\n  \ty: 2\n", "tab", 1, 3, "spaces"),
        ("%YAML 1.2\n---\na: 1\n", "directive", 1, 1, "delete the line"),
        ("%WHAT\n---\na: 1\n", "directive", 1, 1, "delete the line"),
        ("a: 1\n---\nb: 2\n", "second-document", 2, 1, "file of its own"),
        ("a:\nb: 1\n", "empty", 1, 1, "leave the key out"),
        ("b: ~\n", "empty", 1, 4, "leave the key out"),
        ("b: null\n", "empty", 1, 4, "leave the key out"),
        ("b: [1, ~]\n", "empty", 1, 8, "leave the key out"),
        ("b:\n  -\n  - 1\n", "empty", 2, 4, "leave the key out"),
        ("b: .inf\n", "not-finite", 1, 4, "leave the key out"),
        ("b: -.INF\n", "not-finite", 1, 4, "leave the key out"),
        ("b: .nan\n", "not-finite", 1, 4, "leave the key out"),
        ("? [a, b]\n: 1\n", "key-shape", 1, 3, "quotes"),
        ("a: \x07\n", "control-character", 1, 4, "delete it"),
        ("a: x\u2028b: y\n", "control-character", 1, 5, "delete it"),
        ("a: x\rb: y\n", "control-character", 1, 5, "delete it"),
        ("a: 1\n<<<<<<< ours\nb: 1\n=======\nb: 2\n>>>>>>> theirs\n", "conflict-marker", 2, 1, "both sides"),
        ("a: 1\n=======\n", "conflict-marker", 2, 1, "both sides"),
        ("{a: 1,5 mm}\n", "comma", 1, 7, "write `a: 1.5 mm`"),
        ("{mode: bent, then broke}\n", "comma", 1, 14, '`mode: "bent, then broke"`'),
        ("{a, b: 1}\n", "comma", 1, 2, "write `a: …`"),
        ("type: ASME B18.3 #4-40 x 1/2 in\n", "comment", 1, 18, "double quotes"),
        ("type: #4-40 x 1/2 in\nb: 1\n", "comment", 1, 7, "double quotes"),
        ("a: {type: ASME #4-40, count: 4}\nb: 1\n", "comment", 1, 16, "double quotes"),
        ("- {type: #4-40, count: 4}\n", "comment", 1, 10, "double quotes"),
        ("a: [1, 2\nb: 3\n", "unclosed", 1, 4, "close it"),
        ("a: [1, 2]]\n", "unclosed", 1, 10, "delete it"),
        ("a: {b: [1, 2}\n", "unclosed", 1, 13, "comma"),
        ("a: [1, , 2]\n", "unclosed", 1, 8, "delete the comma"),
        ('a: "x\n', "unclosed", 1, 4, "close it"),
        ('a: "\\q"\n', "escape", 1, 5, "write it twice"),
        ('a: "\\ud800"\n', "escape", 1, 7, "write it twice"),
        ("a: @x\n", "needs-quotes", 1, 4, "double quotes"),
        ("a: %x\n", "needs-quotes", 1, 4, "double quotes"),
        ("a: b: c\n", "colon", 1, 5, "double quotes"),
        ("a: 1\n b: 2\n", "colon", 2, 3, "indent this line"),
        ("a:1\nb: 2\n", "colon", 1, 2, "put a space behind the colon"),
        ("a: {b: c: d}\n", "colon", 1, 9, "double quotes"),
        ("chain: [a.b, - c.d]\n", "dash", 1, 14, "leave the space out"),
        ("- a\nb: c\n", "indent", 2, 1, "indent it"),
        ("a: 1\nkey\nb: 2\n", "syntax", 2, 1, "put a colon"),
        ("{a: 1}\nb: 2\n", "syntax", 2, 1, "delete it"),
        ('a: "x" y\n', "syntax", 1, 8, "double quotes"),
    ],
)
def test_what_is_refused_has_its_place_and_its_cure(text, code, line, column, cure):
    problem = only(text)
    assert (problem.code, problem.place.line, problem.place.column) == (code, line, column)
    assert cure in problem.mend
    assert problem.source == text.split("\n")[line - 1]
    assert problem.caret == column


def test_bytes_that_are_not_utf_8_are_placed():
    problem = only(b"a: 1\nb: caf\xe9\n")
    assert (problem.code, problem.place) == ("encoding", Place("f.yaml", 2, 7))


def test_a_byte_order_mark_and_windows_line_ends_are_fine():
    document = parse(b"\xef\xbb\xbfa: 1\r\nb: [x,\r\n  y]\r\n", "f.yaml")
    assert document.problems == []
    assert nodes_of(document.root) == {"a": "1", "b": ["x", "y"]}


def nodes_of(node):
    if isinstance(node, Scalar):
        return node.text
    if isinstance(node, Sequence):
        return [nodes_of(item) for item in node.items]
    if isinstance(node, Faulty):
        return None
    assert isinstance(node, Mapping)
    return {key.text: nodes_of(value) for key, value in node.items}


def test_scalars_stay_what_they_look_like():
    document = parse(
        b"a: no\nb: on\nc: 1:30\nd: 2025-03-09\ne: 1.10\nf: 010\ng: '~'\nh: \"null\"\n", "f.yaml"
    )
    assert document.problems == []
    assert list(nodes_of(document.root).values()) == [
        "no",
        "on",
        "1:30",
        "2025-03-09",
        "1.10",
        "010",
        "~",
        "null",
    ]


def test_every_problem_of_a_file_comes_at_once():
    document = parse(b"a: &x 1\na: 2\nb: ~\nc: {d: 1,5 mm}\n", "f.yaml")
    assert [p.code for p in document.problems] == ["anchor", "duplicate-key", "empty", "comma"]


def test_a_syntax_error_stands_alone():
    document = parse(b"a: ~\na: 1\nb: [1\n", "f.yaml")
    assert [p.code for p in document.problems] == ["unclosed"]
    assert document.root is None


def test_a_file_over_two_million_bytes_is_refused():
    assert only(b"a: " + b"x" * nodes.MOST_BYTES).code == "too-large"


@pytest.mark.parametrize(
    "text", ["[" * 60, "[" * 5000, "- " * 60 + "a", "{a: " * 60 + "1" + "}" * 60, "? " * 60]
)
def test_more_than_fifty_levels_are_refused_before_they_are_read(text):
    assert only(text).code == "too-deep"


def test_fifty_levels_are_read():
    assert parse(("[" * 50 + "]" * 50).encode(), "f.yaml").problems == []


def test_more_than_a_hundred_thousand_values_are_refused():
    assert only("[" + "1," * 100_001 + "]").code == "too-many-values"


def test_lines_of_an_entry_count_from_where_it_stands():
    document = parse(b"- {a: 1,\n   a: 2}\n", "f.yaml", first_line=7)
    assert document.problems[0].place.line == 8
    assert "line 7" in document.problems[0].what
    assert document.problems[0].source == "   a: 2}"


def test_a_very_long_line_is_shortened_about_the_column():
    problem = only("a: [" + "word, " * 200 + "~" + ", word" * 200 + "]\n")
    assert len(problem.source) <= 76
    assert problem.caret is not None
    assert problem.source[problem.caret - 1] == "~"


@pytest.mark.parametrize(
    ("text", "start", "end", "columns"),
    [
        ("a: 92 gg", 3, 5, (7, 9)),
        ("a: '92 gg'", 3, 5, (8, 10)),
        ("a: 'it''s 92'", 3, 4, (9, 10)),
        ("a: 'it''s 92'", 5, 7, (11, 13)),
        ('a: "\\u00b1 5 q"', 4, 5, (14, 15)),
        ('a: "\\x41\\t5"', 2, 3, (11, 12)),
    ],
)
def test_a_fault_inside_a_text_has_its_own_column(text, start, end, columns):
    document = parse(text.encode(), "f.yaml")
    value = document.root.items[0][1]
    place = document.within(value, start, end)
    assert (place.column, place.end) == columns


PURE = [
    "a: [b, {c: d, e: 'f'}]\nb: |\n  text\n  more\nc: \"q\\u00e9\"\n",
    "a: 1\na: 2\nb: ~\nc: &x 1\nd: {e: 1,5 mm}\nf: x #4-40\n",
    "a: [1, 2\n", "a: b: c\n", "a:\n\tb: 1\n", "a: @x\n", "- a\nb: c\n", "a: 1\n---\nb: 2\n", "a: [b, - c]\n", "%YAML 1.2\n---\na: 1\n",
]  # fmt: skip


@pytest.mark.parametrize("text", PURE)
def test_without_the_library_in_c_everything_reads_the_same(text, monkeypatch):
    with_c = parse(text.encode(), "f.yaml")
    monkeypatch.setattr(nodes, "_Parser", yaml.Loader)
    without = parse(text.encode(), "f.yaml")
    assert [(p.code, p.place.line) for p in without.problems] == [
        (p.code, p.place.line) for p in with_c.problems
    ]
    assert (without.root is None) == (with_c.root is None)
    if with_c.root is not None:
        assert nodes_of(without.root) == nodes_of(with_c.root)


def test_half_a_character_is_refused_by_either_library(monkeypatch):
    monkeypatch.setattr(nodes, "_Parser", yaml.Loader)
    assert only('a: "\\ud800"\n').code == "escape"


@pytest.mark.parametrize(
    "text",
    [
        "a #1\n" * 50_000, "a: |\n" + " \tb\n" * 50_000, " " * 400_000, "{" + "a: ," * 20_000 + "}", "<<<<<<< a\n" * 20_000,
        "{\n\t" + "a," * 50_000, 'a: "5 g' + " " * 400_000 + '!"',
    ],
)  # fmt: skip
def test_a_text_that_was_made_to_take_long_is_read_to_its_end(text):
    document = parse(text.encode(), "f.yaml")
    assert document.text == text
