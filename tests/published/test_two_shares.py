"""Two shares set against each other, and several tables pooled, against printed and independently computed values.

Side 1 stands for after and side 2 for before, so that odds ratios are those of side 1 over side 2.
"""

from fractions import Fraction

import pytest

from lineage.evidence.conditional import most_likely_odds_ratio, odds_ratio_limits
from lineage.evidence.exact import Counts, Stratum, compare_counts, distribution_of
from lineage.evidence.verdicts import to_settle, verdict_of_counts
from tests.printed import Printed, rows

# tables | as few | as many | central p | odds ratio | 95 % limits | 90 % limits; computed with a reference library
# (an independent program in Python fractions and mpmath 1.4.1, 34 digits). The data: Fisher 1935 (tea), Thomas 1971
# (convicts), Fay 2010 (6/18), HypothesisTests.jl test/fisher.jl (1/10, 2/33, 1/2), an R package's page (2/14), an R
# course (2/12, 43/52), contingencytables (0/16, 9/13), Doll and Hill 1950 (647/1269).
PUBLISHED_DATA = """
3/4 vs 1/4 | .985714285714 | .242857142857 | .485714285714 | 6.40831965820 | .211735595447 to 626.243530589 | .313573767505 to 306.236807859
2/17 vs 10/13 | .000465180943363 | .999984519019 | .000930361886726 | .0469366390497 | .00331716395066 to .363189602357 | .00499449483408 to .284959545620
6/18 vs 12/17 | .0302938220657 | .995022391567 | .0605876441313 | .218902068201 | .0388794092693 to 1.05649180057 | .0500111691921 to .858386388757
1/10 vs 11/14 | .00137972809261 | .999966348095 | .00275945618522 | .0372090848324 | .000636002948875 to .425866475696 | .00129489583896 to .326002969132
2/33 vs 136/15668 | .997011286471 | .0339027147603 | .0678054295207 | 7.36532267799 | .845814161466 to 29.4443430852 | 1.24362623126 to 25.2025245480
1/2 vs 1/2 | .833333333333 | .833333333333 | 1 | 1 | .00640001635791 to 156.249600638 | .0131148946216 to 76.2491829978
2/14 vs 1/11 | .841739130435 | .593478260870 | 1 | 1.63407188735 | .0744656996848 to 108.015295939 | .112782851294 to 53.0112492884
21/24 vs 14/24 | .996079725832 | .0244957065295 | .0489914130589 | 4.83117416268 | 1.00557016465 to 32.2046844396 | 1.23022484836 to 23.8954160004
2/12 vs 20/33 | .0102704039176 | .998918714517 | .0205408078352 | .136073509373 | .0125557666404 to .787407544646 | .0186319644814 to .636091872285
43/52 vs 44/48 | .150224017576 | .950453883070 | .300448035151 | .437862638920 | .0915168097142 to 1.71527718411 | .116873057232 to 1.42718382288
0/16 vs 15/72 | .0364139468565 | 1 | .0728278937129 | 0 | 0 to 1.14090125218 | 0 to .885843576544
9/13 vs 4/14 | .994446937178 | .0412348005564 | .0824696011128 | 5.23264636343 | .847215291264 to 40.4373737897 | 1.07048281644 to 30.0905621371
7/34 vs 1/34 | .997543806817 | .0272000652475 | .0544001304951 | 8.32934371755 | .973273632882 to 396.994002170 | 1.23248884908 to 195.492113955
647/1269 vs 2/29 | .999999957648 | 6.40336914025e-7 | 1.28067382805e-6 | 14.0232205193 | 3.49909645490 to 122.191679876 | 4.09046020413 to 83.1037285427
"""

