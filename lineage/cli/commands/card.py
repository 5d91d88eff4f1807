"""`lineage card`."""

import click

from lineage.cli import options
from lineage.cli.exits import DONE
from lineage.cli.forms import refusals_drawn, shown


@click.command(epilog="Example: lineage card avocet@B --for 2024-04-20-spring-tide")
@click.argument("design", metavar="DESIGN[@BUILD]")
@options.for_event
@options.choices
@options.alterations
@options.risk
@options.close_ups
@options.answer_forms
@click.pass_obj
def command(
    folder: str,
    /,
    design: str,
    for_event: str | None,
    choices: tuple[str, ...],
    alterations: tuple[str, ...],
    risk: float,
    way: str | None,
    fit: str | None,
    **forms: str | bool | None,
) -> int:
    """Show one build: weight against its limit, fits, ways in, failures, snags.

    DESIGN alone, or DESIGN@now, is the working file; DESIGN@git:REV the state in a commit.
    --with side.count=3 --with side.stock=pc-2 answers for a changed spec; drive-pod.motor.mass="40 g"
    changes a module in all its places, drive-left.motor.mass in one; tail= leaves something out.
    """
    from lineage.tasks.card import card  # noqa: PLC0415
    from lineage.tasks.events import event_named  # noqa: PLC0415
    from lineage.tasks.pictures import card_pictures  # noqa: PLC0415
    from lineage.tasks.states import Asker  # noqa: PLC0415
    from lineage.tasks.what_if import with_alterations  # noqa: PLC0415
    from lineage.tasks.workspace import open_family  # noqa: PLC0415

    asker = Asker(open_family(folder))
    state = with_alterations(asker.state(design, options.pairs(choices, "--choice")), alterations)
    event = event_named(asker.workspace, for_event) if for_event else None
    with refusals_drawn("Build card", str(state), forms["html_file"]):
        view = card(state, event, risk)
    if way is None and fit is None:
        return shown("card", view, forms, lambda: card_pictures(state), asker.workspace.left_out)
    if any(forms.values()):
        raise click.UsageError(
            "--way and --fit are for the terminal; --json and --html hold every way and chain"
        )
    from lineage.reports.text.close_up import close_up_text  # noqa: PLC0415

    click.echo(close_up_text(view, way=way, fit=fit), nl=False)
    return DONE
