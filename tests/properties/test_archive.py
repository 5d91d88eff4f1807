"""Laws of writing and reading: nothing that was there is lost, and what was written is read."""

import tempfile
from datetime import date
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from lineage.archive.append import append_line
from lineage.archive.builds import in_chain_order, plan_build, read_build_files
from lineage.archive.ids import build_id
from lineage.archive.keep import write_whole
from lineage.archive.tree import WorkingTree
from lineage.spec.records import BuildRecord

LABELS = st.sampled_from("ABCDEFGH")
BYTES = st.lists(
    st.sampled_from([b"- {a: 1}", b"\n", b"\r\n", b"\r", b"\xff", b"# note", b"\xef\xbb\xbf"])
).map(b"".join)


@settings(max_examples=40, deadline=None)
@given(before=BYTES, again=st.booleans())
def test_appending_keeps_every_byte_and_ends_with_a_line_of_its_own(before, again):
    with tempfile.TemporaryDirectory() as folder:
        file = Path(folder, "results/x.yaml")
        file.parent.mkdir()
        file.write_bytes(before)
        done = append_line(Path(folder), "results/x.yaml", lambda no: f"- {{a: {no or 1}}}", again=again)
        after = file.read_bytes()
    assert after.startswith(before)
    lines = [line.removesuffix(b"\r") for line in after.split(b"\n")]
    assert done.line.encode() in lines
    assert (after == before) == (not done.written)


@settings(max_examples=20, deadline=None)
@given(
    spec=st.binary(max_size=60),
    family=st.binary(max_size=60),
    drawings=st.dictionaries(
        st.from_regex(r"plates/[a-z]{1,3}/[a-zA-Z0-9 _-]{1,8}\.dxf", fullmatch=True), st.binary(max_size=9)
    ),
)
def test_a_build_is_read_as_it_was_written_whatever_its_files_hold(spec, family, drawings):
    with tempfile.TemporaryDirectory() as folder:
        tree = WorkingTree(Path(folder))
        plan = plan_build(
            tree,
            design="avocet",
            label="A",
            on=date(2026, 5, 2),
            before=None,
            spec_path="robots/avocet.yaml",
            spec=spec,
            family=family,
            drawings=drawings,
        )
        write_whole(tree.root, plan.files, plan.folder)
        build = read_build_files(tree, "avocet", "A")
    assert (build.spec, build.family, build.drawings) == (spec, family, drawings)
    assert build.record.id == plan.record.id
    copies = [path for path in plan.files if "/drawings/" in path]
    assert len(copies) == len(set(drawings.values()))


@settings(max_examples=80, deadline=None)
@given(st.dictionaries(LABELS, st.tuples(st.none() | LABELS, st.dates())))
def test_every_build_comes_once_and_after_the_build_before_it_wherever_that_can_be(entries):
    records = [
        BuildRecord(
            format=1, tables=1, design="x", label=label, on=on, before=before, id="", files={}, uses={}
        )
        for label, (before, on) in entries.items()
    ]
    ordered = in_chain_order(records)
    assert ordered == in_chain_order(reversed(records))
    assert sorted(r.label for r in ordered) == sorted(entries)
    at = {record.label: number for number, record in enumerate(ordered)}
    for record in ordered:
        if record.before in at and not _in_ring(record.label, entries):
            assert at[record.before] < at[record.label]


def _in_ring(label, entries):
    """Whether the builds before a build lead into a ring."""
    seen = set()
    while label is not None and label in entries:
        if label in seen:
            return True
        seen.add(label)
        label = entries[label][0]
    return False


@settings(max_examples=50, deadline=None)
@given(st.dictionaries(st.text("ab /.-", min_size=1), st.sampled_from(["a" * 40, "b" * 40])))
def test_the_id_of_a_build_does_not_depend_on_the_order_of_its_files(files):
    backwards = dict(reversed(files.items()))
    assert build_id(files, {}) == build_id(backwards, {}) == build_id({}, files)
