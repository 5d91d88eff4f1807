"""Laws of reading: nothing that people or programs write breaks a reader, and what is written reads back."""

import re
from datetime import date

import yaml
from hypothesis import given, settings
from hypothesis import strategies as st
from jsonschema import Draft202012Validator

from lineage.spec.bout_file import counted_bouts, numbered, read_bout_entries, read_bouts
from lineage.spec.build_file import read_build, read_notes_file
from lineage.spec.codes import PROBLEM_CODES
from lineage.spec.design_file import read_design
from lineage.spec.event_file import read_event
from lineage.spec.family_file import read_family
from lineage.spec.lesson_file import read_lesson
from lineage.spec.lines import bout_line, result_line
from lineage.spec.log import corrected
from lineage.spec.result_file import read_result_entries, read_results
from lineage.spec.schema import schema_for

EVENT = "2025-03-09-meet"
SPEC = """\
robot: avocet
from: turnstone@1.10
stock:
  pc-3: {material: polycarbonate, thickness: 3 mm ± 0.15 mm, cut: {how: router, note: "two: passes"}}
parts:
  side: {role: chassis, stock: pc-3, outline: plates/side.dxf, count: 2, dims: {bay-height: 22 mm ± 0.2 mm}}
  battery:
    mass: 92 g weighed  # on the bench
    size: 68 x 35 x 17 mm ± 0.5 mm
    rework: [case removed, {do: 'leads cut', takes: 5 min}]
modules:
  drive-left: drive-pod@B
  drive-right: {use: drive-pod@B, turned: [x 90, mirrored y], fitted: {gears: fast}}
fasteners: {lid: {type: ISO 7380-1 M3x8, count: 8, holds: side, into: [battery]}}
options: {fork: {long: {parts: {tine: {mass: 31 g}}}, none: {settings: {expo: 30 %}}}}
fitted: {fork: long}
fits: {gap: {need: at least 1 mm, chain: [side.bay-height, -battery.height]}}
access: {battery: [{behind: side, undo: [lid]}]}
settings: {channel: 5, mode: tank drive}
x-note: {a: [b, c]}
"""
FAMILY = """\
family: Waders
classes: {3lb: {limit: 3 lb, size: 300 x 300 mm, materials: {chassis: uhmw-pe}}}
scales: {bench: {resolution: 1 g, accuracy: 0.5 %}}
tolerances: {laser: ± 0.1 mm}
times: {tool: 4 s, screw: 3}
rules: {screws: {chassis: 4}}
"""
LOG = """\
- {on: 2025-03-01, kind: mass, is: [31 g, 31.2 g], of: lid}
- {on: 2025-03-01, kind: bench, of: stall push, is: 2 kg, better: more}
- {robot: avocet, outcome: won, broke: [{at: lid, mode: "bent, broke", took: 12 min}]}
- {withdrawn: yes, instead_of: 0123456789}
"""
READERS = (
    read_family,
    lambda data: read_design(data, "f", "robot", "avocet"),
    lambda data: read_design(data, "f", "module", "pod"),
    lambda data: read_build(data, "f"),
    lambda data: read_notes_file(data, "f"),
    lambda data: read_event(data, "f", EVENT),
    lambda data: read_lesson(data, "f", "gears"),
    lambda data: read_results(data, "f", "avocet"),
    lambda data: read_bouts(data, "f", EVENT),
    lambda data: read_result_entries(data, "f"),
    lambda data: read_bout_entries(data, "f"),
)


def check_problems(read, data):
    """Every problem has a known code, words, and a place inside the text; they come in order of place."""
    text = data.decode(errors="replace")
    lines = text.split("\n")
    for problem in read.problems:
        assert problem.code in PROBLEM_CODES
        assert problem.what
        assert problem.wanted
        assert problem.mend
        assert 1 <= problem.place.line <= len(lines) + 1
        assert problem.place.column >= 1
        assert problem.place.end is None or problem.place.end >= problem.place.column
        assert problem.caret is not None
        assert problem.caret <= len(problem.source) + 1
    places = [(p.place.line, p.place.column) for p in read.problems]
    assert places == sorted(places)
    if hasattr(read, "record"):
        assert (read.record is None) == any(p.level == "error" for p in read.problems)


@given(st.one_of(st.binary(max_size=200), st.text(max_size=200).map(lambda t: t.encode(errors="replace"))))
@settings(max_examples=150, deadline=None)
def test_no_bytes_break_a_reader(data):
    for reader in READERS:
        check_problems(reader(data), data)


@given(st.text(alphabet="ab:-,[]{}&*!|>'\"%@#?~ \t\n\r0.<=\\", max_size=60))
@settings(max_examples=300, deadline=None)
def test_no_heap_of_yaml_signs_breaks_a_reader(text):
    data = text.encode()
    for reader in (READERS[1], READERS[7]):
        check_problems(reader(data), data)


