"""`lineage schema`."""

from typing import Literal, get_args

import click

from lineage.cli.exits import DONE

Kind = Literal["family", "robot", "module", "build", "results", "event", "bouts", "lesson"]


@click.command(epilog="Example: lineage schema robot > robot.schema.json")
@click.argument("kind", type=click.Choice(get_args(Kind)))
def command(kind: Kind) -> int:
    """Print the JSON schema of one kind of file, for editors that check while you type."""
    import json  # noqa: PLC0415

    from lineage.spec.schema import schema_for  # noqa: PLC0415

    click.echo(json.dumps(schema_for(kind), ensure_ascii=False, indent=2))
    return DONE
