"""Which of two states is more serviceable: what the same failures cost a bout in the one and in the other."""

from collections import Counter
from collections.abc import Mapping

from lineage.figures.service import WayIn, service_load
from lineage.reports.views.compare import ServiceableView
from lineage.tasks.card import bouts_of
from lineage.tasks.differing import Step
from lineage.tasks.states import State
from lineage.tasks.steps import with_head


def serviceable(step: Step) -> ServiceableView | None:
    """Failures a bout over the bouts of both states, times the seconds of each way in before and after.

    None where neither state was fought with, or nothing that failed is in both with a known time.
    """
    names = step.pairing.names_before
    old = {with_head(ref, names): way for ref, way in _ways(step.before).items()}
    new = _ways(step.after)
    failed, bouts = _failed(step.before, names)
    failed_after, bouts_after = _failed(step.after, {})
    failed, bouts = failed + failed_after, bouts + bouts_after
    shares = {
        ref: count / bouts
        for ref, count in failed.items()
        if _is_timed(old.get(ref)) and _is_timed(new.get(ref))
    }
    if not shares:
        return None
    before, after = service_load(old, shares), service_load(new, shares)
    assert before.seconds_per_bout is not None
    assert after.seconds_per_bout is not None
    loads = {item.ref: item.load_s for item in before.items}
    return ServiceableView(
        bouts=bouts,
        before_s=before.seconds_per_bout,
        after_s=after.seconds_per_bout,
        dominant=after.dominant,
        items={item.ref: (loads[item.ref], item.load_s) for item in after.items},
        left_out=tuple(ref for ref in failed if ref not in shares),
    )


def _ways(state: State) -> Mapping[str, WayIn]:
    return state.amounts.ways(state.ref, state.choices)


def _is_timed(way: WayIn | None) -> bool:
    return way is not None and way.seconds is not None


def _failed(state: State, names: Mapping[str, str]) -> tuple[Counter[str], int]:
    """In how many of the bouts fought in a state each thing failed, under its name in the second; how many bouts."""
    fought = [bout for bout in bouts_of(state) if bout.is_exposure]
    failed: Counter[str] = Counter()
    for bout in fought:
        failed.update({with_head(f.things[0], names) for f in bout.failures if f.counts and f.things})
    return failed, len(fought)
