"""The command line: a table of commands, each loaded when it is called, and the one place that catches."""

import sys
from importlib import import_module
from typing import NoReturn

import click

from lineage.cli.exits import BAD_INPUT, INTERRUPTED, OUR_FAULT
from lineage.version import __version__

# name → one line of help; the module of the same name under cli/commands holds `command`
COMMANDS = {
    "demo": "Replay the sample family and write all its pages.",
    "start": "Begin a new family in a folder.",
    "add": "Add a robot, a module, an event or a lesson.",
    "check": "Say everything that is wrong with the files of a family.",
    "record": "Record the working files of a design as a build.",
    "measure": "Log a weighing, gap, service time, bench reading or trial.",
    "bout": "Log a bout and what broke in it.",
    "snag": "Log trouble away from a bout.",
    "card": "Show one build: weight, fits, ways in, failures.",
    "compare": "Lay two to five builds or siblings side by side.",
    "history": "Show the builds of a design in order.",
    "family": "Show the whole family, and who lags.",
    "lessons": "Turn an event into lessons and work.",
    "todo": "List what to cut, buy, rework, keep and scrap.",
    "spares": "Say what to pack for the next bouts.",
    "form": "Print the paper for the pits of an event.",
    "site": "Write all pages of the family, linked, with a search.",
    "guide": "How to: the first family, logging, reading what is shown.",
    "schema": "Print the JSON schema of a kind of file.",
    "backup": "Write a safety copy of the whole family.",
}


class _Table(click.Group):
    """Commands by name; `--help` of the whole loads none of them."""

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 - the signature is click's
        return list(COMMANDS)

    def get_command(self, ctx: click.Context, cmd_name: str) -> click.Command | None:  # noqa: ARG002
        if cmd_name not in COMMANDS:
            return None
        command = import_module(f"lineage.cli.commands.{cmd_name}").command
        assert isinstance(command, click.Command)
        return command

    def format_commands(self, ctx: click.Context, formatter: click.HelpFormatter) -> None:  # noqa: ARG002
        with formatter.section("Commands"):
            formatter.write_dl(list(COMMANDS.items()))


@click.group(
    cls=_Table,
    context_settings={"help_option_names": ["-h", "--help"], "max_content_width": 80},
    epilog="Example: lineage -C my-robots card avocet",
)
@click.option(
    "-C", "folder", metavar="DIR", default=".", help="The folder of the family (else this one, and upwards)."
)
@click.version_option(__version__, prog_name="lineage")
@click.pass_context
def lineage(ctx: click.Context, folder: str) -> None:
    """Design revisions of small competition robots.

    Keep what each build is made of; know what it weighs, whether it fits and how fast it comes apart; log what
    was measured and what broke; see what changed and whether it helped.
    """
    ctx.obj = folder


def main() -> NoReturn:
    """Runs the command line; every way out of it is here."""
    sys.exit(run(sys.argv[1:]))


def run(arguments: list[str]) -> int:
    """The exit status of one call."""
    try:
        status = lineage.main(arguments, prog_name="lineage", standalone_mode=False)
    except click.exceptions.Abort:
        return INTERRUPTED
    except KeyboardInterrupt:
        return INTERRUPTED
    except click.ClickException as error:
        error.show()
        return BAD_INPUT
    except BrokenPipeError:
        return _broken_pipe()
    except Exception as error:  # noqa: BLE001 - the one place that catches
        return _failed(error, arguments)
    return status if isinstance(status, int) else 0


def _broken_pipe() -> int:
    """The reader of our output went away; nothing more can be said to it."""
    sys.stderr.close()
    return 0


def _failed(error: Exception, arguments: list[str]) -> int:
    from lineage.problems import LineageError  # noqa: PLC0415 - only needed when something failed

    if isinstance(error, LineageError):
        from lineage.cli.output import show_error  # noqa: PLC0415

        show_error(error)
        return BAD_INPUT
    from lineage.cli.report import show_report  # noqa: PLC0415

    show_report(error, arguments)
    return OUR_FAULT