# tables | R 3.6.2's two-sided p, which adds up what is no likelier (seen in a copy: scipy,
# stats/tests/data/fisher_exact_results_from_r.py) | central p | odds ratio | 95 % limits (computed with a reference
# library; R's own limits are off by up to 2 %, its root finder stops early)
R_VALUES = """
100/102 vs 1000/1005 | .1300759363430016 | .260151872686 | .250528218596 | .0403794916696 to 2.66284303462
2/9 vs 8/10 | .02301413756522116 | .0370434519041 | .0858523999512 | .00467357424210 to .895773642488
5/6 vs 10/20 | .1973244147157191 | .330434782609 | 4.72565023285 | .415390798164 to 259.661623920
5/20 vs 20/40 | .09580440012477633 | .112515501488 | .339439812285 | .0805482688721 to 1.22704897519
5/21 vs 16/41 | .2697004098849359 | .361795870120 | .493782372417 | .117673162758 to 1.78743227499
5/21 vs 20/45 | .1725864953812994 | .178276455662 | .396056814077 | .0963358410247 to 1.39103106603
10/15 vs 10/11 | .1973244147157192 | .330434782609 | .211611090691 | .00385116593244 to 2.40737157496
10/15 vs 10/10 | .06126482213438735 | .113043478261 | 0 | 0 to 1.45164368251
5/5 vs 1/5 | .04761904761904762 | .0476190476190 | inf | 1.02479755205 to inf
5/6 vs 0/4 | .04761904761904761 | .0476190476190 | inf | 1.02479755205 to inf
190/990 vs 200/1100 | .574111858126088 | .591965180262 | 1.06871596391 | .852058817414 to 1.34019646153
6/43 vs 108/308 | .005092697748126 | .00632074278097 | .301142790357 | .100662023059 to .750690868933
"""

