"""`lineage bout`."""

import click

from lineage.cli import options
from lineage.cli.exits import DONE


@click.command(
    context_settings={"ignore_unknown_options": True},
    epilog='Examples: lineage bout avocet won 2:10    lineage bout avocet lost 1:35 --broke "drive-left.gearbox: '
    'teeth stripped, disabling, 12 min" --because "no drive on the left"',
)
@click.argument("robot", metavar="ROBOT")
@click.argument("words", metavar="OUTCOME [TIME]", nargs=-1, type=click.UNPROCESSED)
@click.option("--broke", metavar='"PLACE: WHAT"', multiple=True, help="What broke (repeatable).")
@click.option(
    "--found", metavar='"PLACE: WHAT"', multiple=True, help="Damage seen at strip-down (repeatable)."
)
@click.option("--because", metavar="TEXT", multiple=True, help="Why it was lost (repeatable).")
@click.option("--bout", "number", metavar="N", help="Its number, if not the next.")
@click.option("--how", metavar="TEXT", help="Knockout, decision, out of the ring …")
@click.option("--score", metavar="TEXT", help="The score.")
@click.option("--against", metavar="KIND", help="What kind of opponent.")
@click.option("--opponent", metavar="NAME", help="The opponent's name.")
@click.option("--not-fought", is_flag=True, help="Won or lost without a fight.")
@options.choices
@click.option("--setting", "settings", metavar="NAME=VALUE", multiple=True, help="A setting (repeatable).")
@click.option(
    "--read", "read", metavar="NAME=VALUE", multiple=True, help="Something read after it (repeatable)."
)
@click.option("--pit", metavar="TEXT", multiple=True, help="What was done or left in the pits (repeatable).")
@options.logging
@click.pass_obj
def command(folder: str, /, robot: str, words: tuple[str, ...], **asked: object) -> int:
    """Log a bout and what broke in it.

    OUTCOME is won, lost, drawn or unfinished; TIME how long it ran (2:10, 130 s). It goes to the event that is on
    today or ended in the last seven days, unless --event says otherwise.
    """
    from lineage.cli.logging_lines import bout  # noqa: PLC0415

    bout(folder, robot, words, asked)
    return DONE