@st.composite
def mutated(draw, text):
    """A text with some of its characters, words or lines changed, doubled or lost."""
    for _ in range(draw(st.integers(1, 3))):
        start = draw(st.integers(0, len(text)))
        end = min(len(text), start + draw(st.integers(0, 12)))
        piece = draw(st.sampled_from(
            ["", "~", ": ", ", ", "\n", "\t", " #4", "[", "}", '"', "'", "- ", "-", "1,5", "é", "±", "\x00", "a", "0", "@", "{a: b}", " x ",
             "mm", "9" * 30, "1e999", text[start:end] * 2]
        ))  # fmt: skip
        text = text[:start] + piece + text[end:]
    return text


@given(mutated(SPEC))
@settings(max_examples=250, deadline=None)
def test_a_damaged_spec_is_told_and_never_breaks_the_reader(text):
    data = text.encode()
    check_problems(READERS[1](data), data)


@given(mutated(FAMILY))
@settings(max_examples=100, deadline=None)
def test_a_damaged_family_is_told_and_never_breaks_the_reader(text):
    data = text.encode()
    check_problems(read_family(data), data)


@given(mutated(LOG))
@settings(max_examples=150, deadline=None)
def test_a_damaged_log_is_told_and_never_breaks_the_reader(text):
    data = text.encode()
    for reader in READERS[7:]:
        check_problems(reader(data), data)


@given(st.lists(st.booleans(), min_size=4, max_size=4), st.text(alphabet="ab:-,[]{}'\"#~@ \t", max_size=20))
@settings(max_examples=150, deadline=None)
def test_a_damaged_line_leaves_all_other_entries_as_they_were(kept, junk):
    lines = LOG.splitlines(keepends=True)
    whole = read_results(LOG.encode(), "f", "avocet")
    damaged = "".join(line if keep else f"- {junk}\n" for line, keep in zip(lines, kept, strict=True))
    ids = {e.id for e in read_results(damaged.encode(), "f", "avocet").entries}
    survivors = {e.id for e, keep in zip(whole.entries, [kept[0], kept[1], kept[3]], strict=True) if keep}
    assert survivors <= ids


class Core(yaml.CSafeLoader):
    """Another reader of YAML, with the scalars of YAML 1.2's core schema."""


Core.yaml_implicit_resolvers = {}
for tag, pattern, first in (
    ("bool", "true|True|TRUE|false|False|FALSE", "tTfF"),
    ("int", "[-+]?[0-9]+", "-+0123456789"),
    ("float", r"[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?", "-+.0123456789"),
):
    Core.add_implicit_resolver(f"tag:yaml.org,2002:{tag}", re.compile(f"^(?:{pattern})$"), list(first))


@given(st.one_of(mutated(SPEC), st.just(SPEC)))
@settings(max_examples=150, deadline=None)
def test_the_schema_accepts_whatever_the_reader_accepts(text):
    if READERS[1](text.encode()).record is None:
        return
    validator = Draft202012Validator(schema_for("robot"))
    for loader in (Core, yaml.CBaseLoader):
        assert list(validator.iter_errors(yaml.load(text, loader))) == []


def test_the_texts_of_these_tests_are_whole():
    assert READERS[1](SPEC.encode()).problems == ()
    assert read_family(FAMILY.encode()).problems == ()
    assert [len(r(LOG.encode()).entries) for r in READERS[7:9]] == [3, 2]


# --- what is written reads back --------------------------------------------------------------------------

TEXT = st.text(st.characters(exclude_categories=["Cs"]), min_size=1, max_size=30).filter(str.strip)
MASS = st.decimals(min_value=0, max_value=99999, places=2).map(lambda d: f"{d} g")
SECONDS = st.integers(0, 9999).map(lambda n: f"{n} s")
NAME = st.from_regex(r"[a-z][a-z0-9-]{0,12}", fullmatch=True)
REF = st.lists(NAME, min_size=1, max_size=3).map(".".join)
DAY = st.dates(min_value=date(1000, 1, 1))
LABEL = st.from_regex(r"[A-Za-z0-9]([A-Za-z0-9.-]{0,5}[A-Za-z0-9])?", fullmatch=True).filter(
    lambda t: (
        t.lower().partition(".")[0] not in {"now", "git", "drawings", "con", "prn", "aux", "nul"}
        and t.lower() not in {"now", "git", "drawings"}
        and not re.match(r"(?i)(com|lpt)[0-9](\.|$)", t)
    )
)


def optional(**strategies):
    return st.fixed_dictionaries({}, optional=strategies)


