"""`lineage todo`."""

import click

from lineage.cli import options
from lineage.cli.forms import shown


@click.command(epilog="Example: lineage todo avocet --for 2024-04-20-spring-tide --csv work.csv")
@click.argument("designs", metavar="A [B]", nargs=-1, required=True)
@click.option("--deep", is_flag=True, help="Inside modules too.")
@options.for_event
@options.answer_forms
@click.pass_obj
def command(
    folder: str, /, designs: tuple[str, ...], for_event: str | None, *, deep: bool, **forms: str | bool | None
) -> int:
    """List what to cut, print, buy, rework, keep and scrap.

    One design alone: from its last build to the working files.
    """
    from lineage.tasks.events import event_named  # noqa: PLC0415
    from lineage.tasks.states import Asker  # noqa: PLC0415
    from lineage.tasks.todo import todo  # noqa: PLC0415
    from lineage.tasks.workspace import open_family  # noqa: PLC0415

    asker = Asker(open_family(folder))
    event = event_named(asker.workspace, for_event) if for_event else None
    view = todo(asker, designs, event, deep=deep)
    return shown("todo", view, forms, left_out=asker.workspace.left_out)
