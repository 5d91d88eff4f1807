"""Laws of changes: they make the second state out of the first, and their shares add up, whatever was edited."""

from collections import Counter
from math import isclose
from typing import Any

import pytest
from deepdiff import DeepDiff
from hypothesis import given, settings
from hypothesis import strategies as st
from msgspec import to_builtins
from msgspec.structs import replace

from lineage.changes.apply import apply
from lineage.changes.diff import Difference, differences
from lineage.changes.gaps import Term, gap_shares
from lineage.changes.ops import Absent
from lineage.changes.pairing import own_things, pair_builds, pair_siblings
from lineage.changes.shares import MassSplit, split_mass
from lineage.changes.snapshot import snapshot
from lineage.figures.fits import work_out_fits
from lineage.figures.service import ways_in
from lineage.figures.service_times import Timing
from lineage.figures.weight import Weight, weigh
from lineage.spec.assembly import Assembly, Spec, assemble
from lineage.tasks.differing import thing_masses
from tests.properties.strategies import MEASURES, Bench, Plain, benches, read, robots

laws = settings(max_examples=25, deadline=None)
few = settings(max_examples=12, deadline=None)


def found(before: Spec, after: Spec, renames: dict[str, str] | None = None) -> Difference:
    return differences(before, after, pair_builds(before, after, renames or {}))


def assembled(bench: Bench, spec: Spec) -> tuple[Assembly, Weight]:
    assembly = assemble(spec, bench.lookup)
    return assembly, weigh(assembly, MEASURES)


def split(bench: Bench, before: Spec, after: Spec, difference: Difference) -> MassSplit:
    names = difference.pairing.names_before
    old, new = (thing_masses(*assembled(bench, spec), MEASURES) for spec in (before, after))
    return split_mass({names.get(ref, ref): mass for ref, mass in old.items()}, new, difference.changes)


@laws
@given(benches(), st.randoms(use_true_random=False))
def test_changes_in_any_order_make_the_second_state_of_the_first(bench, chance):
    difference = found(*bench.specs)
    changes = list(difference.changes)
    chance.shuffle(changes)
    assert apply(changes, difference.before) == difference.after == snapshot(bench.specs[1])


@laws
@given(benches(states=1))
def test_a_build_against_itself_is_empty(bench):
    assert found(bench.specs[0], bench.specs[0]).changes == ()


@laws
@given(benches())
def test_ids_are_unique_and_every_differing_leaf_has_one_change(bench):
    difference = found(*bench.specs)
    ids = [change.id for change in difference.changes]
    assert len(ids) == len(set(ids))
    leaves = [edit.leaf for change in difference.changes for edit in change.edits]
    old, new = difference.before, difference.after
    assert sorted(leaves) == sorted(leaf for leaf in {*old, *new} if old.get(leaf, ids) != new.get(leaf, ids))


def as_plain(spec: Spec) -> dict[str, Any]:
    """A spec without the places of its keys, as dicts and lists alone."""
    records = {"design": spec.design, "family": spec.family}
    return to_builtins({name: replace(record, places={}) for name, record in records.items()}, str_keys=True)


@few
@given(benches())
def test_what_an_independent_library_finds_differing_is_told_by_some_change(bench):
    before, after = bench.specs
    theirs = DeepDiff(as_plain(before), as_plain(after), view="tree", threshold_to_diff_deeper=0)
    paths = [item.path(output_format="list") for items in theirs.values() for item in items]
    difference = found(before, after)
    edits = [(edit.leaf, change.id) for change in difference.changes for edit in change.edits]
    assert bool(edits) == bool(paths)
    for path in paths:
        start = leaf_of(path)
        assert {id_ for leaf, id_ in edits if leaf[: len(start)] == start}, path


@few
@given(benches())
def test_every_leaf_that_an_independent_library_finds_differing_is_claimed_by_exactly_one_change(bench):
    difference = found(*bench.specs)
    old, new = (
        {"/".join(leaf): to_builtins(value, str_keys=True) for leaf, value in side.items()}
        for side in (difference.before, difference.after)
    )
    theirs = DeepDiff(old, new, threshold_to_diff_deeper=0)
    claims = Counter("/".join(edit.leaf) for change in difference.changes for edit in change.edits)
    assert claims == Counter(dict.fromkeys(theirs.affected_root_keys, 1))


