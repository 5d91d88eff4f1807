"""A family in memory: files by path, builds recorded as the archive plans them, no disk and no git."""

from collections.abc import Mapping, Sequence
from datetime import date
from functools import cache
from pathlib import Path

from lineage.archive.builds import plan_build
from lineage.archive.ids import content_id
from lineage.changes.diff import Difference, differences
from lineage.changes.ops import Change
from lineage.changes.pairing import pair_builds
from lineage.spec.assembly import Spec
from lineage.spec.design_file import read_design
from lineage.spec.family_file import read_family
from lineage.spec.records import BuildRef, ChangeNote, Family
from lineage.spec.references import parts_of, uses_of
from lineage.tasks.amounts import Amounts
from lineage.tasks.states import State
from lineage.tasks.workspace import NOW, Workspace

FAMILY = """\
family: Waders
classes: {3lb: {limit: 3 lb}}
stock:
  pc-3: {material: polycarbonate, thickness: 3 mm ± 0.15 mm, density: 1200 kg/m3}
  al-2: {material: aluminium-7075, thickness: 2 mm, density: 2800 kg/m3, sheet: 500 x 300 mm, price: 20 EUR}
  rod-6: {material: steel, section: 6 mm round, density: 7800 kg/m3, bar: 1 m, price: 6 EUR}
"""


class Files:
    """A tree of files that lies in memory."""

    name = NOW

    def __init__(self, files: Mapping[str, bytes]) -> None:
        self.by_path = dict(files)

    def read(self, path: str) -> bytes | None:
        """The bytes of a file."""
        return self.by_path.get(path)

    def content_id(self, path: str) -> str | None:
        """The content id of a file."""
        return None if path not in self.by_path else content_id(self.by_path[path])

    def files(self, folder: str = "") -> tuple[str, ...]:
        """Paths of all files in a folder and below it."""
        start = f"{folder}/" if folder else ""
        return tuple(sorted(path for path in self.by_path if path.startswith(start)))


class InMemory:
    """A family to write into and record builds of."""

    def __init__(self, files: Mapping[str, str] | None = None, *, family: str = FAMILY) -> None:
        self.tree = Files({"family.yaml": family.encode()})
        self.write(files or {})

    def write(self, files: Mapping[str, str]) -> None:
        """Put working files into the family."""
        self.tree.by_path |= {path: text.encode() for path, text in files.items()}

    def record(
        self,
        design: str,
        label: str,
        on: str,
        text: str | None = None,
        *,
        notes: Sequence[ChangeNote] = (),
        renames: Mapping[str, str] | None = None,
        before: str | None = None,
    ) -> None:
        """Record the working files of a design, with another text first where one is given."""
        path = next(
            (p for p in (f"robots/{design}.yaml", f"modules/{design}.yaml") if p in self.tree.by_path), None
        )
        path = path or f"{'robots' if (text or '').startswith('robot') else 'modules'}/{design}.yaml"
        if text is not None:
            self.write({path: text})
        workspace = self.workspace()
        spec = workspace.spec(BuildRef(design, NOW))
        outlines = {part.outline for _, part in parts_of(spec.design) if part.outline}
        labels = workspace.labels(design)
        plan = plan_build(
            self.tree,
            design=design,
            label=label,
            on=date.fromisoformat(on),
            before=before or (labels[-1] if labels else None),
            spec_path=path,
            spec=self.tree.by_path[path],
            family=self.tree.by_path["family.yaml"],
            drawings={outline: self.tree.by_path[outline] for outline in outlines},
            uses={str(use.use): workspace.spec(use.use).id for _, use in uses_of(spec.design)},
            renames=renames,
            notes=tuple(notes),
        )
        self.tree.by_path |= plan.files

    def workspace(self) -> Workspace:
        """The family opened anew."""
        return Workspace(self.tree, Path("nowhere"))

    def state(self, asked: str, workspace: Workspace | None = None) -> State:
        """`DESIGN@LABEL` as a state."""
        design, _, label = asked.partition("@")
        return State(Amounts(workspace or self.workspace()), BuildRef(design, label or NOW))


def note(*about: str, **keys: object) -> ChangeNote:
    """A note on changes."""
    return ChangeNote(about=about, **keys)


@cache
def family_of(text: str = FAMILY) -> Family:
    """A family as read."""
    read = read_family(text.encode(), "family.yaml")
    assert read.record is not None, read.problems
    return read.record


def spec_of(
    text: str,
    label: str = "A",
    *,
    family: Family | str = FAMILY,
    drawings: Mapping[str, str] | None = None,
) -> Spec:
    """A spec from the text of its file, without anything around it."""
    kind, _, name = text.partition("\n")[0].partition(": ")
    read = read_design(text.encode(), f"{name}.yaml", kind, name)
    assert read.record is not None, read.problems
    known = family_of(family) if isinstance(family, str) else family
    return Spec(
        ref=BuildRef(name, label),
        design=read.record,
        family=known,
        family_id="family",
        drawings=drawings or {},
    )


def between(before: Spec | str, after: Spec | str, renames: Mapping[str, str] | None = None) -> Difference:
    """What differs between two specs, as between builds of one design."""
    old = spec_of(before, "A") if isinstance(before, str) else before
    new = spec_of(after, "B") if isinstance(after, str) else after
    return differences(old, new, pair_builds(old, new, renames or {}))


def the_change(before: Spec | str, after: Spec | str, renames: Mapping[str, str] | None = None) -> Change:
    """The one change between two specs."""
    changes = between(before, after, renames).changes
    assert len(changes) == 1, [change.id for change in changes]
    return changes[0]