# tables after vs before | as few | as many | central p | the same as a fraction | odds ratio | 95 % | 90 % limits;
# computed with a reference library (same program); the fractions are arithmetic
IN_RANGE = """
0/1 vs 1/1 | =.5 | 1 | 1 |  | 0 | 0 to 39 | 0 to 19
1/1 vs 0/1 | 1 | =.5 | 1 |  | inf | .0256410256410 to inf | .0526315789474 to inf
0/3 vs 3/3 | =.05 | 1 | =.1 | 1/10 | 0 | 0 to 1.54326659711 | 0 to 1
0/2 vs 3/3 | =.1 | 1 | =.2 | 1/5 | 0 | 0 to 2.74165738677 | 0 to 1.70801280155
0/5 vs 5/5 | .00396825396825 | 1 | .00793650793651 | 1/126 | 0 | 0 to .435341205745 | 0 to .296448557929
0/10 vs 3/10 | .105263157895 | 1 | .210526315789 | 4/19 | 0 | 0 to 2.25522758581 | 0 to 1.56996649129
0/10 vs 5/10 | .0162538699690 | 1 | .0325077399381 | 21/646 | 0 | 0 to .836521793918 | 0 to .607606648916
0/10 vs 6/10 | .00541795665635 | 1 | .0108359133127 | 7/646 | 0 | 0 to .566061432705 | 0 to .413803895862
1/18 vs 12/23 | .00144616115614 | .999935070315 | .00289232231227 |  | .0577382915238 | .00119318070811 to .489120137233 | .00242365452393 to .388813279982
1/9 vs 5/8 | .0429864253394 | .997737556561 | .0859728506787 | 19/221 | .0900155632814 | .00141447133755 to 1.26035769347 | .00288221678796 to .933474887893
2/14 vs 7/15 | .0679660169915 | .990504747626 | .135932033983 | 272/2001 | .202068461588 | .0164250416588 to 1.43675835595 | .0245070367195 to 1.12638609133
2/20 vs 9/20 | .0154751525719 | .998328974135 | .0309503051439 | 71/2294 | .142971555416 | .0127741425769 to .871237159217 | .0189825026483 to .698514427431
1/20 vs 8/20 | .00982800982801 | .999385749386 | .0196560196560 | 8/407 | .0838178706073 | .00169256843215 to .754891799270 | .00343891697901 to .593304606196
4/12 vs 4/12 | .666576928254 | .666576928254 | 1 |  | 1 | .132411318176 to 7.55222449090 | .175225683329 to 5.70692595401
3/9 vs 8/8 | .00678733031674 | 1 | .0135746606335 | 3/221 | 0 | 0 to .601396566532 | 0 to .435581315076
15/20 vs 20/20 | .0235620235620 | 1 | .0471240471240 | 68/1443 | 0 | 0 to .976458368218 | 0 to .722883878905
20/20 vs 15/20 | 1 | .0235620235620 | .0471240471240 | 68/1443 | inf | 1.02410920173 to inf | 1.38334804411 to inf
3/20 vs 0/20 | 1 | .115384615385 | .230769230769 | 3/13 | inf | .426654596023 to inf | .607159566764 to inf
0/7 vs 0/4 | 1 | 1 | 1 |  | - | 0 to inf | 0 to inf
6/6 vs 4/4 | 1 | 1 | 1 |  | - | 0 to inf | 0 to inf
0/0 vs 3/5 | 1 | 1 | 1 |  | - | 0 to inf | 0 to inf
0/6 vs 3/5; 0/4 vs 2/6 | .0202020202020 | 1 | .0404040404040 | 4/99 | 0 | 0 to .914729105844 | 0 to .666112563366
1/8 vs 4/9; 0/5 vs 2/4; 2/10 vs 3/6 | .0176406361361 | .997586830590 | .0352812722722 | 17029/482664 | .177992688104 | .0250302506781 to .908569052629 | .0339497185179 to .737445937061
1/8 vs 4/9; 0/5 vs 2/4; 2/10 vs 3/6; 0/7 vs 0/3 | .0176406361361 | .997586830590 | .0352812722722 | 17029/482664 | .177992688104 | .0250302506781 to .908569052629 | .0339497185179 to .737445937061
1/8 vs 4/9; 0/5 vs 2/4; 2/10 vs 3/6; 3/3 vs 2/2 | .0176406361361 | .997586830590 | .0352812722722 | 17029/482664 | .177992688104 | .0250302506781 to .908569052629 | .0339497185179 to .737445937061
1/8 vs 4/9; 0/5 vs 2/4; 2/10 vs 3/6; 0/0 vs 2/5 | .0176406361361 | .997586830590 | .0352812722722 | 17029/482664 | .177992688104 | .0250302506781 to .908569052629 | .0339497185179 to .737445937061
3/23 vs 9/19 | .0170699810747 | .997724711336 | .0341399621494 | 3211/94054 | .174610791510 | .0248031999624 to .899623063471 | .0335579259597 to .728603178222
3/4 vs 0/5; 2/6 vs 0/3 | 1 | .0198412698413 | .0396825396825 | 5/126 | inf | 1.10640018420 to inf | 1.54289226723 to inf
4/5 vs 1/5; 1/5 vs 4/5 | .667328042328 | .667328042328 | 1 |  | 1 | .134628328588 to 7.42785720127 | .176831270688 to 5.65510837595
1/12 vs 5/12; 0/8 vs 2/7; 2/15 vs 6/20 | .0107722471878 | .998242420773 | .0215444943756 | 7527/349370 | .199146739554 | .0331236831628 to .825424806749 | .0443453848517 to .689159476488
2/9 vs 6/11; 3/14 vs 5/9; 0/6 vs 1/5; 1/10 vs 4/8 | .00276480105521 | .999545564273 | .00552960211042 |  | .195310976770 | .0508859117377 to .656833560859 | .0624177086274 to .557554352516
6/10 vs 16/20; 1/20 vs 2/8 | .0773586250925 | .982936539620 | .154717250185 |  | .300562525586 | .0584876246689 to 1.45121868568 | .0741755257602 to 1.16510443418
7/30 vs 18/28 | .00179317419734 | .999737672345 | .00358634839468 |  | .175054639635 | .0454755472833 to .604748880721 | .0555777375526 to .511270787049
0/4 vs 0/5; 3/3 vs 2/2 | 1 | 1 | 1 |  | - | 0 to inf | 0 to inf
0/1 vs 1/1; 0/1 vs 1/1; 0/1 vs 1/1; 0/1 vs 1/1; 0/1 vs 1/1 | =.03125 | 1 | =.0625 | 1/16 | 0 | 0 to 1.09127910518 | 0 to .820564203026
0/1 vs 1/1; 0/1 vs 1/1; 0/1 vs 1/1; 0/1 vs 1/1; 0/1 vs 1/1; 0/1 vs 1/1 | =.015625 | 1 | =.03125 | 1/32 | 0 | 0 to .849311194297 | 0 to .647548972442
"""

