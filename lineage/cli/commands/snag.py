"""`lineage snag`."""

import click

from lineage.cli import options
from lineage.cli.exits import DONE


@click.command(
    context_settings={"ignore_unknown_options": True},
    epilog='Example: lineage snag avocet "power-tray.box: glue let go, 2 h" --during assembling --fix taped',
)
@click.argument("design", metavar="DESIGN")
@click.argument("words", metavar='"PLACE: WHAT, TIME"', nargs=-1, type=click.UNPROCESSED)
@click.option("--during", metavar="STAGE", help="Cutting, wiring, assembling, testing, charging …")
@click.option("--took", metavar="TIME", help="What it cost in time.")
@click.option("--fix", metavar="TEXT", help="What was done about it.")
@click.option("--price", metavar="MONEY", help='What it cost in money, such as "12.50 EUR".')
@click.option("--who", metavar="NAME", help="Who met it.")
@options.logging
@click.pass_obj
def command(folder: str, /, design: str, words: tuple[str, ...], **asked: object) -> int:
    """Log trouble away from a bout: a glue that let go, a part put in the wrong way round."""
    from lineage.cli.logging_lines import snag  # noqa: PLC0415

    snag(folder, design, words, asked)
    return DONE
