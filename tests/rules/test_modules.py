"""Names of modules, and the lists of rooms and figures that are kept by hand."""

import ast
import sys
import tomllib

from lineage.cli.main import COMMANDS
from tests.source_trees import PACKAGE, TOP, modules, texts, tree_of

PROJECT = tomllib.loads((TOP / "pyproject.toml").read_text())
CONTRACTS = PROJECT["tool"]["importlinter"]["contracts"]
DRAWERS = {"utils", "util", "helpers", "helper", "common", "misc", "tools", "stuff", "base", "core", "lib"}
FIGURES = {path.stem: path for path in (PACKAGE / "figures").glob("*.py") if path.stem != "__init__"}


def test_no_module_is_a_drawer_for_odds_and_ends():
    names = [path.stem for path in (*modules(), *modules(TOP / "tests"))]
    assert not DRAWERS & set(names)


def test_no_module_has_the_name_of_one_of_the_standard_library():
    words = {*COMMANDS, "__init__", "__main__"}  # what a command is called, its modules are called too
    assert not {path.stem for path in modules()} & set(sys.stdlib_module_names) - words


def test_every_room_stands_in_the_order_of_rooms():
    (layers,) = [contract["layers"] for contract in CONTRACTS if contract["type"] == "layers"]
    ordered = {name.strip() for layer in layers for name in layer.split("|")}
    rooms = {path.stem for path in PACKAGE.iterdir() if path.is_dir() and (path / "__init__.py").exists()}
    single = {path.stem for path in PACKAGE.glob("*.py")} - {"__init__", "__main__"}
    assert ordered == rooms | single


def figures_imported_by(name):
    """The figures that a figure imports, directly or through others."""
    found, open_ = set(), [name]
    while open_:
        for node in ast.walk(tree_of(FIGURES[open_.pop()])):
            if isinstance(node, ast.ImportFrom) and (node.module or "").startswith("lineage.figures."):
                other = node.module.split(".")[2]
                if other in FIGURES and other not in found:
                    found.add(other)
                    open_.append(other)
    return found


def test_every_figure_that_leans_on_no_other_is_held_to_it():
    (listed,) = [set(contract["modules"]) for contract in CONTRACTS if contract["type"] == "independence"]
    names = {name.removeprefix("lineage.figures.") for name in listed}
    assert names <= set(FIGURES)
    leaned_on = {other for name in FIGURES for other in figures_imported_by(name)}
    alone = {name for name in FIGURES if name not in leaned_on and not figures_imported_by(name) & names}
    assert alone <= names, "add them to the contract `Figures do not lean on each other`"


def test_each_door_is_where_it_is_said_to_be():
    protected = {
        outside: contract["allowed_importers"]
        for contract in CONTRACTS
        if contract["type"] == "protected"
        for outside in contract["protected_modules"]
    }
    assert set(protected) == {"git", "subprocess", "ezdxf", "shapely", "jinja2", "yaml", "deepdiff"}
    for importers in protected.values():
        for name in importers:
            assert (TOP / (name.replace(".", "/") + ".py")).is_file(), name


HEAVY = {"git", "ezdxf", "shapely", "jinja2", "deepdiff"}


def imported_at_top(path):
    """Names of the packages that a module imports when it is loaded."""
    for node in tree_of(path).body:
        if isinstance(node, ast.Import):
            yield from (alias.name.partition(".")[0] for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            yield (node.module or "").partition(".")[0]


def test_heavy_libraries_are_loaded_inside_the_function_that_needs_them():
    assert {
        path.name: HEAVY & set(imported_at_top(path))
        for path in modules()
        if HEAVY & set(imported_at_top(path))
    } == {}


def test_what_the_wheel_carries_is_there():
    carried = PROJECT["tool"]["hatch"]["build"]["targets"]["wheel"]["force-include"]
    assert set(carried) == {"templates", "sample-family"}
    for folder, inside in carried.items():
        assert (TOP / folder).is_dir()
        assert inside.removeprefix("lineage/") in texts(PACKAGE / "reports/assets.py")


def test_oracles_of_the_tests_are_no_dependencies_of_the_program():
    needed = {line.split(">")[0] for line in PROJECT["project"]["dependencies"]}
    assert not needed & {"scipy", "numpy", "uncertainties", "hypothesis", "jsonschema", "pytest"}
