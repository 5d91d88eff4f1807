"""A robot's box as terminal text."""

from collections.abc import Sequence

from lineage.reports import said
from lineage.reports.text.layout import bulleted, heading, safe, table, wrapped
from lineage.reports.views.lessons import ConsumableView, PackView
from lineage.reports.views.spares import Spares


def spares_text(view: Spares) -> str:
    """What to pack."""
    blocks = [f"{heading(f'{view.design}: to pack')}\n{wrapped(view.basis)}"]
    blocks.append(packing_table(view.packing) or "Nothing was ever used; nothing is known to pack.")
    if view.chance_box_short is not None:
        blocks.append(f"chance that anything in the box runs short: {said.percent(view.chance_box_short)}")
    if view.consumables:
        blocks.append(f"{heading('Consumables')}\n{consumables_table(view.consumables)}")
    if view.cautions:
        blocks.append(f"{heading('Cautions')}\n{bulleted(view.cautions)}")
    return "\n\n".join(blocks) + "\n"


def packing_table(packing: tuple[PackView, ...]) -> str:
    """Items, how many, the chance that they run short, what to do to a spare before the event."""
    rows = [
        [
            safe(item.item),
            said.NOT_KNOWN if item.quantity is None else str(item.quantity),
            "always travels"
            if item.always
            else ""
            if item.chance_short is None
            else said.percent(item.chance_short),
            safe("; ".join(item.rework)),
        ]
        for item in packing
    ]
    return table(["item", "pack", "may run short", "rework before"], rows, "wrrw")


def consumables_table(consumables: Sequence[ConsumableView]) -> str:
    """What mending eats, how many are in the robot, how many its log says were used."""
    rows = [
        [safe(c.what), "" if c.in_it is None else str(c.in_it), str(c.used or ""), safe(", ".join(c.at))]
        for c in consumables
    ]
    return table(["what", "in it", "used so far", "at"], rows, "wrrw")
