"""The guide's sources."""

import pytest

from lineage.reports.pages.guide import guide_page
from lineage.reports.prose import plain, read_prose, slug, spans
from lineage.reports.text.guide import guide_text
from lineage.reports.to_html import drawn
from tests.page_walk import Walk

SOURCE = """# The title

A paragraph
that goes on.

## First chapter

- one **bold** item
  that goes on
- `code < here` and [a link](other#part)

1. first
2. second

```yaml robots/x.yaml
robot: x
  # <b>
```

| a | b |
| --- | --- |
| 1 | <script> |

@own
"""


def prose():
    return read_prose(SOURCE, {"own": [("code", "means"), ("`x-y`", "that")]})


def test_a_text_is_chapters_of_blocks() -> None:
    first, chapter = prose().chapters
    assert (prose().title, first.title, chapter.title, chapter.name) == (
        "The title",
        "",
        "First chapter",
        "first-chapter",
    )
    assert [block.kind for block in chapter.blocks] == ["list", "steps", "code", "table", "table"]
    assert plain(first.blocks[0].lines[0]) == "A paragraph that goes on."
    assert [plain(line) for line in chapter.blocks[0].lines] == [
        "one bold item that goes on",
        "code < here and a link",
    ]


def test_code_keeps_its_lines_its_language_and_its_file() -> None:
    code = prose().chapters[1].blocks[2]
    assert (code.text, code.language, code.file) == ("robot: x\n  # <b>", "yaml", "robots/x.yaml")


def test_a_table_has_its_head_first_and_no_rule() -> None:
    table = prose().chapters[1].blocks[3]
    assert [[plain(cell) for cell in row] for row in table.rows] == [["a", "b"], ["1", "<script>"]]


def test_a_line_is_cut_into_its_pieces() -> None:
    assert [(s.kind, s.text, s.to) for s in spans("a `b` **c** [d](e)")] == [
        ("text", "a ", ""),
        ("code", "b", ""),
        ("text", " ", ""),
        ("bold", "c", ""),
        ("text", " ", ""),
        ("link", "d", "e"),
    ]


def test_a_table_that_nobody_has_is_a_fault() -> None:
    with pytest.raises(ValueError, match="no table"):
        read_prose("# t\n\n@nothing\n")


def test_a_name_for_links_holds_letters_digits_and_hyphens() -> None:
    assert slug("What's <new> in 2026?") == "what-s-new-in-2026"


def test_as_a_page_it_is_well_formed_and_its_text_stays_text() -> None:
    page = drawn("guide.html.j2", guide_page("x", prose()), chapters=prose().chapters)
    walk = Walk(page)
    assert walk.faults == []
    assert walk.tags["script"] == 0
    assert "robot: x\n  # &lt;b&gt;" in page
    assert "<script>" in walk.text


def test_at_a_terminal_it_reads_without_its_marks() -> None:
    said = guide_text(prose())
    assert "- one bold item that goes on" in said
    assert "2. second" in said
    assert "    robot: x" in said
    assert "a link (lineage guide other)" in said