RABBITS = "0/6 vs 0/5; 3/6 vs 0/6; 6/6 vs 2/6; 5/6 vs 6/6; 2/2 vs 5/5"
CRYING = (
    "1/1 vs 3/8; 1/1 vs 2/6; 1/1 vs 1/5; 0/1 vs 1/6; 1/1 vs 4/5; 1/1 vs 4/9; "
    "1/1 vs 5/8; 1/1 vs 4/8; 1/1 vs 3/5; 0/1 vs 8/9; 1/1 vs 5/6; 1/1 vs 8/9; "
    "1/1 vs 5/8; 1/1 vs 4/5; 1/1 vs 4/6; 1/1 vs 7/8; 0/1 vs 4/6; 1/1 vs 5/8"
)
LIDOCAINE = "2/39 vs 1/43; 4/44 vs 4/44; 6/107 vs 4/110; 7/103 vs 5/100; 7/110 vs 3/106; 11/154 vs 4/146"
SMOKING = "647/1269 vs 2/29; 41/69 vs 19/51"
# Rabbits: Agresti 1990; crying babies: Cox 1970; lidocaine: Hine et al. 1989; smoking: Doll and Hill 1950
# values computed with a reference library (same program)
SEVERAL_TABLES = f"""
{RABBITS} | .998622589532 | .0199724517906 | .0399449035813 | 10.3610463495 | 1.07738776352 to 531.512782890 | 1.38422192319 to 261.487878502
{CRYING} | .989809505970 | .0448955949986 | .0897911899971 | 3.51157570506 | .864551119108 to 21.3711641609 | 1.02918029885 to 15.9234834769
{LIDOCAINE} | .987472152371 | .0246441345533 | .0492882691066 | 1.78313639823 | 1.00165454269 to 3.25156177547 | 1.09066342375 to 2.96157580128
{SMOKING} | .999999924588 | 3.36064588668e-7 | 6.72129177335e-7 | 4.22065104236 | 2.27582613794 to 8.14746725934 | 2.48775452028 to 7.35277888877
"""


def strata(text):
    """`1/18 vs 12/23; …`, after before before."""
    tables = [[side.split("/") for side in table.split(" vs ")] for table in text.split("; ")]
    return tuple(
        Stratum(before=Counts(int(k2), int(n2)), after=Counts(int(k1), int(n1)))
        for (k1, n1), (k2, n2) in tables
    )


def agrees(row):
    text, few, many, p, odds_ratio, limits95, limits90 = row
    found = distribution_of(strata(text))
    assert Printed(few) == found.as_few / found.total
    assert Printed(many) == found.as_many / found.total
    assert Printed(odds_ratio) == most_likely_odds_ratio(found)
    assert Printed(p) == min(1, 2 * min(found.as_few, found.as_many) / found.total)
    agrees_limits(found, 0.95, limits95)
    agrees_limits(found, 0.90, limits90)


def agrees_limits(found, level, printed):
    low, high = odds_ratio_limits(found, level)
    assert [Printed(limit) for limit in printed.split(" to ")] == [low, high]


@pytest.mark.parametrize("row", rows(PUBLISHED_DATA) + rows(SEVERAL_TABLES), ids=lambda row: row[0][:30])
def test_published_tables(row):
    agrees(row)


@pytest.mark.parametrize("row", rows(IN_RANGE), ids=lambda row: row[0][:40])
def test_small_cases(row):
    text, few, many, p, fraction, odds_ratio, limits95, limits90 = row
    agrees([text, few, many, p, odds_ratio, limits95, limits90])
    if fraction:
        found = distribution_of(strata(text))
        assert Fraction(2 * min(found.as_few, found.as_many), found.total) == Fraction(fraction)


