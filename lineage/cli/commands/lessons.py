"""`lineage lessons`."""

import click

from lineage.cli import options
from lineage.cli.forms import shown


@click.command(epilog="Example: lineage lessons 2024-04-20-spring-tide --html lessons.html")
@click.argument("event", metavar="EVENT")
@options.answer_forms
@click.pass_obj
def command(folder: str, /, event: str, **forms: str | bool | None) -> int:
    """Turn an event into lessons and work: what broke, what it cost, what to do first, what to pack.

    EVENT is the name of its file, or a title that only one has.
    """
    from lineage.tasks.events import event_named  # noqa: PLC0415
    from lineage.tasks.lessons import lessons  # noqa: PLC0415
    from lineage.tasks.workspace import open_family  # noqa: PLC0415

    workspace = open_family(folder)
    return shown(
        "lessons", lessons(workspace, event_named(workspace, event)), forms, left_out=workspace.left_out
    )
