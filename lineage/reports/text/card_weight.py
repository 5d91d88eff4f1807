"""The weight of a card as terminal text."""

from lineage.reports import said
from lineage.reports.text.layout import table, wrapped
from lineage.reports.views.card import Card, WeightView
from lineage.values.formatting import noun


def weight_text(card: Card) -> str:
    """Predicted, weighed, and what is left of the limit."""
    weight, lines = card.weight, []
    lines.append(f"predicted   {said.grams(weight.predicted_g)}")
    if weight.items_without_mass:
        known = weight.known_items
        whole = known + len(weight.items_without_mass)
        lines.append(wrapped(f"{known} of {said.whole(whole, 'thing')} {noun(whole, 'has', 'have')} a mass; not known: "
                             + ", ".join(weight.items_without_mass), " " * 12, " " * 12))  # fmt: skip
    if weight.usual_gap_g is not None:
        gap = weight.usual_gap_g
        lines.append(
            f"usual gap   {said.signed_grams(gap.value)} over {said.whole(gap.builds, 'weighed build')}"
            " (wire, tape, solder)"
        )
    if weight.measured_g is not None:
        lines.append(f"weighed     {said.grams(weight.measured_g)} on {weight.measured_on}")
    if card.class_ is not None:
        at = "" if card.class_.limit_at is None else f" at {card.class_.limit_at}"
        lines.append(f"limit       {said.grams_alone(card.class_.limit_g)} ({card.class_.name}{at})")
        lines.append(f"margin      {_margin(weight)}")
    if card.ballast_g is not None:
        ballast = said.grams_alone(abs(card.ballast_g))
        word = "up to" if card.ballast_g > 0 else "none: take off"
        lines.append(
            f"ballast     {word} {ballast}, for a chance of {said.likely(card.ballast_risk)} of being over"
        )
    if weight.normalised_error is not None and abs(weight.normalised_error) > 1:
        more = "heavier" if weight.normalised_error > 0 else "lighter"
        lines.append(wrapped(
            f"The scales say clearly {more} than the spec (normalised error {weight.normalised_error:.1f}).",
            " " * 12, " " * 12,
        ))  # fmt: skip
    if card.class_ is not None and card.class_.materials_against:
        against = ", ".join(card.class_.materials_against)
        lines.append(wrapped(f"materials   that the class does not allow: {against}", "", " " * 12))
    return "\n".join(lines)


def _margin(weight: WeightView) -> str:
    if weight.margin_g is None:
        return said.NOT_KNOWN
    margin = said.grams(weight.margin_g)
    over = weight.margin_g.value < 0
    text = f"{margin}  OVER THE LIMIT" if over else margin
    if weight.chance_over is not None:
        return f"{text}  chance of being over: {said.likely(weight.chance_over)}"
    return f"{text}\n            wire, tape and solder are not counted: no build of the class was weighed"


def choices_text(weight: WeightView) -> str:
    """What each choice weighs."""
    rows = [
        [f"{option}: {choice}", said.grams_alone(mass)]
        for option, masses in weight.choices.items()
        for choice, mass in masses.items()
    ]
    return table(["choice", "weighs"], rows, "lr")


def balance_text(weight: WeightView) -> str:
    """Where the centre of mass is, of what has a place."""
    if weight.balance is None:
        return ""
    x, y, z = (said.figure_mm(axis) for axis in weight.balance.centre_mm)
    whole = "" if weight.predicted_g is None else f" of {said.grams_alone(weight.predicted_g.value)}"
    known = said.grams_alone(weight.balance.known_mass_g)
    return f"centre of mass: forward {x}, left {y}, up {z}\nof {known}{whole} whose place is known"


def roles_text(weight: WeightView) -> str:
    """What each role weighs and may weigh."""
    may_be = weight.role_may_be or {}
    rows = [
        [role, said.grams_alone(mass), said.grams_alone(may_be[role].may_be_g) if role in may_be else ""]
        for role, mass in sorted(weight.by_role_g.items(), key=lambda item: -item[1])
    ]
    head = ["role", "weighs", "may be" if may_be else ""]
    return table(head, rows, "lrr")
