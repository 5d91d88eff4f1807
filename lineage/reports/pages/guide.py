"""The guide as pages."""

from collections.abc import Mapping

from lineage.reports.pages.records import Line, Page, Section, Verdict
from lineage.reports.prose import Block, Chapter, Prose, plain


def guide_page(topic: str, prose: Prose) -> Page:
    """One topic; its chapters are set from the text itself, see chapters."""
    return Page(
        kind="Guide",
        title=prose.title,
        block=(),
        verdict=Verdict(tone="open", word="", said=""),
        answers=(),
        cautions=(),
        sections=tuple(
            Section(title=chapter.title, name=chapter.name, notes=tuple(map(_said, chapter.blocks)))
            for chapter in prose.chapters
            if chapter.title
        ),
        methods={"topic": topic},
    )


def guide_index_page(topics: Mapping[str, str], about: Mapping[str, str]) -> Page:
    """All topics."""
    return Page(
        kind="Guide",
        title="Guide",
        block=(),
        verdict=Verdict(tone="open", word="", said=""),
        answers=(),
        cautions=(),
        sections=(
            Section(
                title="Topics",
                name="topics",
                lines=tuple(
                    Line(name=title, said=about[topic], to=f"guide {topic}")
                    for topic, title in topics.items()
                ),
            ),
        ),
        methods={},
    )


def _said(block: Block) -> str:
    lines = [plain(line) for line in block.lines] + [plain(cell) for row in block.rows for cell in row]
    return " ".join([*lines, block.text])


__all__ = ["Chapter", "guide_index_page", "guide_page"]
