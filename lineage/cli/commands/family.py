"""`lineage family`."""

import click

from lineage.cli import options
from lineage.cli.forms import shown


@click.command(epilog="Example: lineage family --html family.html")
@options.answer_forms
@click.pass_obj
def command(folder: str, /, **forms: str | bool | None) -> int:
    """Show the whole family: designs, events, shared modules and who lags, lessons, changes by kind."""
    from lineage.tasks.family import family  # noqa: PLC0415
    from lineage.tasks.states import Asker  # noqa: PLC0415
    from lineage.tasks.workspace import open_family  # noqa: PLC0415

    workspace = open_family(folder)
    return shown("family", family(Asker(workspace)), forms, left_out=workspace.left_out)
