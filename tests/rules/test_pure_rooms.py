"""The calculation rooms do nothing but calculate, also where no import would show it."""

import ast

import pytest

from tests.source_trees import PACKAGE, PURE_ROOMS, modules, tree_of

BUILT_IN = {"open", "print", "input", "exec", "eval", "compile", "breakpoint", "exit", "quit", "__import__"}
OF_A_CLOCK = {"now", "today", "utcnow", "fromtimestamp", "perf_counter", "monotonic"}
CHANGING = {"append", "add", "update", "setdefault", "pop", "clear", "extend"}
OF_FILES = {"read_text", "write_text", "read_bytes", "write_bytes", "unlink", "mkdir"}
PURE = [path for room in PURE_ROOMS for path in modules(PACKAGE / room)]


def impure(tree):
    """Calls of a module that do input or output, or ask a clock."""
    for node in ast.walk(tree):
        if not isinstance(node, ast.Call):
            continue
        if isinstance(node.func, ast.Name) and node.func.id in BUILT_IN:
            yield f"{node.func.id}() in line {node.lineno}"
        if isinstance(node.func, ast.Attribute) and node.func.attr in OF_A_CLOCK | OF_FILES:
            yield f".{node.func.attr}() in line {node.lineno}"


def kept_between_calls(tree):
    """Names at the top of a module that its functions put something into."""
    at_top = {
        target.id
        for node in tree.body
        if isinstance(node, ast.Assign | ast.AnnAssign)
        for target in (node.targets if isinstance(node, ast.Assign) else [node.target])
        if isinstance(target, ast.Name)
    }
    for node in ast.walk(tree):
        if isinstance(node, ast.Global):
            yield f"global in line {node.lineno}"
        if (
            isinstance(node, ast.Call)
            and isinstance(node.func, ast.Attribute)
            and node.func.attr in CHANGING
            and isinstance(node.func.value, ast.Name)
            and node.func.value.id in at_top
        ):
            yield f"{node.func.value.id}.{node.func.attr}() in line {node.lineno}"


def in_pure_rooms(faults_of):
    """What a rule finds in the modules of the pure rooms."""
    assert len(PURE) > 40
    found = {str(path.relative_to(PACKAGE)): list(faults_of(tree_of(path))) for path in PURE}
    return {path: faults for path, faults in found.items() if faults}


def test_a_calculation_asks_no_file_no_person_and_no_clock():
    assert in_pure_rooms(impure) == {}


def test_a_calculation_keeps_nothing_between_calls():
    assert in_pure_rooms(kept_between_calls) == {}


@pytest.mark.parametrize("line", ["open('x')", "print(1)", "input()", "datetime.now()", "date.today()"])
def test_what_no_import_shows_would_be_found(line):
    assert list(impure(ast.parse(f"def f():\n    return {line}")))
