"""A family in which some designs are other than their files say: nothing is written, everything is worked out anew."""

from collections.abc import Mapping

from msgspec import Struct
from msgspec.structs import replace

from lineage.archive.ids import content_id
from lineage.archive.tree import FAMILY_FILE, AlteredTree
from lineage.problems import Problem
from lineage.spec.assembly import Spec
from lineage.spec.records import BuildRef, Path
from lineage.tasks.workspace import NOW, Workspace

Changes = Mapping[Path, str | None]
"""Values by where they stand in a file, as YAML; None leaves a key out."""


class Altered(Struct, frozen=True, kw_only=True):
    """A design as it is now or in a build, with changes of its spec and of the family.yaml that it goes by."""

    ref: BuildRef
    spec: Changes = {}
    family: Changes = {}


class AlteredFamily(Workspace):
    """The workspace of such a family: each altered design stands where its working file would."""

    def __init__(self, workspace: Workspace, altered: Mapping[str, Altered]) -> None:
        from lineage.spec.altered import with_changes  # noqa: PLC0415 - loads the readers, and YAML with them

        files: dict[str, bytes] = {}
        ids: dict[str, str] = {}
        self._families_of: dict[str, bytes] = {}
        for design, other in altered.items():
            spec, family, beside, known = _files(workspace, other.ref)
            files |= beside
            files[spec] = with_changes(files[spec], spec, other.spec)
            ids |= known
            family = with_changes(family, FAMILY_FILE, other.family) if other.family else family
            if other.ref.label == NOW:
                files |= {FAMILY_FILE: family} if other.family else {}
            else:
                self._families_of[design] = family
        super().__init__(AlteredTree(workspace.tree, files, ids), workspace.root)

    def _working(self, ref: BuildRef) -> tuple[Spec | None, tuple[Problem, ...]]:
        """What stands for a build goes by that build's own copy of family.yaml."""
        spec, problems = super()._working(ref)
        own = self._families_of.get(ref.design)
        if spec is None or own is None:
            return spec, problems
        family = self.family_from(own, FAMILY_FILE)
        return replace(spec, family=family, family_id=content_id(own)), problems


def _files(workspace: Workspace, ref: BuildRef) -> tuple[str, bytes, Mapping[str, bytes], Mapping[str, str]]:
    """Path of the spec, family.yaml, what lies where working files would, and ids of what is only named."""
    if ref.label == NOW:
        path = workspace.spec(ref).file
        return path, workspace.tree.read(FAMILY_FILE) or b"", {path: workspace.tree.read(path) or b""}, {}
    build = workspace.recorded(ref)
    return (
        build.spec_path,
        build.family,
        {build.spec_path: build.spec, **build.drawings},
        {path: known for path, known in build.record.files.items() if path not in {"spec.yaml", FAMILY_FILE}},
    )
