"""`lineage compare`."""

import click

from lineage.cli import options
from lineage.cli.forms import refusals_drawn, shown


@click.command(
    epilog="Example: lineage compare avocet@A avocet@B    or two siblings: lineage compare avocet turnstone"
)
@click.argument("designs", metavar="A [B …]", nargs=-1, required=True)
@options.for_event
@options.alterations
@options.answer_forms
@click.pass_obj
def command(
    folder: str,
    /,
    designs: tuple[str, ...],
    for_event: str | None,
    alterations: tuple[str, ...],
    **forms: str | bool | None,
) -> int:
    """Lay two to five builds or siblings side by side.

    One design alone sets its last build against the working files. --with changes the last one
    named, without writing anything: lineage compare avocet avocet --with side.stock=uhmw-6
    """
    from lineage.tasks.compare import compare  # noqa: PLC0415
    from lineage.tasks.events import event_named  # noqa: PLC0415
    from lineage.tasks.pictures import compare_pictures  # noqa: PLC0415
    from lineage.tasks.states import Asker  # noqa: PLC0415
    from lineage.tasks.what_if import with_alterations  # noqa: PLC0415
    from lineage.tasks.workspace import open_family  # noqa: PLC0415

    asker = Asker(open_family(folder))
    event = event_named(asker.workspace, for_event) if for_event else None
    states = asker.states(designs)
    states[-1] = with_alterations(states[-1], alterations)
    with refusals_drawn("Comparison", " · ".join(map(str, states)), forms["html_file"]):
        view = compare(states, event)
        return shown("compare", view, forms, lambda: compare_pictures(states), asker.workspace.left_out)
