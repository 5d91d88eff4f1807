"""The guide: its topics, read from their sources, with the tables that the program has itself."""

from collections.abc import Mapping, Sequence
from functools import cache
from typing import Any, Final

from lineage.problems import AskedWrongly, nearest
from lineage.reports.assets import asset_text
from lineage.reports.pages.records import Page
from lineage.reports.prose import Prose, read_prose

ABOUT: Final[Mapping[str, str]] = {
    "first-family": "ten minutes from an empty folder to a recorded build",
    "recording": "when to record a build, and what for",
    "event": "logging a weighing, a bout, a snag; correcting a line",
    "comparison": "what the words of a comparison mean, and what they do not",
    "figures": "how each figure is worked out, with its source",
    "honesty": "how often a change that does nothing looks as if it did",
    "cautions": "before any work on a robot",
    "codes": "what each code of a problem means",
}
"""Topic → what it is about, in the order in which they are read."""

Made = tuple[str, Page, Mapping[str, Any]]


@cache
def topic(name: str) -> Prose:
    """One topic. Raises AskedWrongly with those there are."""
    if name not in ABOUT:
        near = nearest(name, ABOUT)
        mend = f"did you mean: lineage guide {near}" if near else ""
        raise AskedWrongly(f"the guide has no topic {name!r}", f"one of: {', '.join(ABOUT)}", mend)
    return read_prose(asset_text("templates", f"guide/{name}.md"), _tables() if name in _WITH_TABLES else {})


_WITH_TABLES = frozenset({"codes", "figures", "cautions"})


def topics() -> dict[str, str]:
    """Topic → title."""
    return {name: topic(name).title for name in ABOUT}


def guide_page(name: str) -> Made:
    """One topic as a page."""
    from lineage.reports.pages.guide import guide_page as page  # noqa: PLC0415 - only where a page is made

    prose = topic(name)
    return "guide.html.j2", page(name, prose), {"chapters": prose.chapters}


def guide_index() -> Made:
    """All topics as a page."""
    from lineage.reports.pages.guide import guide_index_page  # noqa: PLC0415

    return "guide.html.j2", guide_index_page(topics(), ABOUT), {"chapters": ()}


def _tables() -> dict[str, Sequence[tuple[str, ...]]]:
    from lineage.archive.codes import ARCHIVE_CODES  # noqa: PLC0415 - only for these topics
    from lineage.drawings.faults import WANTED  # noqa: PLC0415
    from lineage.reports.pages.methods import METHODS  # noqa: PLC0415
    from lineage.reports.views import cautions  # noqa: PLC0415
    from lineage.spec.codes import PROBLEM_CODES  # noqa: PLC0415
    from lineage.tasks.codes import TASK_CODES  # noqa: PLC0415

    def codes(known: Mapping[str, str]) -> list[tuple[str, ...]]:
        return [("code", "means"), *((f"`{code}`", said) for code, said in known.items())]

    return {
        "spec-codes": codes(PROBLEM_CODES),
        "archive-codes": codes(ARCHIVE_CODES),
        "task-codes": codes(TASK_CODES),
        "drawing-codes": [
            ("code", "wanted", "mend"),
            *((f"`{code}`", *texts) for code, texts in WANTED.items()),
        ],
        "methods": [("figure", "how"), *((name.replace("-", " "), said) for name, said in METHODS.items())],
        "cautions": [("caution",), *((text,) for text in cautions.ALL)],
    }
