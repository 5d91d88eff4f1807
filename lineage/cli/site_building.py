"""Writing the pages of a family, with a bar for those who wait at a terminal."""

import sys
from pathlib import Path

import click
from msgspec import Struct

from lineage.cli.output import say
from lineage.tasks.site import INDEX, Written, write_site
from lineage.values.formatting import count_of


class Site(Struct, frozen=True, kw_only=True):
    """Where it begins, and whether a page could not be made."""

    first: Path
    is_lacking: bool
    pages: int


def build_site(family: str | Path, out: str | Path) -> Site:
    """Writes the pages and says how many."""
    folder = Path(out)
    with click.progressbar(length=1, label="pages", file=sys.stderr, hidden=not sys.stderr.isatty()) as bar:

        def shown(done: int, of: int) -> None:
            bar.length = of
            bar.update(done - bar.pos)

        written = write_site(family, folder, shown)
    click.echo(f"{len(written.written)} of {count_of(len(written.pages), 'page')} written to {folder}")
    _tell(written)
    return Site(first=folder / INDEX, is_lacking=bool(written.unreadable), pages=len(written.pages))


def _tell(written: Written) -> None:
    for name, why in written.unreadable.items():
        say(f"{name} could not be made: {why}")
    if written.unreadable:
        say("lineage check says everything that is wrong")
