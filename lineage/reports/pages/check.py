"""Everything that is wrong with the files of a family, as a page, with pictures of the drawings that are refused."""

from collections.abc import Mapping

from lineage.drawings.sketch import Sketch
from lineage.reports import said
from lineage.reports.charts.sketches import sketch_pictures
from lineage.reports.pages.methods import METHODS
from lineage.reports.pages.records import Line, Page, Section, Verdict, filled, tables
from lineage.reports.pages.tables import Head, Table, table
from lineage.reports.views.check import Check, ProblemView


def check_page(view: Check, family: str, sketches: Mapping[str, Sketch]) -> Page:
    """Errors, then warnings, then where in a drawing they are."""
    errors = [problem for problem in view.problems if problem.level == "error"]
    warnings = [problem for problem in view.problems if problem.level != "error"]
    return Page(
        kind="Check",
        title=family,
        block=(
            Line(name="errors", said=str(len(errors))),
            Line(name="warnings", said=str(len(warnings))),
        ),
        verdict=_verdict(len(errors), len(warnings)),
        answers=(),
        cautions=(),
        sections=filled(
            Section(title="Errors", name="errors", tables=tables(_table("Has to be mended", errors))),
            refused_drawings(sketches),
            Section(title="Warnings", name="warnings", tables=tables(_table("Worth a look", warnings))),
        ),
        methods=METHODS,
    )


def refused_drawings(sketches: Mapping[str, Sketch]) -> Section:
    """Refused drawings, with rings around the places."""
    return Section(title="Where in the drawings", name="drawings", plates=sketch_pictures(sketches))


def _verdict(errors: int, warnings: int) -> Verdict:
    if errors:
        return Verdict(
            tone="bad",
            word="Something is wrong",
            said=f"{said.whole(errors, 'error')}, {said.whole(warnings, 'warning')}",
        )
    if warnings:
        return Verdict(tone="open", word="Nothing is broken", said=said.whole(warnings, "warning"))
    return Verdict(tone="good", word="Nothing wrong", said="every file can be read and holds together")


def _table(caption: str, problems: list[ProblemView]) -> Table | None:
    rows = [[f"{p.file}:{p.line}:{p.column}", p.what, p.wanted, p.mend] for p in problems]
    return table(caption, [Head("where", "ref"), Head("found"), Head("wanted"), Head("to mend it")], rows)
