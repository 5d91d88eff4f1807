"""`lineage check`."""

import click

from lineage.cli import options
from lineage.cli.exits import BAD_NEWS, DONE


@click.command(epilog="Example: lineage check --strict")
@click.option("--strict", is_flag=True, help="A robot over its limit or a missed need is bad news too.")
@options.as_json
@click.pass_obj
def command(folder: str, /, *, strict: bool, as_json: bool) -> int:
    """Say everything that is wrong with the files of a family, all at once.

    Each problem has its file, line and column, what was found, what is wanted and how to mend it.
    """
    from lineage.cli.output import show_problems  # noqa: PLC0415
    from lineage.reports.views.check import check_view  # noqa: PLC0415
    from lineage.tasks.check import check  # noqa: PLC0415
    from lineage.tasks.workspace import open_family  # noqa: PLC0415

    problems = check(open_family(folder), strict=strict)
    if as_json:
        from lineage.reports.to_json import as_text  # noqa: PLC0415

        click.echo(as_text(check_view(problems)))
    elif problems:
        show_problems(problems, err=False)
    else:
        click.echo("Nothing wrong.")
    return BAD_NEWS if any(problem.level == "error" for problem in problems) else DONE
