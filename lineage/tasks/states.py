"""What people ask for as DESIGN, DESIGN@LABEL, DESIGN@now or DESIGN@git:REV."""

from collections.abc import Mapping, Sequence
from functools import cached_property

from lineage.problems import AskedWrongly
from lineage.spec.assembly import Assembly, Spec
from lineage.spec.records import BuildRef
from lineage.tasks.amounts import Amounts, amounts_of
from lineage.tasks.workspace import NOW, Workspace, at_revision


class State:
    """One state of one design, in the workspace that holds it, with its choices."""

    def __init__(
        self,
        amounts: Amounts,
        ref: BuildRef,
        shown: str | None = None,
        choices: Mapping[str, str] | None = None,
    ) -> None:
        self.amounts, self.ref = amounts, ref
        self.label = shown or ref.label
        self.choices = dict(choices or {})

    def __str__(self) -> str:
        return f"{self.ref.design}@{self.label}"

    @property
    def workspace(self) -> Workspace:
        """The family as it was in this state."""
        return self.amounts.workspace

    @property
    def spec(self) -> Spec:
        """Its spec."""
        return self.workspace.spec(self.ref)

    @cached_property
    def assembly(self) -> Assembly:
        """Every thing of it, with its choices."""
        return self.workspace.assembly(self.ref, self.choices)

    @property
    def build(self) -> BuildRef | None:
        """The recorded build that this is, if it is one."""
        return self.amounts.build_behind(self.ref)


class Asker:
    """Finds states by what people type; each revision is opened once."""

    def __init__(self, workspace: Workspace) -> None:
        self.workspace = workspace
        self.amounts = amounts_of(workspace)
        self._revisions: dict[str, Amounts] = {}

    def state(self, asked: str, choices: Mapping[str, str] | None = None) -> State:
        """The state asked for. Raises AskedWrongly with what there is."""
        design, at, label = asked.partition("@")
        if at and not label:
            raise AskedWrongly(
                f"{asked!r} names no build", "DESIGN, DESIGN@LABEL, DESIGN@now or DESIGN@git:REV"
            )
        if label.startswith("git:"):
            return self._at_revision(design, label, choices)
        name = self.workspace.named(design)
        if label and label != NOW:
            known = {other.casefold(): other for other in self.workspace.labels(name)}
            label = known.get(label.casefold(), label)
            self.workspace.record_of_known(BuildRef(name, label))
        return State(self.amounts, BuildRef(name, label or NOW), choices=choices)

    def states(self, asked: Sequence[str]) -> list[State]:
        """Several states; one alone means the last build of that design against it."""
        found = [self.state(one) for one in asked]
        if len(found) == 1:
            found.insert(0, self.last_build(found[0].ref.design))
        return found

    def _at_revision(self, design: str, label: str, choices: Mapping[str, str] | None) -> State:
        revision = label.removeprefix("git:")
        if revision not in self._revisions:
            self._revisions[revision] = Amounts(at_revision(self.workspace, revision))
        amounts = self._revisions[revision]
        name = amounts.workspace.named(design)
        return State(amounts, BuildRef(name, NOW), shown=label, choices=choices)

    def last_build(self, design: str) -> State:
        """The last build of a design."""
        last = self.workspace.last(self.workspace.named(design))
        if last is None:
            raise AskedWrongly(
                f"{design} has no build yet", "a recorded build", f"lineage record {design} A records one"
            )
        return State(self.amounts, last)
