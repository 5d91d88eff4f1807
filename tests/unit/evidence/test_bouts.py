"""The robot-bout as the unit: counted at most once, cosmetic and found damage listed, unmatched damage kept."""

from datetime import date

from lineage.evidence.bouts import Failure, RobotBout, failed, is_at, same_mode, tallied, unmatched_bouts


def failure(
    at: str, mode: str = "broke", *, severity: str = "weakened", known: bool = True, **keys
) -> Failure:
    return Failure(at=at, things=(at,) if known else (), mode=mode, severity=severity, **keys)


def bout(*failures: Failure, label: str | None = "A", **keys) -> RobotBout:
    plain = {
        "robot": "wren",
        "event": "e",
        "day": date(2025, 3, 1),
        "bout": "1",
        "is_certain": True,
        "was_fought": True,
    }
    return RobotBout(**{**plain, "outcome": "won", "ran_s": 60.0, **keys}, label=label, failures=failures)


def test_modes_compare_without_case_and_with_single_spaces():
    assert same_mode("  Teeth   Stripped ") == same_mode("teeth stripped")


def test_a_failure_lies_at_a_thing_and_at_every_place_around_it_but_not_at_a_longer_name():
    gear = failure("left.gearbox")
    assert is_at(gear, ["left"])
    assert is_at(gear, ["left.gearbox"])
    assert not is_at(gear, ["lef", "left.gear", "right"])


def test_exposure_wants_a_fought_bout_in_a_build_that_is_certain():
    assert bout().is_exposure
    assert not bout(was_fought=False).is_exposure
    assert not bout(is_certain=False).is_exposure
    assert not bout(label=None).is_exposure


def test_cosmetic_and_found_damage_is_no_failure():
    assert failed(bout(failure("lid")), lambda _: True)
    assert not failed(
        bout(failure("lid", severity="cosmetic"), failure("lid", was_found=True)), lambda _: True
    )
    assert not failed(bout(failure("lid")), lambda f: f.at == "arm")


def test_two_failures_of_one_kind_in_a_bout_count_once():
    (tally,) = tallied([bout(failure("lid", "Bent"), failure("lid", "bent ", severity="disabling")), bout()])
    assert (tally.failures, tally.listed, tally.severity, tally.mode) == (1, 1, "disabling", "Bent")


def test_what_is_only_listed_counts_no_failure_and_stands_last():
    tallies = tallied(
        [bout(failure("a", severity="cosmetic")), bout(failure("b")), bout(failure("a", severity="cosmetic"))]
    )
    assert [(t.at, t.failures, t.listed) for t in tallies] == [("b", 1, 1), ("a", 0, 2)]


def test_found_damage_has_a_list_of_its_own():
    bouts = [bout(failure("a", was_found=True), failure("b"))]
    assert [t.at for t in tallied(bouts)] == ["b"]
    assert [t.at for t in tallied(bouts, found=True)] == ["a"]


def test_unmatched_damage_stands_in_the_list_and_is_counted_by_bouts():
    bouts = [
        bout(failure("weel", known=False), failure("frnt", known=False)),
        bout(failure("weel", severity="cosmetic", known=False)),
    ]
    assert {(t.at, t.is_known) for t in tallied(bouts)} == {("weel", False), ("frnt", False)}
    assert unmatched_bouts(bouts) == 1


def test_seconds_lost_are_the_sum_of_those_typed_and_null_without_any():
    bouts = [
        bout(failure("a", took_s=60.0, cost_bout=True)),
        bout(failure("a"), failure("b")),
        bout(failure("a", took_s=30.0)),
    ]
    by_place = {t.at: t for t in tallied(bouts)}
    assert (by_place["a"].cost_s, by_place["a"].cost_bouts) == (90.0, 1)
    assert by_place["b"].cost_s is None
