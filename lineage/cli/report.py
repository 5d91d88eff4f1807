"""What is shown for a fault of ours: a report ready to paste."""

import platform
import shlex
import sys
import traceback

import click

from lineage.version import __version__


def show_report(error: Exception, arguments: list[str]) -> None:
    """Writes the report to stderr; it holds the call and where the program failed, nothing of the family."""
    frames = traceback.extract_tb(error.__traceback__)
    lines = [f"  {_short(frame.filename)}:{frame.lineno} in {frame.name}" for frame in frames[-12:]]
    click.echo("This is a fault of lineage, not of your files. Nothing half-done was kept.", err=True)
    click.echo("Please report it with these lines:", err=True)
    click.echo(f"  lineage {__version__}, Python {platform.python_version()}, {sys.platform}", err=True)
    click.echo(f"  lineage {shlex.join(arguments)}", err=True)
    click.echo("\n".join(lines), err=True)
    click.echo(f"  {type(error).__name__}: {error}", err=True)


def _short(path: str) -> str:
    """From the package on: the rest is the reporter's own affair."""
    _, found, rest = path.rpartition("lineage/")
    return found + rest if found else path.rpartition("/")[2]
