"""How the answers of `card`, `compare`, `lessons` and `todo` are shown: one table of renderers."""

from collections.abc import Callable, Mapping
from importlib import import_module
from typing import Any

from lineage.cli.exits import DONE
from lineage.cli.output import answer


def shown(name: str, view: Any, forms: Mapping[str, Any]) -> int:
    """Shows a view in the form that was asked for; each renderer is loaded only when it is."""

    def rendered(module: str, function: str) -> Callable[[], str]:
        return lambda: str(getattr(import_module(f"lineage.reports.{module}"), function)(view))

    answer(
        view,
        text=rendered(f"text.{name}", f"{name}_text"),
        html=rendered("to_html", f"{name}_html"),
        csv=rendered("to_csv", f"{name}_csv"),
        **forms,
    )
    return DONE
