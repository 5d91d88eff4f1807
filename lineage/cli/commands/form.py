"""`lineage form`."""

import click

from lineage.cli.exits import DONE
from lineage.cli.options import html_file


@click.command(epilog="Example: lineage form 2025-04-05-mudflat-cup --html pits.html")
@click.argument("event", metavar="EVENT")
@click.argument("robots", metavar="[ROBOT …]", nargs=-1)
@click.option("--bouts", type=click.IntRange(1, 60), default=6, show_default=True, help="Room for so many.")
@html_file
@click.pass_obj
def command(folder: str, /, event: str, robots: tuple[str, ...], bouts: int, html_file: str | None) -> int:
    """Make the paper for the pits: limits, inspection, what to pack, ways in, and room to write, a sheet a robot.

    Without robots, one for each that is entered. It is a page to print: --html FILE.
    """
    from lineage.cli.output import write_page  # noqa: PLC0415
    from lineage.reports.to_html import form_html  # noqa: PLC0415
    from lineage.tasks.events import event_named  # noqa: PLC0415
    from lineage.tasks.form import form  # noqa: PLC0415
    from lineage.tasks.states import Asker  # noqa: PLC0415
    from lineage.tasks.workspace import open_family  # noqa: PLC0415

    if html_file is None:
        raise click.UsageError("this is paper: name the page to print with --html FILE")
    asker = Asker(open_family(folder))
    made = form_html(form(asker, event_named(asker.workspace, event), robots, bouts))
    write_page(html_file, made)
    return DONE