def leaf_of(path: list[Any]) -> tuple[str, ...]:
    """The start of the leaf that tells of a path into the records."""
    file, group, *rest = path
    if group == "options" and len(rest) > 2 and rest[2] in {"parts", "fasteners", "modules"}:
        _, _, group, *rest = rest
    if file == "family":
        return ("family",) if group == "classes" else ("parts",)
    if group == "extra":
        return ("design", *rest[:1])
    if group in {"parts", "fasteners", "modules", "fits", "options"}:
        inside = rest[1:] if rest[1:2] != ["extra"] else rest[2:]
        return (group, *rest[:1], *inside[:1])
    if group in {"fitted", "settings", "access", "stock"}:
        return (group, *rest[:1])
    return (group,) if group == "files" else ("design", group.rstrip("_"))


@laws
@given(benches())
def test_pairing_is_the_same_from_either_side(bench):
    before, after = bench.specs
    for pair in (lambda a, b: pair_builds(a, b, {}), pair_siblings):
        there, back = pair(before, after), pair(after, before)
        assert {(p.before, p.after, p.by) for p in there.pairs} == {
            (p.after, p.before, p.by) for p in back.pairs
        }
        assert set(there.only_before) == set(back.only_after)


@laws
@given(benches())
def test_nothing_is_paired_twice_or_forgotten(bench):
    before, after = bench.specs
    pairing = pair_siblings(before, after)
    old = [*(p.before for p in pairing.pairs), *pairing.only_before]
    new = [*(p.after for p in pairing.pairs), *pairing.only_after]
    assert sorted(old) == sorted(own_things(before.design))
    assert sorted(new) == sorted(own_things(after.design))


@laws
@given(benches())
def test_mass_shares_add_up_to_the_change_of_predicted(bench):
    before, after = bench.specs
    difference = found(before, after)
    masses = split(bench, before, after, difference)
    known = [share.mass_g for share in masses.shares.values() if share.mass_g is not None]
    assert isclose(sum(known), masses.after_g - masses.before_g, rel_tol=0, abs_tol=1e-9)
    assert masses.unedited == ()
    if not masses.missing:
        weights = [assembled(bench, spec)[1].predicted for spec in (before, after)]
        assert isclose(weights[1].value - weights[0].value, sum(known), rel_tol=0, abs_tol=1e-9)
    for share in masses.shares.values():
        if share.factors_g is not None:
            assert isclose(sum(share.factors_g.values()), share.mass_g, rel_tol=0, abs_tol=1e-9)


@laws
@given(benches())
def test_swapping_the_sides_negates_every_total(bench):
    before, after = bench.specs
    there = split(bench, before, after, found(before, after))
    back = split(bench, after, before, found(after, before))
    assert there.before_g == pytest.approx(back.after_g, abs=1e-9)
    assert there.after_g == pytest.approx(back.before_g, abs=1e-9)
    assert sum(s.mass_g or 0 for s in there.shares.values()) == pytest.approx(
        -sum(s.mass_g or 0 for s in back.shares.values()), abs=1e-9
    )


@few
@given(benches(states=3))
def test_two_steps_come_to_what_one_step_over_both_comes_to(bench):
    first, middle, last = bench.specs
    one, two, over = found(first, middle), found(middle, last), found(first, last)
    totals = [
        split(bench, *pair) for pair in ((first, middle, one), (middle, last, two), (first, last, over))
    ]
    if not any(total.missing for total in totals):
        change = [sum(share.mass_g for share in total.shares.values()) for total in totals]
        assert change[0] + change[1] == pytest.approx(change[2], abs=1e-9)
    gap = [gaps(bench, spec) for spec in bench.specs]
    for name in gap[0].keys() & gap[1].keys() & gap[2].keys():
        steps = ((0, 1, one), (1, 2, two), (0, 2, over))
        moved = [
            sum(
                gap_shares(name, gap[a][name][1], gap[b][name][1], d.changes, d.pairing.names_before).values()
            )
            for a, b, d in steps
        ]
        assert moved[0] + moved[1] == pytest.approx(moved[2], abs=1e-9)
    if not any(d.pairing.names_before for d in (one, two, over)):
        assert apply(two.changes, apply(one.changes, one.before)) == apply(over.changes, over.before)