WEIGHING = st.builds(
    lambda must, may: must | may,
    st.fixed_dictionaries({"on": DAY, "kind": st.just("mass"), "is": st.lists(MASS, min_size=1, max_size=3)}),
    optional(
        build=LABEL, of=st.lists(st.one_of(REF, TEXT), min_size=1, max_size=3), scale=st.one_of(NAME, TEXT), note=TEXT,
        who=TEXT, count=st.integers(1, 99), fitted=st.dictionaries(NAME, NAME, max_size=2), no=st.integers(2, 9),
    ),
)  # fmt: skip
DAMAGE = st.builds(
    lambda must, may: must | may,
    st.fixed_dictionaries({"at": st.one_of(REF, TEXT), "mode": TEXT}),
    optional(
        severity=st.sampled_from(["cosmetic", "weakened", "disabling"]), took=SECONDS, fix=TEXT, cost_bout=st.booleans(),
        used=st.dictionaries(TEXT, st.integers(1, 9), min_size=1, max_size=2), mended=st.sampled_from(["yes", "no", "for now"]),
    ),
)  # fmt: skip
BOUT = st.builds(
    lambda must, may: must | may,
    st.fixed_dictionaries({"robot": NAME.filter(lambda n: n not in {"con", "prn", "aux", "nul"} and len(n) > 4)}),
    optional(
        bout=st.one_of(st.integers(1, 99), TEXT), outcome=st.sampled_from(["won", "lost"]), ran=SECONDS, fought=st.booleans(),
        because=st.lists(TEXT, min_size=1, max_size=2), read=st.dictionaries(TEXT, MASS, min_size=1, max_size=2),
        broke=st.lists(DAMAGE, min_size=1, max_size=2), pit=st.lists(TEXT, min_size=1, max_size=2), note=TEXT,
        settings=st.dictionaries(TEXT, st.one_of(SECONDS, NAME), min_size=1, max_size=2),
    ),
)  # fmt: skip


def said(value):
    """What a record says, in the words of an entry."""
    if isinstance(value, tuple):
        return [said(item) for item in value]
    if isinstance(value, dict):
        return {key: said(item) for key, item in value.items()}
    return getattr(value, "text", value)


def said_of(record, entry):
    """The fields of a record that an entry names."""
    return {key: said(getattr(record, f"{key}_" if key == "is" else key)) for key in entry}


@given(WEIGHING)
@settings(max_examples=120, deadline=None)
def test_a_result_reads_back_equal(entry):
    line = result_line(entry)
    assert "\n" not in line
    log = read_results(line.encode(), "f", "avocet")
    assert log.problems == ()
    keys = {key: value for key, value in entry.items() if key != "kind" and value not in ({}, [])}
    assert said_of(log.entries[0], keys) == keys


@given(BOUT)
@settings(max_examples=120, deadline=None)
def test_a_bout_reads_back_equal(entry):
    line = bout_line(entry)
    assert "\n" not in line
    log = read_bouts(line.encode(), "f", EVENT)
    assert log.problems == ()
    bout = log.entries[0]
    keys = {key: value for key, value in entry.items() if key != "broke"}
    if "bout" in keys:
        keys["bout"] = str(keys["bout"])
    assert said_of(bout, keys) == keys
    for damage, told in zip(bout.broke, entry.get("broke", []), strict=True):
        assert said_of(damage, told) == told


@given(st.lists(BOUT, max_size=6), st.data())
@settings(max_examples=60, deadline=None)
def test_which_entries_count_does_not_hang_on_their_order(entries, data):
    lines: list[str] = []
    for number, entry in enumerate(entries):
        ids = [read_bouts(line.encode(), "f", EVENT).entries[0].id for line in lines]
        if ids and data.draw(st.booleans()):
            more = {"instead_of": data.draw(st.sampled_from(ids))}
            more |= {"withdrawn": True} if data.draw(st.booleans()) else {}
        else:
            more = {}
        lines.append(bout_line({**entry, **more, "bout": str(number % 3)}))
    shuffled = data.draw(st.permutations(lines))
    first, second = (read_bouts("\n".join(order).encode(), "f", EVENT).entries for order in (lines, shuffled))
    assert {b.id for b in corrected(first).entries} == {b.id for b in corrected(second).entries}
    assert {b.id for b in counted_bouts(first).entries} == {b.id for b in counted_bouts(second).entries}


@given(st.lists(st.sampled_from([None, "1", "2", "3", "final"]), max_size=8))
@settings(max_examples=80, deadline=None)
def test_numbers_that_are_given_are_nobody_else_s(typed):
    lines = [bout_line({"robot": "avocet", "bout": bout, "note": str(n)}) for n, bout in enumerate(typed)]
    found = numbered(read_bouts("\n".join(lines).encode(), "f", EVENT).entries)
    given_numbers = [b.bout for b, was in zip(found, typed, strict=True) if was is None]
    assert len(set(given_numbers)) == len(given_numbers)
    assert not set(given_numbers) & {bout for bout in typed if bout}
