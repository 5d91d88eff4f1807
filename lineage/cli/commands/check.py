"""`lineage check`."""

import click

from lineage.cli import options
from lineage.cli.exits import BAD_NEWS, DONE


@click.command(epilog="Example: lineage check --strict")
@click.option("--strict", is_flag=True, help="A robot over its limit or a missed need is bad news too.")
@options.as_json
@options.html_file
@click.pass_obj
def command(folder: str, /, *, strict: bool, as_json: bool, html_file: str | None) -> int:
    """Say everything that is wrong with the files of a family, all at once.

    Each problem has its file, line and column, what was found, what is wanted and how to mend it.
    The page of --html shows where in a drawing that is refused.
    """
    from lineage.cli.output import show_problems  # noqa: PLC0415
    from lineage.reports.views.check import check_view  # noqa: PLC0415
    from lineage.tasks.check import check  # noqa: PLC0415
    from lineage.tasks.workspace import open_family  # noqa: PLC0415

    workspace = open_family(folder)
    problems = check(workspace, strict=strict)
    if html_file is not None:
        from lineage.cli.output import write_page  # noqa: PLC0415
        from lineage.reports.to_html import check_html  # noqa: PLC0415
        from lineage.tasks.pictures import check_pictures  # noqa: PLC0415

        write_page(html_file, check_html(check_view(problems), **check_pictures(workspace)))
    elif as_json:
        from lineage.reports.to_json import as_text  # noqa: PLC0415

        click.echo(as_text(check_view(problems)))
    elif problems:
        show_problems(problems, err=False)
    else:
        click.echo("Nothing wrong.")
    return BAD_NEWS if any(problem.level == "error" for problem in problems) else DONE