@pytest.mark.parametrize(("text", "minlike", "p", "odds_ratio", "limits"), rows(R_VALUES))
def test_against_a_statistics_program(text, minlike, p, odds_ratio, limits):
    found = distribution_of(strata(text))
    seen = found.weights[found.seen]
    assert sum(w for w in found.weights if w <= seen) / found.total == pytest.approx(
        float(minlike), rel=1e-11
    )
    shown = compare_counts(strata(text))
    assert Printed(p) == shown.p_value
    assert Printed(odds_ratio) == shown.odds_ratio
    low, high = limits.split(" to ")
    assert (Printed(low), Printed(high)) == shown.interval95


# what copies of the sources print, in their own digits; seen in a copy of the source
@pytest.mark.parametrize(
    ("text", "what", "printed"),
    [
        ("3/4 vs 1/4", "many", ".2429"),  # Fisher 1935, tea; stat504 TeaLady.out
        ("3/4 vs 1/4", "p", ".4857"),
        ("3/4 vs 1/4", "R's odds ratio", "6.408309"),
        ("2/17 vs 10/13", "few", ".0004652"),  # convicts; R output quoted in public repositories
        ("2/17 vs 10/13", "R's odds ratio", ".04693661"),
        ("6/18 vs 12/17", "p", ".06059"),  # Fay, exact2x2 vignette
        ("6/18 vs 12/17", "odds ratio", ".2189021"),
        ("1/10 vs 11/14", "few", ".0013797280926100427"),  # HypothesisTests.jl test/fisher.jl
        ("1/10 vs 11/14", "p", ".0027594561852200853"),
        ("1/10 vs 11/14", "low", ".0006360029488751071"),
        ("1/10 vs 11/14", "high", ".42586647569637387"),
        ("2/33 vs 136/15668", "p", ".06780542952068347"),
        ("2/33 vs 136/15668", "odds ratio", "7.3653226779913386"),
        ("2/33 vs 136/15668", "high", "29.44434308524672"),
        ("1/2 vs 1/2", "few", ".8333333333333337"),
        ("1/2 vs 1/2", "high", "156.2496006379585"),
        ("21/24 vs 14/24", "p", ".04899"),  # a public data-science course (R)
        ("647/1269 vs 2/29", "odds ratio", "14.0"),  # Doll and Hill 1950, a teaching page
        ("647/1269 vs 2/29", "low", "3.5"),
        ("647/1269 vs 2/29", "high", "122.2"),
        ("2/9 vs 8/10", "few", ".0185217259520665"),  # R, scipy's test_stats.py
        ("2/9 vs 8/10", "many", ".9990149169715733"),
        ("190/990 vs 200/1100", "few", ".7416227"),
        ("190/990 vs 200/1100", "many", ".2959826"),
        (RABBITS, "p", ".0399449"),  # R, mantelhaen.test, tests/Examples/stats-Ex.Rout.save
        (RABBITS, "R's odds ratio", "10.36102"),
        (RABBITS, "many", ".01997"),
    ],
)
def test_what_the_sources_print(text, what, printed):
    shown = compare_counts(strata(text))
    value = {
        "few": shown.chance_as_few,
        "many": shown.chance_as_many,
        "p": shown.p_value,
        "odds ratio": shown.odds_ratio,
        "R's odds ratio": shown.odds_ratio,
        "low": shown.interval95[0],
        "high": shown.interval95[1],
    }[what]
    if what == "R's odds ratio":  # its root is found to 3e-6 only
        assert value == pytest.approx(float(printed), rel=3e-6)
    else:
        assert Printed(printed) == value


def test_crying_babies_one_sided():
    """Cox 1970 prints .045 (from memory)."""
    assert Printed(".045") == compare_counts(strata(CRYING)).chance_as_many


@pytest.mark.parametrize("text", ["0/5 vs 0/10", "5/5 vs 10/10"])
def test_where_nothing_can_be_learnt_p_is_one_and_no_odds_ratio_is_given(text):
    """scipy, stats/tests/data (R): p 1, odds ratio undefined, limits 0 and infinite (seen in a copy)."""
    shown = compare_counts(strata(text))
    assert (shown.p_value, shown.odds_ratio, shown.interval95) == (1.0, None, (0.0, None))


