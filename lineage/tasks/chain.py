"""The builds of one design as a chain: steps between them, renames along them."""

from collections.abc import Callable, Mapping

from lineage.changes.diff import differences
from lineage.changes.ops import Change
from lineage.changes.pairing import pair_builds
from lineage.spec.records import BuildRecord, BuildRef
from lineage.tasks.workspace import NOW, Workspace


def line_to(workspace: Workspace, design: str, label: str) -> tuple[str, ...]:
    """Labels from the first build up to this one, by what each was made from."""
    line = [label]
    known = set(workspace.labels(design))
    before = workspace.record_of(BuildRef(design, label)).before
    while before is not None and before in known and before not in line:
        line.append(before)
        before = workspace.record_of(BuildRef(design, before)).before
    return tuple(reversed(line))


def renames_between(workspace: Workspace, design: str, then: str, now: str) -> Mapping[str, str]:
    """Old name → new name of a design's own things, from one of its builds to a later one.

    Empty where neither comes from the other.
    """
    labels = workspace.labels(design)
    later = now if now != NOW else (labels[-1] if labels else None)
    if later is None or later not in labels or then not in labels:
        return {}
    line = line_to(workspace, design, later)
    if then not in line:
        return {}
    renames: dict[str, str] = {}
    for label in line[line.index(then) + 1 :]:
        renames = composed(renames, workspace.record_of(BuildRef(design, label)).renames)
    return renames


def renames_either_way(workspace: Workspace, design: str, then: str, now: str) -> Mapping[str, str]:
    """Names of a design's own things in one of its builds → in another, earlier or later, where they differ."""
    back = {new: old for old, new in renames_between(workspace, design, now, then).items()}
    return renames_between(workspace, design, then, now) or back


def composed(first: Mapping[str, str], then: Mapping[str, str]) -> dict[str, str]:
    """Two steps of renaming as one."""
    both = {old: then.get(new, new) for old, new in first.items()}
    gone_through = set(first.values())
    both = {old: new for old, new in then.items() if old not in gone_through} | both
    return {old: new for old, new in both.items() if old != new}


def follow(workspace: Workspace, design: str, then: str, now: str, ref: str) -> str | None:
    """A reference in another build of its design, recorded renames followed either way."""
    head, dot, rest = ref.partition(".")
    forward = renames_between(workspace, design, then, now)
    if head in forward:
        return forward[head] + dot + rest
    backward = {new: old for old, new in renames_between(workspace, design, now, then).items()}
    if head in backward:
        return backward[head] + dot + rest
    return None if head in forward.values() or head in backward.values() else ref


def record_between(workspace: Workspace, design: str, then: str, now: str) -> tuple[BuildRecord, ...]:
    """Records of the builds after `then` up to `now`; empty where neither comes from the other."""
    labels = workspace.labels(design)
    if now == NOW or now not in labels or then not in labels:
        return ()
    line = line_to(workspace, design, now)
    if then not in line:
        return ()
    return tuple(workspace.record_of(BuildRef(design, label)) for label in line[line.index(then) + 1 :])


def only_described_better(
    workspace: Workspace, design: str, then: str, now: str, ref: str, *, of_content: bool = False
) -> bool:
    """Whether all that was done to a thing between two builds, called `ref` in the second, was to describe it better.

    It was changed at least once, and every build on the way that changed it notes that of it; working files go
    on from the last build as long as they leave it alone. With `of_content` only what a weighing is true of is
    asked about: how the thing is reached, where it sits and how many there are change nothing.
    """
    counts = _is_of_content if of_content else _is_of_anything
    if now == NOW:
        labels = workspace.labels(design)
        if not labels or ref in _changed_between(
            workspace, BuildRef(design, labels[-1]), BuildRef(design, NOW), {}, counts
        ):
            return False
        now = labels[-1]
    records = record_between(workspace, design, then, now) or record_between(workspace, design, now, then)
    names = {r.label: follow(workspace, design, now, r.label, ref) for r in records}
    noted = [r for r in records if any(n.described_better and names[r.label] in n.about for n in r.notes)]
    others = [r for r in records if r not in noted]
    return bool(noted) and not any(names[r.label] in _changed_in(workspace, r, counts) for r in others)


def _is_of_anything(change: Change) -> bool:
    return change.kind != "part renamed"


def _is_of_content(change: Change) -> bool:
    if change.kind == "text":
        return any(edit.leaf[-1] == "joined" for edit in change.edits)
    return change.kind not in {"access", "count", "part renamed"}


def _changed_in(
    workspace: Workspace, record: BuildRecord, counts: Callable[[Change], bool]
) -> frozenset[str]:
    """Where a build differs from the one before it."""
    if record.before is None:
        return frozenset()
    before, after = BuildRef(record.design, record.before), BuildRef(record.design, record.label)
    return _changed_between(workspace, before, after, record.renames, counts)


def _changed_between(
    workspace: Workspace,
    before: BuildRef,
    after: BuildRef,
    renames: Mapping[str, str],
    counts: Callable[[Change], bool],
) -> frozenset[str]:
    """Where a state differs from another one in what counts."""
    old, new = workspace.spec(before), workspace.spec(after)
    changes = differences(old, new, pair_builds(old, new, renames)).changes
    return frozenset(change.where for change in changes if counts(change))
