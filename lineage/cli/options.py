"""Each shared option once."""

from collections.abc import Callable
from typing import Any

import click

Decorated = Callable[..., Any]


def _all(*decorators: Callable[[Decorated], Decorated]) -> Callable[[Decorated], Decorated]:
    def decorate(function: Decorated) -> Decorated:
        for decorator in reversed(decorators):
            function = decorator(function)
        return function

    return decorate


as_json = click.option("--json", "as_json", is_flag=True, help="Answer as one JSON object.")
html_file = click.option("--html", "html_file", metavar="FILE", help="Write a page to FILE (- for stdout).")
csv_file = click.option("--csv", "csv_file", metavar="FILE", help="Write a table to FILE (- for stdout).")
answer_forms = _all(as_json, html_file, csv_file)

for_event = click.option("--for", "for_event", metavar="EVENT", help="Limits and inspection of that event.")
choices = click.option(
    "--choice",
    "choices",
    metavar="OPTION=CHOICE",
    multiple=True,
    help="With this choice fitted (repeatable).",
)
alterations = click.option(
    "--with", "alterations", metavar="REF.KEY=VALUE", multiple=True,
    help="What would be, were the spec so (repeatable); nothing is written.",
)  # fmt: skip
close_ups = _all(
    click.option("--way", metavar="REF", help="Only the way in to REF, step by step."),
    click.option("--fit", metavar="NAME", help="Only the chain of the fit NAME, term by term."),
)


def _share(_context: click.Context, _parameter: click.Parameter, given: str) -> float:
    """`5%` as 0.05."""
    number = given.strip().removesuffix("%").strip()
    try:
        percent = float(number) if given.strip().endswith("%") else 0.0
    except ValueError:
        percent = 0.0
    if not 0 < percent < 100:
        raise click.BadParameter(f"{given}: a share above 0 % and below 100 % is wanted, such as 2%")
    return percent / 100


risk = click.option(
    "--risk", metavar="PERCENT", default="5%", callback=_share,
    help="The chance of being over that ballast may bring, 5% if not said.",
)  # fmt: skip
dry_run = click.option("--dry-run", is_flag=True, help="Say what would be written, write nothing.")
no_commit = click.option("--no-commit", is_flag=True, help="Keep it in the file, make no commit.")
again = click.option("--again", is_flag=True, help="Even though the same stands there already.")
on_day = click.option("--on", "on", metavar="DATE", help="The day it was (YYYY-MM-DD), else today.")

# what measure, bout and snag have in common
logging = _all(
    on_day,
    click.option("--build", metavar="LABEL", help="The build it was, if not the one that the dates say."),
    click.option("--event", metavar="EVENT", help="The event it was at, if not the one that is on."),
    click.option("--note", metavar="TEXT", help="Anything else worth keeping."),
    click.option(
        "--instead-of", metavar="ID", help="Corrects the entry with this ID (`last`: the last line)."
    ),
    click.option(
        "--withdraw", metavar="ID", help="Strikes the entry with this ID out (`last`: the last line)."
    ),
    click.option("--from", "from_file", metavar="FILE", help="Take a YAML list of entries from FILE."),
    again,
    dry_run,
    no_commit,
    as_json,
)


def pairs(given: tuple[str, ...], option: str) -> dict[str, str]:
    """`A=B` texts as a mapping; anything else is asked wrongly."""
    found = {}
    for text in given:
        name, equals, value = text.partition("=")
        if not equals or not name.strip() or not value.strip():
            raise click.UsageError(f"{option} {text}: write it as NAME=VALUE")
        found[name.strip()] = value.strip()
    return found
