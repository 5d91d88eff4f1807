"""results/DESIGN.yaml, kind by kind."""

from datetime import date

import pytest

from lineage.spec.records import BenchReading, GapReading, Result, ServiceReading, Snag, Trial, Weighing
from lineage.spec.result_file import read_result_entries, read_results


def one(keys):
    log = read_results(f"- {{on: 2025-03-01, {keys}}}\n".encode(), "f", "avocet")
    assert log.problems == ()
    return log.entries[0]


def problem(line):
    log = read_results(f"- {line}\n".encode(), "f", "avocet")
    assert log.entries == ()
    assert len(log.problems) == 1, log.problems
    return log.problems[0]


def test_a_weighing_is_read():
    keys = "kind: mass, build: 1.10, of: [lid, drive-left], except: battery, is: [31 g, 31.2 g], scale: bench, fitted: {fork: long}"
    entry = one(
        keys + ", count: 2, who: me, note: wet, event: 2025-03-01-meet, no: 2, instead_of: 0123456789, x-a: b"
    )
    assert isinstance(entry, Weighing)
    assert (entry.design, entry.on, entry.build) == ("avocet", date(2025, 3, 1), "1.10")
    assert (entry.of, entry.except_, entry.scale) == (("lid", "drive-left"), ("battery",), "bench")
    assert [q.value for q in entry.is_] == [31, 31.2]
    assert (entry.fitted, entry.count, entry.who, entry.note) == ({"fork": "long"}, 2, "me", "wet")
    assert (entry.event, entry.no, entry.instead_of) == ("2025-03-01-meet", 2, "0123456789")
    assert entry.extra == {"x-a": "b"}


def test_a_weighing_is_of_refs_or_of_a_role_or_of_the_whole():
    assert one("kind: mass, role: weapon, is: 31 g").role == "weapon"
    assert one("kind: mass, is: 1352 g").of == ()
    assert problem("{on: 2025-03-01, kind: mass, of: lid, role: weapon, is: 3 g}").code == "one-of"


def test_gaps_may_be_below_zero_and_times_not():
    gap = one("kind: gap, of: deck, is: -0.2 mm")
    assert isinstance(gap, GapReading)
    assert (gap.of, gap.is_[0].value) == ("deck", -0.2)
    service = one("kind: service, of: drive-left, is: [95 s, 1:20]")
    assert isinstance(service, ServiceReading)
    assert [q.value for q in service.is_] == [95, 80]
    assert problem("{on: 2025-03-01, kind: service, of: a, is: -3 s}").code == "quantity"
    assert problem("{on: 2025-03-01, kind: mass, is: -3 g}").code == "quantity"


def test_grams_are_a_force_where_something_is_pushed():
    push = one("kind: bench, of: stall push, is: 2 kg, better: more")
    assert isinstance(push, BenchReading)
    assert (push.is_[0].dimension, push.is_[0].value, push.better) == (
        "force",
        pytest.approx(19.6133),
        "more",
    )
    assert one("kind: bench, of: wire, is: 2 kg").is_[0].dimension == "mass"
    assert one("kind: bench, of: motor, is: [35 degC, 36 degC], better: less").is_[1].value == 36


def test_a_trial_is_read():
    trial = one("kind: trial, of: self-right, passed: 0, tries: 10, better: less")
    assert isinstance(trial, Trial)
    assert (trial.of, trial.passed, trial.tries, trial.better) == ("self-right", 0, 10, "less")


def test_a_snag_is_read():
    snag = one(
        'kind: snag, during: assembling, at: power-tray.box, mode: "glue let go", took: 2 h, fix: taped, price: 3 EUR'
    )
    assert isinstance(snag, Snag)
    assert (snag.during, snag.at, snag.mode, snag.fix) == (
        "assembling",
        "power-tray.box",
        "glue let go",
        "taped",
    )
    assert (snag.took.value, snag.price.value) == (7200, 3)
    assert one("kind: snag, during: moving house, at: the big box, mode: dropped").during == "moving house"


def test_a_withdrawal_needs_nothing_but_what_it_strikes_out():
    log = read_results(b"- {withdrawn: yes, instead_of: 0123456789}\n", "f", "avocet")
    (entry,) = log.entries
    assert type(entry) is Result
    assert (entry.withdrawn, entry.instead_of, entry.on) == (True, "0123456789", None)
    whole = "{on: 2025-03-01, kind: mass, is: 3, of: lid, withdrawn: yes, instead_of: 0123456789}"
    assert read_results(f"- {whole}".encode(), "f", "avocet").entries[0].withdrawn


@pytest.mark.parametrize(
    ("line", "code"),
    [
        ("{kind: mass, is: 3 g}", "missing-key"),
        ("{on: 2025-03-01, is: 3 g}", "missing-key"),
        ("{on: 2025-03-01, kind: mass}", "missing-key"),
        ("{on: 2025-03-01, kind: weight, is: 3 g}", "word"),
        ("{on: 2025-03-01, kind: mass, is: 3}", "quantity"),
        ("{on: 2025-03-01, kind: mass, is: 3 mm}", "quantity"),
        ("{on: 2025-03-01, kind: mass, is: 3 g, passed: 3}", "unknown-key"),
        ("{on: 2025-03-01, kind: mass, is: 3 g, weight: 3}", "unknown-key"),
        ("{on: 2025-03-01, kind: mass, is: 3 g, role: wepon}", "word"),
        ("{on: 2025-03-01, kind: mass, is: 3 g, event: meet}", "event-name"),
        ("{on: 2025-03-01, kind: mass, is: 3 g, no: 1}", "number"),
        ("{on: 2025-03-01, kind: mass, is: 3 g, withdrawn: yes}", "missing-key"),
        ("{instead_of: 0123456789, withdrawn: no}", "word"),
        ("{on: 2025-03-01, kind: trial, of: a, passed: 8, tries: 7}", "tries"),
        ("{on: 2025-03-01, kind: trial, of: a, passed: 0, tries: 0}", "number"),
        ("{on: 2025-03-01, kind: gap, of: a, is: 1,5 mm}", "comma"),
        ("{on: 2025-03-01, kind: snag, during: testing, mode: bent, then broke}", "comma"),
        ("[a]", "wrong-shape"),
    ],
)
def test_other_values_are_refused(line, code):
    assert problem(line).code == code


def test_a_key_of_another_kind_says_which():
    found = problem("{on: 2025-03-01, kind: mass, is: 3 g, passed: 3}")
    assert found.mend == "delete it, or write `kind: trial`"


def test_drafts_are_plain_and_may_leave_the_day_to_whoever_appends_them():
    text = "- {kind: mass, is: 3 g, instead_of: last}\n- kind: trial\n  of: self-right\n  passed: 3\n  tries: 5\n"
    drafts = read_result_entries(text.encode(), "f")
    assert drafts.problems == ()
    assert drafts.entries[0] == {"kind": "mass", "is": "3 g", "instead_of": "last"}
    assert drafts.entries[1]["tries"] == "5"


def test_drafts_with_a_problem_are_none():
    drafts = read_result_entries(b"- {kind: mass, is: 3 g}\n- {kind: mass, is: 3}\n- {kind: gap}\n", "f")
    assert drafts.entries == ()
    assert [p.place.line for p in drafts.problems] == [2, 3, 3]
    assert read_result_entries(b"kind: mass\n", "f").problems[0].code == "wrong-shape"
    assert read_result_entries(b"", "f").problems[0].code == "wrong-shape"
