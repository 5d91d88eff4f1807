"""Answers to stdout, everything else to stderr; one choice of form."""

import sys
from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any

import click

from lineage.problems import AskedWrongly, BadInput, LineageError, Problem
from lineage.values.formatting import count_of


def answer(
    view: Any,
    *,
    text: Callable[[], str],
    html: Callable[[], str],
    csv: Callable[[], str],
    left_out: Mapping[str, Sequence[Problem]] | None,
    as_json: bool,
    html_file: str | None,
    csv_file: str | None,
) -> None:
    """Shows a view in the form that was asked for: `--json`, `--html FILE`, `--csv FILE`, else text."""
    if html_file is not None:
        _write(html_file, html(), "page")
    if csv_file is not None:
        _write(csv_file, csv(), "table")
    if as_json:
        from lineage.reports.to_json import as_text  # noqa: PLC0415 - only for machines

        click.echo(as_text(view, left_out))
    elif html_file is None and csv_file is None:
        click.echo(text(), nl=False)


def write_page(name: str, content: str) -> None:
    """A page into a file, `-` for stdout."""
    _write(name, content, "page")


def _write(name: str, content: str, what: str) -> None:
    if name == "-":
        click.echo(content, nl=False)
        return
    try:
        Path(name).write_text(content, encoding="utf-8", newline="")
    except OSError as error:
        raise AskedWrongly(f"{name} cannot be written: {error.strerror}") from error
    click.echo(f"{what} written: {name}", err=True)


def say(text: str) -> None:
    """A line that is not the answer."""
    click.echo(text, err=True)


def is_terminal() -> bool:
    """Whether a person sits at both ends."""
    return sys.stdin.isatty() and sys.stderr.isatty()


def show_error(error: LineageError) -> None:
    """An error that is not ours, in full."""
    if isinstance(error, BadInput):
        show_problems(error.problems)
    elif isinstance(error, AskedWrongly):
        click.echo(f"lineage: {error.what}", err=True)
        if error.wanted:
            click.echo(f"  wanted: {error.wanted}", err=True)
        if error.mend:
            click.echo(f"  mend:   {error.mend}", err=True)
    else:
        click.echo(f"lineage: {error}", err=True)


def show_problems(problems: tuple[Problem, ...], *, err: bool = True) -> None:
    """Problems with file, line and column, the source line and a caret."""
    from lineage.reports.text.problems import problem_text  # noqa: PLC0415 - only when there are some

    for problem in problems:
        click.echo(problem_text(problem), err=err)
    errors = sum(problem.level == "error" for problem in problems)
    warnings = len(problems) - errors
    said = [count_of(n, word) for n, word in ((errors, "error"), (warnings, "warning")) if n]
    click.echo(", ".join(said), err=err)
