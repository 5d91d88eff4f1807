"""`lineage spares`."""

import click

from lineage.cli import options
from lineage.cli.forms import shown


@click.command(epilog="Example: lineage spares avocet --bouts 6")
@click.argument("robot", metavar="ROBOT")
@click.option("--bouts", type=int, required=True, metavar="N", help="For so many bouts.")
@options.answer_forms
@click.pass_obj
def command(folder: str, /, robot: str, bouts: int, **forms: str | bool | None) -> int:
    """Say how many of what to pack for the next bouts of a robot, and what to do to each spare before."""
    from lineage.tasks.spares import spares  # noqa: PLC0415
    from lineage.tasks.workspace import open_family  # noqa: PLC0415

    workspace = open_family(folder)
    return shown("spares", spares(workspace, robot, bouts), forms, left_out=workspace.left_out)
