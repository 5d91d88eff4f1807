"""`lineage site`."""

import click

from lineage.cli.exits import BAD_NEWS, DONE


@click.command(epilog="Example: lineage site pages")
@click.argument("out", metavar="OUT")
@click.option("--open", "open_it", is_flag=True, help="Open the first page in your browser.")
@click.pass_obj
def command(folder: str, /, out: str, *, open_it: bool) -> int:
    """Write all pages of the family into the folder OUT, linked together, with a search.

    Only what changed is written again. The pages need no network and no server.
    """
    from lineage.cli.site_building import build_site  # noqa: PLC0415

    site = build_site(folder, out)
    if open_it:
        import webbrowser  # noqa: PLC0415

        webbrowser.open(site.first.resolve().as_uri())
    return BAD_NEWS if site.is_lacking else DONE
