"""`lineage start`."""

import click

from lineage.cli import options
from lineage.cli.exits import DONE


@click.command(epilog='Example: lineage start my-robots --title "Garden shed robots"')
@click.argument("directory", metavar="[DIR]", default=".")
@click.option("--title", metavar="TEXT", help="What the family is called; else the folder's name.")
@options.dry_run
@click.pass_obj
def command(folder: str, /, directory: str, title: str | None, *, dry_run: bool) -> int:
    """Begin a new family in a folder: a git repository and a family.yaml that teaches its keys."""
    from pathlib import Path  # noqa: PLC0415

    from lineage.cli.output import say  # noqa: PLC0415
    from lineage.tasks.start import start  # noqa: PLC0415

    place = Path(folder, directory)
    started = start(place, title or place.resolve().name, dry_run=dry_run)
    click.echo(f"{'would begin' if dry_run else 'begun'}: {started.folder}")
    for path in started.paths:
        click.echo(f"  {path}")
    for text in started.said:
        say(text)
    say(f"next: lineage -C {started.folder} add robot NAME")
    return DONE
