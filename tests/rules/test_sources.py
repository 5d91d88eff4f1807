"""Every figure says how it is worked out, and by which source."""

import ast
import re

import pytest

from tests.source_trees import PACKAGE, functions, modules, tree_of

SOURCE = re.compile(r"\b[Ss]ources?\b")
CALCULATING = [
    (path, function)
    for room in ("figures", "evidence")
    for path in modules(PACKAGE / room)
    for function in functions(path)
    if not function.name.startswith("_") and re.search(r"(?<!\(k) = \S", ast.get_docstring(function) or "")
]


def test_there_are_formulas_to_look_at():
    assert len(CALCULATING) > 20


@pytest.mark.parametrize(
    ("path", "function"), CALCULATING, ids=[f"{path.stem}.{function.name}" for path, function in CALCULATING]
)
def test_a_formula_names_its_source_or_says_that_it_has_none(path, function):
    told = (ast.get_docstring(function) or "") + (ast.get_docstring(tree_of(path)) or "")
    assert SOURCE.search(told)


@pytest.mark.parametrize("path", modules(PACKAGE / "figures/standards"), ids=lambda path: path.stem)
def test_a_table_of_values_names_its_source(path):
    text = path.read_text(encoding="utf-8")
    assert path.stem == "__init__" or re.search(r"\b(ISO|DIN|ASME|ASTM|EN|[Ss]ource|common practice)\b", text)


def test_every_module_says_what_it_is_about():
    for path in modules():
        text = ast.get_docstring(tree_of(path))
        empty = not path.read_text(encoding="utf-8").strip()
        assert text or empty, path
