"""What to pack for the next bouts of one robot."""

from lineage.problems import AskedWrongly
from lineage.reports.views.cautions import cautions_for
from lineage.reports.views.spares import Spares
from lineage.tasks.judging import judge_of
from lineage.tasks.packing import Packer
from lineage.tasks.workspace import Workspace


def spares(workspace: Workspace, robot: str, bouts: int) -> Spares:
    """A robot's box for so many bouts."""
    name = workspace.named(robot)
    if bouts < 1:
        raise AskedWrongly(f"--bouts {bouts}", "one bout or more", "")
    if workspace.kind(name) != "robot":
        raise AskedWrongly(f"{name} is a module", "a robot: it is the robot that fights", "")
    last = workspace.last(name)
    if last is None:
        raise AskedWrongly(f"{name} has no build yet", "a recorded build", f"lineage record {name} A")
    box = Packer(judge_of(workspace)).box(name, bouts)
    return Spares(
        design=name,
        bouts=bouts,
        packing=box.packing,
        chance_box_short=box.chance_box_short,
        basis=box.basis,
        cautions=cautions_for(workspace.assembly(last)),
        consumables=box.consumables,
    )
