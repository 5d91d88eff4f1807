"""How the answers of `card`, `compare`, `lessons` and `todo` are shown: one table of renderers."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from importlib import import_module
from typing import Any

from lineage.cli.exits import DONE
from lineage.cli.output import answer, write_page
from lineage.problems import BadInput, Problem

Pictures = Callable[[], Mapping[str, Any]]
LeftOut = Mapping[str, Sequence[Problem]]


def shown(
    name: str, view: Any, forms: Mapping[str, Any], pictures: Pictures = dict, left_out: LeftOut | None = None
) -> int:
    """Shows a view in the form that was asked for; each renderer is loaded only when it is.

    `pictures` makes what a page shows beside its view: plates, old and new overlaid. `left_out` is what could not be
    read, by file: people are told on stderr as it is met, programs in the answer.
    """

    def rendered(module: str, function: str, more: Pictures = dict) -> Callable[[], str]:
        return lambda: str(getattr(import_module(f"lineage.reports.{module}"), function)(view, **more()))

    answer(
        view,
        text=rendered(f"text.{name}", f"{name}_text"),
        html=rendered("to_html", f"{name}_html", pictures),
        csv=rendered("to_csv", f"{name}_csv"),
        left_out=left_out,
        **forms,
    )
    return DONE


@contextmanager
def refusals_drawn(kind: str, title: str, html_file: object) -> Iterator[None]:
    """Where a page was asked for and a drawing is refused, the page shows why and where before the error goes on."""
    try:
        yield
    except BadInput as error:
        from lineage.tasks.drawings import sketches_of  # noqa: PLC0415 - only where something is wrong

        if html_file is not None and sketches_of(error):
            from lineage.reports.to_html import refused_html  # noqa: PLC0415 - likewise

            write_page(str(html_file), refused_html(title, kind, error, sketches_of(error)))
        raise
