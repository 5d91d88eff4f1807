"""The worked-out state of a lesson."""

from typing import Literal

from lineage.evidence.verdicts import HELPED, Verdict

State = Literal[
    "dropped", "unanswered", "in next build", "trying", "holding", "less often", "came back"
]  # fmt: skip


def state_of(
    *, is_dropped: bool, is_answered: bool, is_only_drawn: bool, failures_since: int, verdict: Verdict | None
) -> State:
    """The state of a lesson, never typed.

    In this order: dropped; unanswered (nothing done, or nothing it is about); in next build (only the working files
    have it); then by failures since it was done: none: holding where the counts say that it helped, else trying;
    some: less often where they do, else came back.
    Source: this project's rule.
    """
    if is_dropped:
        return "dropped"
    if not is_answered:
        return "unanswered"
    if is_only_drawn:
        return "in next build"
    if failures_since:
        return "less often" if verdict == HELPED else "came back"
    return "holding" if verdict == HELPED else "trying"
