"""`lineage record`."""

import click

from lineage.cli import options
from lineage.cli.exits import DONE


@click.command(
    epilog='Example: lineage record avocet F --why "lead chafed through twice" --renamed lead=power-lead'
)
@click.argument("design", metavar="DESIGN")
@click.argument("label", metavar="LABEL")
@click.option("--why", metavar="TEXT", help="The reason for every change that has no note of its own.")
@click.option("--notes", "notes_file", metavar="FILE", help="A YAML list of notes on changes.")
@click.option(
    "--renamed", metavar="OLD=NEW", multiple=True, help="A thing that has another name now (repeatable)."
)
@click.option(
    "--described-better", metavar="REF", multiple=True, help="The same thing, only described better."
)
@click.option("--before", metavar="LABEL", help="The build that it was made from, if not the last.")
@options.on_day
@options.again
@options.dry_run
@options.as_json
@click.pass_obj
def command(folder: str, /, design: str, label: str, **asked: object) -> int:
    """Record the working files of a design as a build.

    The build is a folder of copies, committed with the files that it was made from and nothing else. It is never
    changed again.
    """
    from lineage.cli.recording import run  # noqa: PLC0415

    run(folder, design, label, asked)
    return DONE
