"""The paper for the pits: boxes to tick and lines to write on, in the order in which they are typed in later."""

from collections.abc import Iterator

from msgspec import Struct

from lineage.reports import said
from lineage.reports.pages.methods import METHODS
from lineage.reports.pages.records import Line, Page, Verdict, tables
from lineage.reports.pages.spares import packing_table
from lineage.reports.pages.tables import Head, Table, table
from lineage.reports.views.form import InsideView, PitForm, PitSheetView, ThingView

HARMS = 3  # lines for damage, a bout


class PitSheet(Struct, frozen=True, kw_only=True):
    """One robot's sheet, in the order in which it is used: pack, inspect, fight, mend."""

    name: str
    robot: str
    build: str
    block: tuple[Line, ...]
    inspect: tuple[str, ...]
    measure: tuple[str, ...]
    packing: Table | None
    things: Table | None
    inside: tuple[Table, ...]
    choices: tuple[str, ...]
    fitted: str
    cautions: tuple[str, ...]


def form_page(view: PitForm) -> tuple[Page, tuple[PitSheet, ...]]:
    """What stands on the screen above the paper, and the paper."""
    robots = ", ".join(sheet.robot for sheet in view.sheets)
    page = Page(
        kind="Paper for the pits",
        title=view.title,
        block=(Line(name="event", said=view.event), Line(name="on", said=view.on)),
        verdict=Verdict(
            tone="open",
            word=f"Paper for {said.whole(len(view.sheets), 'robot')}",
            said=f"{robots}; each begins on a new page, A4 or Letter"
            if view.sheets
            else "no robot has a build yet",
        ),
        answers=(),
        cautions=(),
        sections=(),
        methods=METHODS,
    )
    return page, tuple(_sheet(sheet, view, number) for number, sheet in enumerate(view.sheets, 1))


def _sheet(sheet: PitSheetView, view: PitForm, number: int) -> PitSheet:
    return PitSheet(
        name=f"sheet-{number}",
        robot=sheet.robot,
        build=sheet.build,
        block=tuple(_block(sheet, view)),
        inspect=sheet.inspect,
        measure=tuple(f"{gap.fit}: {said.need(gap.need_mm)}" for gap in sheet.gaps),
        packing=packing_table(f"To pack, for {said.whole(view.bouts, 'bout')}", sheet.packing),
        things=_things("Ways in, by number", sheet.things),
        inside=tables(*(_inside(inside) for inside in sheet.inside)),
        choices=sheet.choices,
        fitted=sheet.fitted,
        cautions=sheet.cautions,
    )


def _block(sheet: PitSheetView, view: PitForm) -> Iterator[Line]:
    yield Line(name="event", said=f"{view.title}, {view.on}")
    yield Line(name="build", said=f"{sheet.robot}@{sheet.build}")
    if sheet.class_:
        yield Line(name=f"limit of {sheet.class_}", said=said.grams_alone(sheet.limit_g))
    yield Line(name="predicted", said=said.grams_alone(sheet.predicted_g))
    if sheet.weighed_g is not None:
        yield Line(name=f"weighed {sheet.weighed_on}", said=said.grams_alone(sheet.weighed_g))
    if sheet.size:
        yield Line(name="size", said=sheet.size)
    if view.turnaround_s is not None:
        yield Line(name="between bouts", said=said.duration(view.turnaround_s))


def _inside(inside: InsideView) -> Table | None:
    return _things(f"Inside {inside.module} ({', '.join(inside.places)})", inside.things)


def _things(caption: str, things: tuple[ThingView, ...]) -> Table | None:
    rows = [
        [
            f"{thing.number}  {thing.name}",
            "no way" if thing.screws is None else str(thing.screws),
            _seconds(thing),
            ", ".join(thing.first_off),
            ", ".join(thing.tools),
        ]
        for thing in things
    ]
    heads = [Head("no., thing", "ref"), Head("screws", "figure"), Head("off and back on", "word"),
             Head("first off"), Head("tools")]  # fmt: skip
    return table(caption, heads, rows)


def _seconds(thing: ThingView) -> str:
    return f"{said.duration(thing.seconds)}{' LATE' if thing.is_slow else ''}"