@few
@given(benches())
def test_gap_shares_add_up_and_each_belongs_to_a_change(bench):
    before, after = bench.specs
    difference = found(before, after)
    old, new = (gaps(bench, spec) for spec in (before, after))
    for name in old.keys() & new.keys():
        shares = gap_shares(
            name, old[name][1], new[name][1], difference.changes, difference.pairing.names_before
        )
        assert sum(shares.values()) == pytest.approx(new[name][0] - old[name][0], abs=1e-9)
        assert shares.keys() <= {change.id for change in difference.changes}


def gaps(bench: Bench, spec: Spec) -> dict[str, tuple[float, list[Term]]]:
    fits = work_out_fits(assemble(spec, bench.lookup), lambda other: assemble(spec, bench.lookup, other))
    return {
        name: (fit.nominal_mm, [Term(term.ref, term.coefficient, term.nominal_mm) for term in fit.terms])
        for name, fit in fits.items()
        if fit.nominal_mm is not None
    }


def renamed(plain: Plain, names: dict[str, str]) -> Plain:
    """The same design with other names for its parts, wherever they stand."""

    def new(ref: str) -> str:
        head, dot, rest = ref.partition(".")
        return names.get(head, head) + dot + rest

    def term(text: str) -> str:
        sign = text[: len(text) - len(text.lstrip("-2* "))]
        return sign + new(text[len(sign) :])

    after = {**plain, "parts": {new(name): part for name, part in plain["parts"].items()}}
    if "fasteners" in plain:
        after["fasteners"] = {name: {**g, "holds": new(g["holds"])} for name, g in plain["fasteners"].items()}
    if "fits" in plain:
        fit = plain["fits"]["clear"]
        after["fits"] = {
            "clear": {**fit, "chain": [term(t) if "." in t and " mm" not in t else t for t in fit["chain"]]}
        }
    if "access" in plain:
        after["access"] = {
            new(ref): [{**way, "behind": [new(b) for b in way["behind"]]} for way in ways]
            for ref, ways in plain["access"].items()
        }
    return after


@few
@given(robots(("pod@A",)), benches(states=1))
def test_recorded_renames_alone_are_renames_and_cost_nothing(plain, bench):
    plain = {key: value for key, value in plain.items() if key != "modules"}
    names = {name: f"new-{name}" for name in plain["parts"]}
    before, after = read(plain, "A"), read(renamed(plain, names), "B")
    difference = found(before, after, names)
    assert {change.id for change in difference.changes} == {f"part renamed:{name}" for name in names.values()}
    masses = split(bench, before, after, difference)
    assert masses.before_g == pytest.approx(masses.after_g, abs=1e-12)
    assert all(not share.mass_g for share in masses.shares.values())
    old, new = gaps(bench, before), gaps(bench, after)
    assert {name: gap for name, (gap, _) in old.items()} == {name: gap for name, (gap, _) in new.items()}
    ways = [ways_in(assemble(spec, bench.lookup), spec.family.times, Timing()) for spec in (before, after)]
    taken = [
        {
            ref: (way.screws, None if way.seconds is None else round(way.seconds.value, 9))
            for ref, way in found.items()
        }
        for found in ways
    ]
    assert {names.get(ref, ref): cost for ref, cost in taken[0].items()} == taken[1]


def test_a_change_is_not_made_to_a_state_that_it_does_not_fit():
    plain: Plain = {"robot": "wren", "parts": {"lid": {"mass": "20 g"}}}
    before, after = read(plain), read({"robot": "wren", "parts": {"lid": {"mass": "21 g"}}})
    difference = found(before, after)
    with pytest.raises(ValueError, match="mass:lid expects"):
        apply(difference.changes, difference.after)
    assert not any(isinstance(value, Absent) for value in difference.before.values())
