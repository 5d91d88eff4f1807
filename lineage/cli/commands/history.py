"""`lineage history`."""

import click

from lineage.cli import options
from lineage.cli.forms import shown


@click.command(epilog="Example: lineage history avocet")
@click.argument("design", metavar="DESIGN")
@options.answer_forms
@click.pass_obj
def command(folder: str, /, design: str, **forms: str | bool | None) -> int:
    """Show the builds of a design in order: why each was made, what it did, what was learned."""
    from lineage.tasks.history import history  # noqa: PLC0415
    from lineage.tasks.states import Asker  # noqa: PLC0415
    from lineage.tasks.workspace import open_family  # noqa: PLC0415

    workspace = open_family(folder)
    return shown("history", history(Asker(workspace), design), forms, left_out=workspace.left_out)
