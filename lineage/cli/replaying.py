"""`demo`: replays the sample family and writes its pages."""

import sys
from collections.abc import Sequence
from contextlib import redirect_stderr, redirect_stdout
from io import StringIO
from pathlib import Path

import click

from lineage.cli.output import say
from lineage.cli.site_building import build_site
from lineage.tasks.demo import Step, replay, steps
from lineage.values.formatting import count_of

PAGES = "pages"


def run_demo(folder: str, directory: str) -> None:
    """Makes the sample family in a folder, with all pages in its folder `pages`."""
    place = Path(folder, directory)
    total = len(steps())
    with click.progressbar(
        length=total, label="replaying", file=sys.stderr, hidden=not sys.stderr.isatty()
    ) as bar:

        def shown(_step: Step) -> None:
            bar.update(1)

        count = replay(place, lambda words: _run(place, words), shown)
    click.echo(f"{count_of(count, 'step')} replayed into {place}")
    site = build_site(place, place / PAGES)
    click.echo(f"begin with {site.first}")
    say(f"then try: cd {place} && lineage card avocet && lineage compare avocet")


def _run(place: Path, words: Sequence[str]) -> int:
    """One command line of the history, its output kept back unless it fails."""
    from lineage.cli.main import run  # noqa: PLC0415 - the table of commands is above this

    said = StringIO()
    with redirect_stdout(said), redirect_stderr(said):
        status = run(["-C", str(place), *words])
    if status:
        say(said.getvalue())
    return status
