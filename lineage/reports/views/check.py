"""What `check` answers."""

from collections.abc import Sequence

from msgspec import Struct

from lineage.problems import Problem


class ProblemView(Struct, frozen=True, kw_only=True):
    """One problem with its place."""

    file: str
    line: int
    column: int
    code: str
    what: str
    wanted: str
    mend: str
    level: str


class Check(Struct, frozen=True, kw_only=True):
    """All problems."""

    format: int = 1
    problems: tuple[ProblemView, ...]


def check_view(problems: Sequence[Problem]) -> Check:
    """Problems as an answer."""
    return Check(
        problems=tuple(
            ProblemView(
                file=p.place.file,
                line=p.place.line,
                column=p.place.column,
                code=p.code,
                what=p.what,
                wanted=p.wanted,
                mend=p.mend,
                level=p.level,
            )
            for p in problems
        )
    )
