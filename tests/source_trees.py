"""The code base as data, for the tests that hold it to its own rules."""

import ast
import subprocess
from collections.abc import Iterator
from functools import cache
from pathlib import Path

TOP = Path(__file__).parents[1]
PACKAGE = TOP / "lineage"
PURE_ROOMS = ("values", "figures", "changes", "evidence")
LEFT_OUT = {".venv", ".git", "__pycache__", "dist", "build", "waders", ".hypothesis"}


@cache
def tree_of(path: Path) -> ast.Module:
    """The syntax tree of a file."""
    return ast.parse(path.read_text(encoding="utf-8"), str(path))


def modules(folder: Path = PACKAGE) -> list[Path]:
    """Every module under a folder."""
    return sorted(path for path in folder.rglob("*.py") if not LEFT_OUT & set(path.parts))


def functions(path: Path) -> Iterator[ast.FunctionDef]:
    """The functions at the top of a module."""
    return (node for node in tree_of(path).body if isinstance(node, ast.FunctionDef))


def texts(path: Path) -> set[str]:
    """Every text that stands in a module as a constant."""
    nodes = ast.walk(tree_of(path))
    return {node.value for node in nodes if isinstance(node, ast.Constant) and isinstance(node.value, str)}


@cache
def committed() -> tuple[Path, ...]:
    """The files that belong to the project: as git lists them, or all of an unpacked copy."""
    listed = subprocess.run(
        ["git", "-C", str(TOP), "ls-files", "-z", "--cached", "--", "."], capture_output=True, check=False
    )
    if listed.returncode == 0 and listed.stdout:
        found = [TOP / name for name in listed.stdout.decode().split("\0") if name]
        return tuple(path for path in found if path.is_file())
    return tuple(
        path
        for path in sorted(TOP.rglob("*"))
        if path.is_file() and not LEFT_OUT & set(path.relative_to(TOP).parts) and path.suffix != ".pyc"
    )
