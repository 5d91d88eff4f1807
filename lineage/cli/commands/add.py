"""`lineage add`."""

import click

from lineage.cli import options
from lineage.cli.exits import DONE
from lineage.cli.output import say


@click.group(epilog="Example: lineage add robot avocet --parts parts.csv")
def command() -> None:
    """Add a robot, a module, an event or a lesson: one new file to go on with."""


def _tell(added: object, *, dry_run: bool) -> int:
    from lineage.tasks.add import Added  # noqa: PLC0415

    assert isinstance(added, Added)
    click.echo(f"{'would write' if dry_run else 'written'}: {added.path}")
    if dry_run:
        click.echo(added.content, nl=False)
    for text in added.said:
        say(text)
    return DONE


_LIKE = click.option("--like", metavar="DESIGN", help="Begin with a copy of that design's working file.")
_PARTS = click.option(
    "--parts", metavar="FILE.csv", help="Begin with a parts list: name, count and mass columns."
)


def _design(folder: str, kind: str, name: str, like: str | None, parts: str | None, *, dry_run: bool) -> int:
    from lineage.cli.recording import read_file  # noqa: PLC0415
    from lineage.tasks.add import add_design  # noqa: PLC0415
    from lineage.tasks.workspace import open_family  # noqa: PLC0415

    if like is not None and parts is not None:
        raise click.UsageError("--like and --parts: one of the two")
    data = read_file(parts) if parts is not None else None
    added = add_design(
        open_family(folder), kind, name, like=like, parts=data, parts_file=parts or "", dry_run=dry_run
    )
    return _tell(added, dry_run=dry_run)


@command.command(epilog="Example: lineage add robot knot --like avocet")
@click.argument("name")
@_LIKE
@_PARTS
@options.dry_run
@click.pass_obj
def robot(folder: str, /, name: str, like: str | None, parts: str | None, *, dry_run: bool) -> int:
    """The next robot."""
    return _design(folder, "robot", name, like, parts, dry_run=dry_run)


@command.command(epilog="Example: lineage add module drive-pod --parts pod.csv")
@click.argument("name")
@_LIKE
@_PARTS
@options.dry_run
@click.pass_obj
def module(folder: str, /, name: str, like: str | None, parts: str | None, *, dry_run: bool) -> int:
    """The next module."""
    return _design(folder, "module", name, like, parts, dry_run=dry_run)


@command.command(epilog='Example: lineage add event 2026-05-01-may-meeting --title "May meeting"')
@click.argument("name", metavar="YYYY-MM-DD-NAME")
@click.option("--title", metavar="TEXT", help="What it is called.")
@options.dry_run
@click.pass_obj
def event(folder: str, /, name: str, title: str | None, *, dry_run: bool) -> int:
    """A competition day."""
    from lineage.tasks.add import add_event  # noqa: PLC0415
    from lineage.tasks.workspace import open_family  # noqa: PLC0415

    return _tell(add_event(open_family(folder), name, title, dry_run=dry_run), dry_run=dry_run)


@command.command(epilog='Example: lineage add lesson strip-gears "Brass gears strip when the wheel is held"')
@click.argument("name")
@click.argument("text")
@options.dry_run
@click.pass_obj
def lesson(folder: str, /, name: str, text: str, *, dry_run: bool) -> int:
    """What an event or a snag taught, in one line."""
    from lineage.tasks.add import add_lesson  # noqa: PLC0415
    from lineage.tasks.workspace import open_family  # noqa: PLC0415

    return _tell(add_lesson(open_family(folder), name, text, dry_run=dry_run), dry_run=dry_run)
