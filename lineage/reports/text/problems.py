"""A problem as people read it: clickable place, what was found, what is wanted, how to mend it, a caret."""

from lineage.problems import Problem
from lineage.reports.text.layout import safe, shown_width


def problem_text(problem: Problem) -> str:
    """`FILE:LINE:COLUMN: what; wanted; mend`, then the line itself with a caret."""
    place = problem.place
    said = "; ".join(safe(text) for text in (problem.what, problem.wanted, problem.mend) if text)
    mark = "warning: " if problem.level == "warning" else ""
    lines = [f"{safe(place.file)}:{place.line}:{place.column}: {mark}{said} [{problem.code}]"]
    if problem.source.strip():
        source = safe(problem.source.replace("\t", " "))
        caret = shown_width(source[: max(0, (problem.caret or place.column) - 1)])
        length = max(1, (place.end or place.column + 1) - place.column)
        lines += [f"    {source}", f"    {' ' * caret}{'^' * min(length, max(1, len(source) - caret))}"]
    return "\n".join(lines)
