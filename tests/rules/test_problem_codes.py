"""Every code of a problem is explained in one place, used, and provoked by a test."""

import ast
import re

from lineage.archive.codes import ARCHIVE_CODES
from lineage.drawings.faults import WANTED
from lineage.spec.codes import PROBLEM_CODES
from lineage.tasks.codes import TASK_CODES
from tests.source_trees import PACKAGE, TOP, modules, texts, tree_of

TABLES = [set(PROBLEM_CODES), set(ARCHIVE_CODES), set(WANTED), set(TASK_CODES)]
EXPLAINED = set().union(*TABLES)
WHERE = {PACKAGE / name for name in ("archive/codes.py", "spec/codes.py", "tasks/codes.py")}


TELLING = [path for room in ("spec", "archive", "drawings", "tasks") for path in modules(PACKAGE / room)]


def takes_code():
    """Functions with a parameter `code`: name → where it stands."""
    found = {}
    for path in TELLING:
        for node in ast.walk(tree_of(path)):
            if isinstance(node, ast.FunctionDef):
                names = [argument.arg for argument in node.args.args if argument.arg not in {"self", "cls"}]
                if "code" in names:
                    found[node.name] = names.index("code")
    return found


def used():
    """Codes that are given as constants, with the module."""
    places = takes_code()
    for path in TELLING:
        for node in ast.walk(tree_of(path)):
            if not isinstance(node, ast.Call):
                continue
            given = [keyword.value for keyword in node.keywords if keyword.arg == "code"]
            name = getattr(node.func, "id", getattr(node.func, "attr", ""))
            if name in places and len(node.args) > places[name]:
                given.append(node.args[places[name]])
            for value in given:
                if isinstance(value, ast.Constant) and isinstance(value.value, str):
                    yield value.value, path


def test_no_code_is_explained_twice():
    assert sum(map(len, TABLES)) == len(EXPLAINED)


def test_every_code_that_is_given_is_explained():
    given = {code: path.name for code, path in used() if re.fullmatch(r"[a-z]+(?:[.-][a-z]+)*", code)}
    assert len(given) > 20
    assert {code: name for code, name in given.items() if code not in EXPLAINED} == {}


def test_every_code_that_is_explained_is_given():
    said = set().union(*(texts(path) for path in modules() if path not in WHERE))
    assert sorted(code for code in EXPLAINED - set(WANTED) if code not in said) == []


TESTED = set().union(
    *(texts(path) for path in modules(TOP / "tests") if "rules" not in path.parts and path.suffix == ".py")
)


def test_every_code_is_provoked_by_a_test():
    whole = "\n".join(TESTED)
    assert sorted(code for code in EXPLAINED if code not in TESTED and f"[{code}]" not in whole) == []
