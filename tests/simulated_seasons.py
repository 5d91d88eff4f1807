"""Seasons of a robot whose changes do nothing at all, to see how often they look as if they did.

Only what cannot be gone through outcome by outcome is drawn by chance: a change made because an event went badly,
and a builder who looks again after every event.
"""

from functools import cache
from random import Random

from lineage.evidence.exact import Counts, Stratum
from lineage.evidence.verdicts import verdict_of_counts

BOUTS = 5  # of one event
SEED = 20260307
BETTER = ("helped", "leaning better")


@cache
def verdict(k_before, n_before, k_after, n_after):
    return verdict_of_counts((Stratum(Counts(k_before, n_before), Counts(k_after, n_after)),))


def failures(random, share, bouts=BOUTS):
    return sum(random.random() < share for _ in range(bouts))


def change_after_a_bad_event(share, seasons, *, bad=2, events_after=3, most_events=8, prompted=True):
    """Shares of seasons whose change, that did nothing, is given each verdict.

    Events go on until one has `bad` failures; then something is changed. Before is every bout up to then, after
    three more events. A season without a bad event in eight has no change and is drawn anew. With `prompted` false
    the failures before are drawn afresh for as many bouts: the change that would have been made then anyway.
    """
    random, counted = Random(SEED), {}
    done = 0
    while done < seasons:
        before = []
        while len(before) < most_events and (not before or before[-1] < bad):
            before.append(failures(random, share))
        if before[-1] < bad:
            continue
        bouts = BOUTS * len(before)
        failed = sum(before) if prompted else failures(random, share, bouts)
        word = verdict(failed, bouts, failures(random, share, BOUTS * events_after), BOUTS * events_after)
        counted[word] = counted.get(word, 0) + 1
        done += 1
    return {word: number / seasons for word, number in counted.items()}


def looking_after_every_event(share, seasons, *, events_before=4, events_after=10):
    """Shares of seasons in which a change that did nothing is called something at the last look, and ever.

    Before is fixed at four events; the builder looks after each of ten. Returns for each of `helped`,
    `made it worse` and (either lean, or what is stronger) `better` and `worse` the pair (at the last look, ever).
    """
    random = Random(SEED)
    last, ever = {}, {}
    for _ in range(seasons):
        before = failures(random, share, BOUTS * events_before)
        after, words = 0, []
        for event in range(1, events_after + 1):
            after += failures(random, share)
            words.append(verdict(before, BOUTS * events_before, after, BOUTS * event))
        for name, said in SAID.items():
            last[name] = last.get(name, 0) + (words[-1] in said)
            ever[name] = ever.get(name, 0) + any(word in said for word in words)
    return {name: (last[name] / seasons, ever[name] / seasons) for name in SAID}


SAID = {
    "helped": ("helped",),
    "made it worse": ("made it worse",),
    "better": BETTER,
    "worse": ("made it worse", "leaning worse"),
}
