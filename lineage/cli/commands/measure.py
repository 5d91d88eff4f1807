"""`lineage measure`."""

import click

from lineage.cli import options
from lineage.cli.exits import DONE


@click.command(
    context_settings={"ignore_unknown_options": True},
    epilog="Examples: lineage measure avocet mass 1352 g --scale bench    lineage measure avocet gap "
    "--of deck-over-battery 1.2 mm    lineage measure avocet trial --of self-right --passed 7/10",
)
@click.argument("design", metavar="DESIGN")
@click.argument("words", metavar="KIND READING …", nargs=-1, type=click.UNPROCESSED)
@click.option(
    "--of", "of", metavar="WHAT", multiple=True, help="Thing, fit or reading (repeatable for masses)."
)
@click.option("--role", metavar="ROLE", help="All things of a role lay on the scale.")
@click.option(
    "--except", "except_", metavar="REF", multiple=True, help="All but this lay on the scale (repeatable)."
)
@click.option("--scale", metavar="NAME", help="A scale of family.yaml.")
@click.option("--count", metavar="N", help="How many pieces lay on the scale.")
@options.choices
@click.option("--better", metavar="more|less", help="Which way is better.")
@click.option("--passed", metavar="K/N", help="Of a trial: passed of tries.")
@click.option("--who", metavar="NAME", help="Who measured.")
@options.logging
@click.pass_obj
def command(folder: str, /, design: str, words: tuple[str, ...], **asked: object) -> int:
    """Log a weighing, gap, service time, bench reading or trial.

    KIND is mass, gap, service, bench or trial. Readings follow, number and unit apart or together.
    """
    from lineage.cli.logging_lines import measure  # noqa: PLC0415

    measure(folder, design, words, asked)
    return DONE
