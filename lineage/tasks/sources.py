"""The source line beside a problem that was found in records."""

from collections.abc import Iterable

from lineage.archive.tree import Tree
from lineage.problems import BadInput, Problem


def with_sources(tree: Tree, problems: Iterable[Problem]) -> tuple[Problem, ...]:
    """Problems with the lines of their files, each file read once; what cannot be read goes without."""
    from lineage.spec.document import with_source  # noqa: PLC0415 - only where something is wrong

    texts: dict[str, str] = {}
    shown = []
    for problem in problems:
        file = problem.place.file
        if not problem.source and file.endswith(".yaml"):
            if file not in texts:
                texts[file] = _text(tree, file)
            shown.append(with_source(problem, texts[file]) if texts[file] else problem)
        else:
            shown.append(problem)
    return tuple(shown)


def _text(tree: Tree, file: str) -> str:
    try:
        return (tree.read(file) or b"").decode("utf-8", errors="replace")
    except BadInput:
        return ""
