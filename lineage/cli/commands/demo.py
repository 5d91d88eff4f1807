"""`lineage demo`."""

import click

from lineage.cli.exits import DONE


@click.command(epilog="Example: lineage demo waders")
@click.argument("directory", metavar="[DIR]", default="lineage-demo")
@click.pass_obj
def command(folder: str, /, directory: str) -> int:
    """Replay the sample family into a new git repository and write all its pages.

    An invented workshop with four robots, three seasons and five events.
    """
    from lineage.cli.replaying import run_demo  # noqa: PLC0415

    run_demo(folder, directory)
    return DONE
