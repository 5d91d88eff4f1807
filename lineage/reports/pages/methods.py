"""What each figure means and where its method is published, one click away from the figure."""

METHODS = {
    "weight": (
        "Sheet: area × thickness × density × count. Bar and tube: section × length × density. Screws: a mass of their "
        "own or the table of their standard. ± is the expanded uncertainty U = 2 u (k = 2). A limit of ± T on a "
        "length or thickness enters with u = T/√3. A thickness typed without ± stays as typed, with the published "
        "spread of its kind of sheet, its larger side over √3. One typed quantity is one variable wherever it is "
        "used, so that four parts of one sheet share its error. Margin is the limit less the weighing where there is "
        "one, else less the predicted mass with the usual gap, which is the mean of weighed less predicted over the "
        "weighed builds of the class. The chance of being over is that of a normal distribution. What a role may be "
        "is its mass plus margin, less the reserve of the class, less twice the margin's u. Normalised error: "
        "(weighed - predicted)/√(U² + U²). Source: JCGM 100:2008 (GUM), 4.3.7, 5.1, 6.2.1, 7.2.6; ISO/IEC 17043 for "
        "the normalised error."
    ),
    "scales": (
        "Normalised error En = (weighed - worked out)/√(U² + U²), both with k = 2; beyond 1 either way the two say "
        "different things. Suspects are ranked by what they may add. Source: ISO/IEC 17043:2010, B.3.1.3 d; JCGM "
        "100:2008 (GUM), 5.1.2; the ranking is common practice, no source."
    ),
    "spare-screws": (
        "Groups with more screws than the builder's own rule for the role of what they hold. Groups that hold weapons, "
        "armour, batteries or stored energy are never listed. Source: none; the rule is the builder's."
    ),
    "moving": (
        "Energy: half the moment of inertia times the square of the angular speed, of a plate of even thickness as "
        "drawn, kerf left out. Tip speed: angular speed times the greatest radius. Push: motor constants without "
        "losses, kt = 60/(2π·kv), and Coulomb friction as the limit. Source: any handbook of mechanics (from memory)."
    ),
    "history": (
        "Predicted: the mass of the spec. Slowest way in: the most seconds that anything takes off and back on. Least "
        "gap: the smallest of the fits. Bouts with a failure: fought bouts in which something counted failed. Each "
        "build is set against the one that it was made from; the small pictures do not begin at 0. Source: the "
        "methods of each figure, in the guide."
    ),
    "calendar": (
        "A build stands under the first event on or after the day it was recorded; in bold is the build that went, and "
        "under it the module builds in it. Source: the records themselves."
    ),
    "lags": (
        "Behind: how many builds of the module were recorded after the one in use. Source: the records themselves."
    ),
    "tally": (
        "Recorded changes by kind, what is only described better left out. Grams: the shares of the changes added up. "
        "Expectations: kept of those that could be judged. Verdicts are counted, never pooled over unlike changes. "
        "Source: this project's own rule."
    ),
    "sheet": (
        "Area of the plates of each design's own, times their count, in its working files or last build. Source: "
        "plain geometry."
    ),
    "ways-in": (
        "Things in front come off first, each by its own way; then every group of screws is undone that holds the "
        "thing or goes into it. The cheapest way counts, by seconds, then screws. Seconds are off and back on: "
        "twice (a tool once, each screw with its turns, each thing), times the median of timed over worked out in "
        "the family; spread 30 % until three services were timed. In time: the chance, by a normal distribution "
        "with that spread, that the job takes no longer than the time between bouts; not said before a service was "
        "timed. Step 0 of every ladder makes the robot safe. Mending to expect: bouts in which a thing failed, of "
        "all, times its way in, added up; of two states for the same failures, those of both. Source: the default "
        "times are this project's own; family.yaml overrides them. Mean time to repair of a system of parts, as "
        "reliability handbooks print it."
    ),
    "fits": (
        "Gap = sum of coefficient × dimension. Worst case: every dimension at the end of its tolerance. Root sum "
        "square: √(Σ (coefficient × T)²) about the centred gap. Chance missed: normal with σ = T/3 for every "
        "dimension. Share: of the variance. A dimension whose tolerance nobody knows leaves all of these not "
        "known. Cannot hold: missed with every dimension at its best. Unlikely to miss: root sum square keeps the "
        "need, the worst case does not. Measured less worked out: from the middle of the chain; normalised error: "
        "that over √(U² + U²) of reading and chain, k = 2; beyond 1 either way the two say different things. "
        "Source: worst-case and root-sum-square stacking of tolerances, common practice; propagation as in "
        "JCGM 100:2008 (GUM), 5.1.2."
    ),
    "bays": (
        "Boxes in a box, turned by right angles, with the padding between them and to the walls. Goes in: a "
        "placement was found and is drawn. Does not go in: proved. Else nothing was found, which proves nothing. "
        "Full: volume of the things over that of the bay, without padding. Source: plain geometry."
    ),
    "assembling": (
        "Ways round: the turns by k/n (n = 2 to 12) and the flips that leave an outline as it was within 0.2 mm, "
        "the right one counted. A plate whose nearest other way is off by at most 3 mm looks right that way round. "
        "Mirror image: a plate of the same stock beside it that it is when turned over. `marked: yes` clears the "
        "warning. Turns held: the engaged length of a screw in pitches. Source: plane symmetry; the 3 mm are this "
        "project's choice; warnings of screws are common practice, no source: least thread of 1 diameter in steel and "
        "titanium, 1½ in aluminium, brass and copper, 2 in plastic; longer than its thread; a countersunk head higher "
        "than its plate."
    ),
    "failures": (
        "Counted is the bout: a thing failed in it or did not, at most once. Cosmetic damage and what was only "
        "found at strip-down is listed, not counted. Limits: central exact 95 % limits of a share. Source: "
        "C. J. Clopper and E. S. Pearson, Biometrika 26 (1934), 404."
    ),
    "bench": (
        "Snags are counted per mode, beside; they never enter a figure per bout. Trials: passed of tries with "
        "central exact 95 % limits. Source: Clopper and Pearson, 1934."
    ),
    "changes": (
        "One change per thing and kind. The share of a change in the mass is its Shapley value over the factors "
        "that changed, so that the shares add up to the whole. Renames weigh nothing. Screws and seconds of a way "
        "in are before and after; no shares are invented. Source: L. S. Shapley, A value for n-person games, 1953."
    ),
    "evidence": (
        "Before and after are bouts of the builds between two changes of the same things. Exact conditional "
        "(hypergeometric) distribution of the failures, one stratum for each robot that took the step, pooled. "
        "Helped or made it worse: the 95 % interval of the odds ratio lies on one side of 1. Leaning: the smaller "
        "tail is at most 10 %. Square: the conditional maximum-likelihood odds ratio; line: its central exact 95 % "
        "interval; an arrow goes on beyond the axis. Credit is shared where more changed in one step. Choices and "
        "kinds of opponent are said where they took another share of the bouts by a quarter or more. Source: "
        "R. A. Fisher, exact test; A. Agresti, Categorical Data Analysis, on exact conditional inference."
    ),
    "todo": (
        "Pieces are counted, not names: the difference where the piece is the same, all where it is not. Sheets: "
        "1.3 × area of the plates over the area of a sheet, rounded up; bars: cut length over that of a bar, "
        "rounded up. Source: the factor 1.3 for waste is this project's own."
    ),
    "first": (
        "In this order: what cost most bouts, then most seconds, then happened most often; what a lesson that "
        "holds answers is left out. Seconds lost are the sum of those typed. Source: this project's own rule."
    ),
    "packing": (
        "Gamma–Poisson prediction of pieces used; the prior has shape ½ and the family's mean. The quantity is the "
        "least whose chance of running short is at most 5 %. Source: A. Gelman and others, Bayesian Data Analysis, "
        "on the Poisson model with a gamma prior."
    ),
    "lessons": (
        "A lesson is in the next build until it is recorded, then on trial with its clean bouts; it holds where "
        "the counts say that it helped, and has come back where its mode is seen again. Source: this project's own "
        "rule on the counts above."
    ),
    "pits": (
        "Took is as typed; worked out is the cheapest way in at the family's own pace. Source: this project's own "
        "rule."
    ),
}  # fmt: skip