# One and the same side, exchanged sides included; complete for sizes up to 20 (arithmetic)
TIES = ["0/2 vs 13/14", "1/3 vs 13/13", "0/13 vs 2/3", "1/14 vs 2/2"]
# fmt: off
LEANS_AT_THEIR_LIMIT = [
    "0/1 vs 9/9", "0/1 vs 18/19", "0/2 vs 3/3", "1/2 vs 18/18", "0/2 vs 14/19", "0/3 vs 2/2", "0/3 vs 8/13",
    "5/7 vs 14/14", "0/8 vs 3/8", "5/8 vs 8/8", "0/9 vs 1/1", "5/13 vs 3/3", "0/14 vs 2/7", "0/18 vs 1/2",
    "1/19 vs 1/1", "5/19 vs 2/2",
]
# fmt: on


@pytest.mark.parametrize("text", [*TIES, "0/1 vs 4/4; 0/1 vs 7/7"])
def test_a_tie_at_one_in_twenty_is_not_helped_and_its_limit_is_one(text):
    found = distribution_of(strata(text))
    assert Fraction(found.as_few, found.total) == Fraction(1, 40)
    assert compare_counts(strata(text)).interval95[1] == 1.0
    assert verdict_of_counts(strata(text)) == "leaning better"


@pytest.mark.parametrize("text", LEANS_AT_THEIR_LIMIT)
def test_a_tail_of_exactly_one_in_ten_is_a_lean(text):
    found = distribution_of(strata(text))
    assert Fraction(found.as_few, found.total) == Fraction(1, 10)
    assert verdict_of_counts(strata(text)) == "leaning better"


def test_there_are_no_other_ties_up_to_twenty():
    """Every pair of counts; a tail of 1/40 or 1/10 occurs where the lists say, and at their images."""
    listed = {Fraction(1, 40): set(TIES), Fraction(1, 10): set(LEANS_AT_THEIR_LIMIT)}
    found = {tail: set() for tail in listed}
    for n1 in range(1, 21):
        for n2 in range(n1, 21):
            for k1 in range(n1 + 1):
                for k2 in range(n2 + 1):
                    text = f"{k1}/{n1} vs {k2}/{n2}"
                    distribution = distribution_of(strata(text))
                    for tail, texts in found.items():
                        if distribution.as_few * tail.denominator == distribution.total * tail.numerator:
                            texts.add(text)
    for tail, texts in found.items():
        assert texts == {image for text in listed[tail] for image in both_ways(text) if in_order(image)}


def both_ways(text):
    """A table, and the one that tells the same of what did not fail with the sides exchanged."""
    (k1, n1), (k2, n2) = (map(int, side.split("/")) for side in text.split(" vs "))
    return text, f"{n2 - k2}/{n2} vs {n1 - k1}/{n1}"


def in_order(text):
    first, second = (int(side.split("/")[1]) for side in text.split(" vs "))
    return first <= second


# before | clean bouts wanted after | central p then | bouts wanted with one failure after; arithmetic
CLEAN_BOUTS = """
1/5   | 196 | .0497512437811 |
2/6   | 30  | .0476190476190 | 54
3/8   | 17  | .0486956521739 | 30
5/10  | 9   | .0433436532508 | 15
12/23 | 7   | .0312643678161 | 11
4/12  | 16  | .0483516483516 | 27
6/9   | 6   | .0335664335664 | 9
3/3   | 5   | .0357142857143 | 8
8/8   | 2   | .0444444444444 | 4
2/20  | 104 | .0498295305534 | 188
13/14 | 3   | .0117647058824 | 4
2/3   | 14  | .0441176470588 | 24
"""


@pytest.mark.parametrize(("before", "clean", "p", "with_one_failure"), rows(CLEAN_BOUTS))
def test_how_many_clean_bouts_settle_it(before, clean, p, with_one_failure):
    assert to_settle(strata(f"0/0 vs {before}"), 0) == int(clean)
    assert Printed(p) == compare_counts(strata(f"0/{clean} vs {before}")).p_value
    if with_one_failure:
        assert to_settle(strata(f"1/1 vs {before}"), 0) == int(with_one_failure) - 1
