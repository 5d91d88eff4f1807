"""All pages of a family in one folder, linked together; only what changed is made again."""

from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import suppress
from functools import partial
from pathlib import Path

from msgspec import Struct, msgpack

from lineage.archive.ids import content_id
from lineage.archive.inputs import LOGGED, id_of, id_of_files, ids_of_files, inside
from lineage.archive.site_folder import LIST_FORMAT, Kept, PageList, SiteFolder
from lineage.archive.spool import Spool
from lineage.archive.two_hands import by_two, with_one_thread
from lineage.problems import AskedWrongly, BadInput
from lineage.reports.pages.records import Page
from lineage.reports.pages.site import Group, Listed, index_page, unreadable_page
from lineage.reports.site import address, ends_of, found_in, refuse_dead_links
from lineage.tasks.drawings import sketches_of
from lineage.tasks.edition import edition
from lineage.tasks.site_plan import Made, Plan, Planned, titles
from lineage.tasks.states import Asker
from lineage.tasks.workspace import Workspace, open_family

INDEX = "index.html"
Shown = Callable[[int, int], None]
"""Told how many pages are done, of how many."""


class Written(Struct, frozen=True, kw_only=True):
    """What came of it: all pages, those that were written, and why those are missing that could not be made."""

    pages: tuple[str, ...]
    written: tuple[str, ...]
    unreadable: Mapping[str, str] = {}


class _Done(Struct, frozen=True, kw_only=True):
    """A page as it passes from whoever made it; `lacking` says why it could not be made."""

    name: str
    kept: Kept
    data: bytes
    lacking: str | None


def write_site(family: str | Path, out: Path, shown: Shown = lambda _done, _of: None) -> Written:
    """Writes all pages of a family into a folder."""
    return _Site(open_family(family), out).write(shown)


class _Site:
    def __init__(self, workspace: Workspace, out: Path) -> None:
        self.workspace, self.out = workspace, out
        if out.resolve() == workspace.root.resolve():
            raise AskedWrongly(f"{out} is the family itself", "a folder for the pages", "lineage site pages")
        self.folder = SiteFolder(out)
        ids = ids_of_files(workspace.tree, inside(workspace.tree, out))
        self.inputs = {
            "program": edition(),
            "logged": id_of(edition(), id_of_files(ids, LOGGED)),
            "everything": id_of(edition(), id_of_files(ids)),
        }
        self.unreadable: dict[str, str] = {}

    def write(self, shown: Shown) -> Written:
        """Nothing is read where nothing changed."""
        listed = self.folder.listed
        whole = self.inputs["everything"]
        if listed.whole == whole and all(map(self.folder.is_as_listed, listed.pages)):
            return Written(pages=tuple(listed.pages), written=())
        plan = Plan(Asker(self.workspace))
        with Spool() as made:
            pages, ends = {}, {}
            for name, kept, data in self._pages(plan, shown):
                pages[name], ends[name] = kept, ends_of(data.decode())
                made.put(name, data)
            refuse_dead_links(ends)
            pages = {name: pages[name] for name in (*(planned.name for planned in plan.pages), INDEX)}
            # A page that could not be made is tried again: its cure may lie outside the family's files.
            new = PageList(format=LIST_FORMAT, whole="" if self.unreadable else whole, pages=pages)
            written = self.folder.write(made, new)
        return Written(pages=tuple(pages), written=written, unreadable=self.unreadable)

    def _pages(self, plan: Plan, shown: Shown) -> Iterator[tuple[str, Kept, bytes]]:
        found: dict[str, str] = {}
        total = len(plan.pages) + 1
        with with_one_thread(), suppress(AskedWrongly, BadInput):  # the page that it is for says so again
            _ = plan.family  # before the work is shared out: what is read for it both then have in common
        for done, result in enumerate(by_two(_blocks(plan.pages), partial(self._block, plan))):
            shown(done, total)
            page = msgpack.decode(result, type=_Done)
            if page.lacking is not None:
                self.unreadable[page.name] = page.lacking
            found[page.name] = page.kept.found
            yield page.name, page.kept, page.data
        shown(total - 1, total)
        kept, data = self._index(plan, found)
        yield INDEX, kept, data
        shown(total, total)

    def _block(self, plan: Plan, block: Sequence[Planned]) -> Iterator[bytes]:
        for planned in block:
            kept, data = self._page(plan, planned)
            lacking = self.unreadable.get(planned.name)
            yield msgpack.encode(_Done(name=planned.name, kept=kept, data=data, lacking=lacking))

    def _page(self, plan: Plan, planned: Planned) -> tuple[Kept, bytes]:
        """The page as it lies there where nothing of it changed, else made anew."""
        around = plan.around(planned)
        inputs = id_of(self.inputs[planned.inputs], repr(around), plan.links_id)
        kept = self.folder.listed.pages.get(planned.name)
        if kept is not None and kept.inputs == inputs and self.folder.is_as_listed(planned.name):
            data = self.folder.read(planned.name)
            assert data is not None
            return kept, data
        template, page, more = self._made(planned)
        data = _drawn(template, page, links=plan.links, around=around, **more)
        # One that could not be made is never taken for what its inputs give.
        inputs = "" if planned.name in self.unreadable else inputs
        return Kept(inputs=inputs, id=content_id(data), found=found_in(page)), data

    def _made(self, planned: Planned) -> Made:
        try:
            return planned.make()
        except (AskedWrongly, BadInput) as error:
            self.unreadable[planned.name] = str(error).partition("\n")[0]
            return (
                "unreadable.html.j2",
                unreadable_page(planned.title, planned.kind, error, sketches_of(error)),
                {},
            )

    def _index(self, plan: Plan, found: Mapping[str, str]) -> tuple[Kept, bytes]:
        page = self._index_page(plan)
        groups: dict[str, list[Listed]] = {}
        for planned in plan.pages:
            listed = Listed(
                href=address(planned.name), title=planned.title, kind=planned.kind, found=found[planned.name]
            )
            groups.setdefault(planned.group, []).append(listed)
        data = _drawn(
            "index.html.j2",
            page,
            links=plan.links,
            around=plan.around(None),
            listed=[Group(name=name, pages=tuple(pages)) for name, pages in groups.items()],
            with_search=True,
        )
        return Kept(inputs=self.inputs["everything"], id=content_id(data)), data

    def _index_page(self, plan: Plan) -> Page:
        try:
            return index_page(plan.family, titles(plan.events))
        except (AskedWrongly, BadInput) as error:
            self.unreadable[INDEX] = str(error).partition("\n")[0]
            return unreadable_page(self.workspace.family.title, "All pages", error)


def _blocks(pages: Sequence[Planned]) -> list[Sequence[Planned]]:
    """Pages in runs that are made together: neighbours are of one design, and what it is made of is read once."""
    run = min(24, max(4, len(pages) // 16))
    return [pages[at : at + run] for at in range(0, len(pages), run)]


def _drawn(template: str, page: Page, *, with_search: bool = False, **more: object) -> bytes:
    from lineage.reports.to_html import drawn, search_script  # noqa: PLC0415 - only where a page is made

    return drawn(template, page, **(search_script() if with_search else {}), **more).encode()
