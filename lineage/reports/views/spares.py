"""What `spares` answers: what to pack for the next bouts of one robot."""

from msgspec import Struct

from lineage.reports.views.lessons import ConsumableView, PackView


class Spares(Struct, frozen=True, kw_only=True):
    """A robot's box."""

    format: int = 1
    design: str
    bouts: int
    packing: tuple[PackView, ...]
    chance_box_short: float | None
    basis: str
    cautions: tuple[str, ...] = ()
    consumables: tuple[ConsumableView, ...] = ()
