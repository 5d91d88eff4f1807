"""Pages: a view → one self-contained HTML file. The only door to Jinja2.

Style and pictures stand inside the page; it needs no script and asks nothing of anywhere.
"""

import base64
import re
from collections.abc import Mapping, Sequence
from functools import cache
from hashlib import sha256
from typing import TYPE_CHECKING, Any

from lineage.drawings.sketch import Sketch
from lineage.problems import BadInput
from lineage.reports.assets import templates
from lineage.reports.charts.plates import Overlay, PlatePicture
from lineage.reports.pages.card import card_page
from lineage.reports.pages.check import check_page
from lineage.reports.pages.compare import compare_page
from lineage.reports.pages.family import family_page
from lineage.reports.pages.form import HARMS, form_page
from lineage.reports.pages.history import history_page
from lineage.reports.pages.lessons import lessons_page
from lineage.reports.pages.records import Page
from lineage.reports.pages.site import unreadable_page
from lineage.reports.pages.spares import spares_page
from lineage.reports.pages.todo import todo_page
from lineage.reports.text.layout import safe
from lineage.reports.views.card import Card
from lineage.reports.views.check import Check
from lineage.reports.views.compare import Compare
from lineage.reports.views.family import FamilyView
from lineage.reports.views.form import PitForm
from lineage.reports.views.history import History
from lineage.reports.views.lessons import Lessons
from lineage.reports.views.spares import Spares
from lineage.reports.views.todo import Todo

if TYPE_CHECKING:
    import jinja2

_WHITE = {ord(c): " " for c in "\n\r\t"}


def card_html(view: Card, *, plates: Sequence[PlatePicture] = ()) -> str:
    """A build card, with the plans of its plates where they are given."""
    return drawn("card.html.j2", card_page(view, plates))


def compare_html(view: Compare, *, overlays: Sequence[Overlay] = ()) -> str:
    """States side by side, with plates before and after where they are given."""
    return drawn("compare.html.j2", compare_page(view, overlays))


def check_html(view: Check, *, family: str, sketches: Mapping[str, Sketch]) -> str:
    """All problems, with pictures of the drawings that are refused."""
    return drawn("check.html.j2", check_page(view, family, sketches))


def refused_html(title: str, kind: str, error: BadInput, sketches: Mapping[str, Sketch]) -> str:
    """In place of a page that cannot be made: why, and where in a drawing."""
    return drawn("unreadable.html.j2", unreadable_page(title, kind, error, sketches))


def lessons_html(view: Lessons) -> str:
    """The report after an event."""
    return drawn("lessons.html.j2", lessons_page(view))


def todo_html(view: Todo) -> str:
    """A work list, with boxes to tick."""
    return drawn("todo.html.j2", todo_page(view))


def history_html(view: History) -> str:
    """The builds of a design."""
    return drawn("history.html.j2", history_page(view))


def family_html(view: FamilyView) -> str:
    """The whole family."""
    return drawn("family.html.j2", family_page(view))


def spares_html(view: Spares) -> str:
    """A robot's box."""
    return drawn("spares.html.j2", spares_page(view))


def form_html(view: PitForm) -> str:
    """The paper for the pits."""
    page, sheets = form_page(view)
    return drawn("form.html.j2", page, sheets=sheets, bouts=view.bouts, harms=HARMS)


def drawn(template: str, page: Page, **more: Any) -> str:
    """A page by its template; what a site adds (links, rows of links around, a script) is left out where not given."""
    return _environment().get_template(template).render(page=page, **more)


@cache
def _environment() -> "jinja2.Environment":
    import jinja2  # noqa: PLC0415 - only pages need it

    made = jinja2.Environment(
        loader=jinja2.FileSystemLoader(templates()),
        autoescape=True,
        undefined=jinja2.StrictUndefined,
        finalize=_shown,
        trim_blocks=True,
        lstrip_blocks=True,
        auto_reload=False,
    )
    # The one text that goes in unescaped is our own: the style sheet, without what only its reader wants.
    made.filters["lines"] = _lines
    style = _tight((templates() / "style.css").read_text(encoding="utf-8"))
    made.globals |= {"style": _markup(style), "style_hash": _hash(style)}
    made.globals |= {"links": {}, "around": (), "script": "", "script_hash": ""}
    return made


def _markup(text: str) -> Any:
    import markupsafe  # noqa: PLC0415 - comes with Jinja2

    return markupsafe.Markup(text)  # noqa: S704 - the style sheet of the package


def _hash(text: str) -> str:
    """How a content security policy names the one style sheet or script that may stand in a page."""
    return f"sha256-{base64.b64encode(sha256(text.encode()).digest()).decode()}"


def _tight(css: str) -> str:
    """A style sheet without comments and indents."""
    bare = re.sub(r"/\*.*?\*/", "", css, flags=re.DOTALL)
    return "\n".join(line.strip() for line in bare.splitlines() if line.strip())


def search_script() -> dict[str, str]:
    """The one script that a site has, and its name for the content security policy."""
    script = "\n".join(
        line.strip() for line in (templates() / "search.js").read_text(encoding="utf-8").splitlines()
    )
    return {"script": _markup(script), "script_hash": _hash(script)}


def _lines(text: str) -> Any:
    """A text whose lines stay lines, escaped; every other text of a page is one line."""
    import markupsafe  # noqa: PLC0415 - comes with Jinja2

    return markupsafe.Markup("\n").join(safe(line) for line in text.split("\n"))


def _shown(value: Any) -> Any:
    """What a template puts out: texts without what could turn the reading direction, places in short."""
    if isinstance(value, float):
        return f"{value:g}"
    if type(value) is str and not value.isprintable():
        return safe(value.translate(_WHITE))
    return value
