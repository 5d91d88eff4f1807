"""`lineage backup`."""

import click

from lineage.cli.exits import DONE
from lineage.values.formatting import count_of


@click.command(epilog="Example: lineage backup /media/stick")
@click.argument("directory", metavar="DIR")
@click.option(
    "--check", "is_check", is_flag=True, help="DIR is a copy made before: open it and count what is in it."
)
@click.pass_obj
def command(folder: str, /, directory: str, *, is_check: bool) -> int:
    """Write a safety copy of the whole family, history included, and open it to see that it is whole."""
    from pathlib import Path  # noqa: PLC0415

    from lineage.archive.backup import check_backup, make_backup  # noqa: PLC0415
    from lineage.archive.git import find_repository  # noqa: PLC0415
    from lineage.cli.output import say  # noqa: PLC0415
    from lineage.tasks.workspace import open_family  # noqa: PLC0415

    if is_check:
        commits, refs = check_backup(Path(directory))
        click.echo(f"{directory} is whole: {count_of(commits, 'commit')}, {', '.join(refs)}")
        return DONE
    workspace = open_family(folder)
    made = make_backup(find_repository(workspace.root), Path(directory), workspace.root.name)
    click.echo(f"copied and looked through: {made.file}, {count_of(made.commits, 'commit')}")
    for path in made.left_out:
        say(f"not in it, because it is not committed: {path}")
    return DONE
