"""Prints how often a change that did nothing looks as if it did: `python tests/bench/honesty_figures.py [SEASONS]`.

Two habits that no test of one comparison can guard against: changing something because an event went badly, and
looking again after every event. The seed is fixed, so the figures are the same each time.
"""

import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from tests.simulated_seasons import (
    BETTER,
    change_after_a_bad_event,
    looking_after_every_event,
)

SHARES = (0.1, 0.2, 0.3, 0.5)


def some(found, words):
    return sum(found.get(word, 0) for word in words)


def main(seasons):
    print(f"{seasons} seasons each; events of five bouts; the change does nothing.\n")
    print("Changed after the first event with so many failures or more; three events after it.")
    print("(in brackets: changed at that time anyway, whatever the event brought)")
    print("failures | share failed | helped | helped or leaning better")
    for bad in (1, 2, 3):
        for share in SHARES:
            found = change_after_a_bad_event(share, seasons, bad=bad)
            anyway = change_after_a_bad_event(share, seasons, bad=bad, prompted=False)
            cells = (
                f"{some(found, words):.1%} ({some(anyway, words):.1%})" for words in (("helped",), BETTER)
            )
            print(f"{bad:8} | {share:12.0%} | " + " | ".join(cells))
    print("\nFour events before; looked at after each of ten events after it (at the last look → ever).")
    print("share failed | helped | made it worse | helped or leaning better | worse or leaning worse")
    for share in SHARES:
        found = looking_after_every_event(share, seasons)
        print(f"{share:12.0%} | " + " | ".join(f"{last:.1%} → {ever:.1%}" for last, ever in found.values()))


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 100_000)
