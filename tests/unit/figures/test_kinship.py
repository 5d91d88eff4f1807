"""Which modules designs share, in which builds, and who lags."""

from lineage.figures.kinship import shared_modules
from lineage.spec.assembly import assemble
from lineage.spec.records import BuildRef
from tests.in_memory import spec_of

LABELS = {"pod": ("A", "B", "C"), "hub": ("A", "B")}
MODULES = {
    BuildRef("pod", label): spec_of(
        f"module: pod\nparts: {{motor: {{mass: 9 g}}}}\nmodules: {{hub: hub@{hub}}}\n", label
    )
    for label, hub in (("A", "A"), ("B", "A"), ("C", "B"), ("now", "B"))
} | {BuildRef("hub", label): spec_of("module: hub\nparts: {nut: {mass: 1 g}}\n", label) for label in "AB"}


def shared(*uses: str):
    specs = [
        spec_of(f"robot: r{n}\nparts: {{lid: {{mass: 1 g}}}}\nmodules: {{{places}}}\n")
        for n, places in enumerate(uses)
    ]
    found = shared_modules([assemble(spec, MODULES.__getitem__) for spec in specs], LABELS.__getitem__)
    return {module.name: module for module in found}


def test_a_module_inside_a_module_is_shared_too_each_once():
    found = shared("left: pod@A, right: pod@A", "drive: pod@C")
    assert list(found) == ["pod", "hub"]
    assert found["pod"].labels == ("A", "C")
    assert found["hub"].labels == ("A", "B")


def test_a_design_lags_by_the_builds_after_its_own():
    found = shared("left: pod@A", "left: pod@B", "left: pod@C")["pod"]
    assert (found.behind, found.lags) == ((2, 1, 0), (0, 1))


def test_nobody_lags_behind_a_build_that_none_of_them_has():
    found = shared("left: pod@B", "left: pod@B")["pod"]
    assert (found.behind, found.lags) == ((1, 1), ())


def test_of_two_builds_in_one_design_the_newest_counts_and_working_files_are_newest():
    assert shared("left: pod@A, right: pod@C", "left: pod@B")["pod"].labels == ("C", "B")
    found = shared("left: pod@A, right: pod@now", "left: pod@C")["pod"]
    assert (found.labels, found.lags) == (("now", "C"), ())


def test_what_one_design_alone_has_is_not_shared():
    found = shared("left: pod@A", "left: hub@A")
    assert list(found) == ["hub"]
    assert shared("left: pod@A") == {}
