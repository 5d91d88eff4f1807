"""`lineage guide`."""

import click

from lineage.cli.exits import DONE


@click.command(epilog="Example: lineage guide comparison")
@click.argument("topic", metavar="[TOPIC]", required=False)
def command(topic: str | None) -> int:
    """Read the guide: the first family, when to record, logging, reading what is shown, how figures are made.

    Without a topic it lists them.
    """
    from lineage.reports.text.guide import guide_text, topics_text  # noqa: PLC0415
    from lineage.tasks import guide  # noqa: PLC0415

    shown = topics_text(guide.topics(), guide.ABOUT) if topic is None else guide_text(guide.topic(topic))
    click.echo(shown, nl=False)
    return DONE
