"""A test that asserts nothing holds nothing."""

import ast

from tests.source_trees import TOP, modules, tree_of

FILES = [path for path in modules(TOP / "tests") if path.stem.startswith("test_")]
REFUSALS = {"raises", "warns", "fail", "deprecated_call"}


def called(node):
    """Names that are called inside a node, by their last part."""
    for inner in ast.walk(node):
        if isinstance(inner, ast.Call):
            if isinstance(inner.func, ast.Name):
                yield inner.func.id
            elif isinstance(inner.func, ast.Attribute):
                yield inner.func.attr


def asserting(trees, sure=frozenset()):
    """Names of functions that assert, themselves or by what they call; of some it is known."""
    found = {
        node.name: node for tree in trees for node in ast.walk(tree) if isinstance(node, ast.FunctionDef)
    }
    calls = {name: set(called(node)) for name, node in found.items()}
    sure = {*sure, *(name for name, node in found.items() if asserts(node))}
    while more := {name for name in found if name not in sure and sure & calls[name]}:
        sure |= more
    return sure


def asserts(node):
    return any(isinstance(inner, ast.Assert) for inner in ast.walk(node)) or bool(
        REFUSALS & set(called(node))
    )


def idle(tree, shared=frozenset()):
    """Tests of a module that assert nothing."""
    sure = asserting([tree], shared)
    tests = [n for n in ast.walk(tree) if isinstance(n, ast.FunctionDef) and n.name.startswith("test_")]
    return [test.name for test in tests if not asserts(test) and not sure & set(called(test))]


def test_every_test_asserts_something():
    assert len(FILES) > 50
    shared = asserting([tree_of(path) for path in (TOP / "tests").glob("*.py")])
    assert {path.name: found for path in FILES if (found := idle(tree_of(path), shared))} == {}


def test_a_test_without_an_assertion_would_be_found():
    assert idle(ast.parse("def test_nothing():\n    len([])\n")) == ["test_nothing"]


def test_no_test_is_defined_twice_under_one_name():
    for path in FILES:
        tests = [node.name for node in tree_of(path).body if isinstance(node, ast.FunctionDef)]
        assert len(tests) == len(set(tests)), path


def test_no_test_imports_another():
    for path in modules(TOP / "tests"):
        for node in ast.walk(tree_of(path)):
            if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("tests."):
                last = (node.module or "").rpartition(".")[2]
                assert not last.startswith("test_"), path


def test_tests_of_a_module_stand_where_the_module_does():
    """tests/unit mirrors the package, room by room."""
    rooms = {path.name for path in (TOP / "lineage").iterdir() if path.is_dir()}
    for path in (TOP / "tests/unit").rglob("test_*.py"):
        room = path.relative_to(TOP / "tests/unit").parts[0]
        assert room in rooms or room.startswith("test_"), path
