"""What to cut, print, buy, rework, keep and scrap: pieces, not names. Small cases worked by hand."""

import pytest

from lineage.changes.pairing import pair_builds
from lineage.drawings.moments import Measures
from lineage.figures.bill import Bill, Buy, Cut, Print, ReworkNeed, StockNeed, everything, work_between
from lineage.spec.assembly import Spec
from lineage.spec.records import BuildRef
from tests.in_memory import spec_of
from tests.weighing_bench import drawn

HEAD = """\
robot: wren
stock:
  al: {material: aluminium-7075, thickness: 2 mm, sheet: 100 x 100 mm, price: 20 EUR}
  odd: {material: aluminium-7075, thickness: 3 mm}
  rod: {material: steel, section: 6 mm round, bar: 1 m, price: 6 USD}
"""
MEASURES: dict[str, Measures] = {"d1": drawn(4000.0, 300.0), "d2": drawn(5000.0, 350.0)}
DRAWN = {"plates/a.dxf": "d1", "plates/b.dxf": "d2"}


def spec(parts: str, more: str = "", label: str = "A") -> Spec:
    return spec_of(f"{HEAD}parts: {{{parts}}}\n{more}", label, drawings=DRAWN)


def bill(
    before: Spec | None, after: Spec, renames=None, described_better=(), *, deep=False, modules=()
) -> Bill:
    known = {m.ref: m for m in modules}
    pairing = pair_builds(before, after, renames or {}) if before else None
    old = everything(before, known.__getitem__, deep=deep) if before else {}
    new = everything(after, known.__getitem__, deep=deep)
    return work_between(old, new, MEASURES, pairing.names_before if pairing else {}, described_better)


SIDE = "side: {stock: al, outline: plates/a.dxf, count: 2}"


def test_everything_is_made_where_there_was_nothing():
    found = bill(None, spec(SIDE))
    assert found.cut == (Cut(ref="side", drawing="plates/a.dxf", stock="al", count=2),)
    assert (found.keep, found.scrap, found.rework) == ((), (), ())


def test_nothing_is_made_again_that_is_the_same():
    found = bill(spec(SIDE), spec(SIDE))
    assert (found.cut, found.stock, found.buy, found.screws, found.scrap) == ((), (), (), {}, ())
    assert found.keep == ("side",)


def test_a_renamed_plate_is_not_cut_again_nor_one_that_only_got_another_name():
    flank = SIDE.replace("side", "flank")
    for renames in ({"side": "flank"}, {}):
        found = bill(spec(SIDE), spec(flank), renames)
        assert (found.cut, found.keep, found.scrap) == ((), ("flank",), ())


def test_only_the_difference_is_cut_where_the_count_went_up_and_scrapped_where_it_went_down():
    four = SIDE.replace("count: 2", "count: 4")
    assert [cut.count for cut in bill(spec(SIDE), spec(four)).cut] == [2]
    down = bill(spec(four), spec(SIDE))
    assert (down.cut, down.keep, down.scrap) == ((), ("side",), ("side",))


def test_all_pieces_are_cut_anew_where_the_plate_is_another_one():
    found = bill(spec(SIDE), spec(SIDE.replace("a.dxf", "b.dxf")))
    assert [(cut.drawing, cut.count) for cut in found.cut] == [("plates/b.dxf", 2)]
    assert (found.keep, found.scrap) == ((), ("side",))


def test_a_piece_goes_to_the_thing_of_its_own_name_first():
    before = "a: {stock: al, outline: plates/a.dxf}, b: {stock: al, outline: plates/b.dxf}"
    after = "c: {stock: al, outline: plates/b.dxf}, b: {stock: al, outline: plates/b.dxf}"
    found = bill(spec(before), spec(after))
    assert ([cut.ref for cut in found.cut], found.keep, found.scrap) == (["c"], ("b",), ("a",))


def test_of_two_plates_that_are_the_same_the_one_that_is_gone_is_scrap():
    before = "a: {stock: al, outline: plates/a.dxf}, b: {stock: al, outline: plates/a.dxf}"
    assert bill(spec(before), spec("a: {stock: al, outline: plates/a.dxf}")).scrap == ("b",)
    assert bill(spec(before), spec("b: {stock: al, outline: plates/a.dxf}")).scrap == ("a",)


def test_sheets_have_a_third_more_than_the_plates_and_bars_are_filled_end_to_end():
    # 2 · 4000 mm² · 1.3 = 10 400 mm² of sheets of 10 000; 5 · 210 mm = 1050 mm of bars of 1000
    found = bill(None, spec(f"{SIDE}, shaft: {{stock: rod, length: 210 mm, count: 5}}"))
    assert found.stock == (
        StockNeed(name="al", area_mm2=8000.0, length_mm=None, sheets=2, bars=None, cut_length_mm=600.0),
        StockNeed(name="rod", area_mm2=None, length_mm=1050.0, sheets=None, bars=2, cut_length_mm=None),
    )
    assert found.cost_by_currency == {"EUR": 40.0, "USD": 12.0}


@pytest.mark.parametrize(
    ("length", "count", "bars"), [("100 mm", 10, 1), ("100.1 mm", 10, 2), ("33.3 mm", 30, 1), ("1 m", 3, 3)]
)
def test_a_bar_that_is_used_up_exactly_is_one_bar(length, count, bars):
    (need,) = bill(None, spec(f"shaft: {{stock: rod, length: {length}, count: {count}}}")).stock
    assert need.bars == bars


def test_without_a_sheet_size_the_number_of_sheets_is_not_known_nor_its_cost():
    found = bill(None, spec("lid: {stock: odd, area: 60 cm2}"))
    assert (found.stock[0].area_mm2, found.stock[0].sheets, found.cost_by_currency) == (6000.0, None, {})
    assert found.stock[0].cut_length_mm is None


def test_what_is_printed_has_a_list_of_its_own_and_is_not_bought():
    found = bill(
        None,
        spec(
            "box: {mass: 20 g modelled, process: print, note: four walls, count: 2}, pack: {mass: 92 g, item: 3 s pack}"
        ),
    )
    assert found.print == (Print(ref="box", count=2, note="four walls"),)
    assert found.buy == (Buy(item="3 s pack", count=1, cost=None, currency=None),)


@pytest.mark.parametrize(
    ("before", "after", "anew"),
    [
        ("dims: {inside: 16 mm}", "dims: {inside: 16.5 mm}", 1),
        ("dims: {inside: 16 mm}", "dims: {inside: 1.6 cm}", 0),
        ("dims: {inside: 16 mm}", "dims: {inside: 16 mm, wall: 2 mm}", 0),
        ("size: 40 x 30 x 10 mm", "size: 40 x 30 x 12 mm", 1),
        ("note: three walls", "size: 40 x 30 x 10 mm", 0),
    ],
)
def test_what_is_printed_to_other_measures_is_printed_anew(before, after, anew):
    part = "tray: {{mass: 20 g modelled, process: print, item: printed tray, {}}}"
    found = bill(spec(part.format(before)), spec(part.format(after)))
    assert sum(piece.count for piece in found.print) == anew
    assert found.scrap == (("tray",) if anew else ())
    assert found.keep == (() if anew else ("tray",))


def test_prices_add_up_by_currency_and_two_prices_of_one_item_are_no_price():
    parts = (
        "a: {mass: 9 g, item: bearing, price: 2.50 EUR, count: 2}, b: {mass: 9 g, item: bearing, price: 2.50 EUR}, "
        "c: {mass: 5 g, price: 4 GBP}, d: {mass: 1 g, item: odd, price: 1 EUR}, e: {mass: 1 g, item: odd, price: 2 EUR}"
    )
    found = bill(None, spec(parts))
    assert found.buy == (
        Buy(item="bearing", count=3, cost=7.5, currency="EUR"),
        Buy(item="c", count=1, cost=4.0, currency="GBP"),
        Buy(item="odd", count=2, cost=None, currency=None),
    )
    assert found.cost_by_currency == {"EUR": 7.5, "GBP": 4.0}


def test_screws_are_a_difference_over_all_groups_with_nuts_and_washers():
    before = (
        "fasteners: {a: {type: M3x8 cap, count: 8, holds: lid}, b: {type: M3x6 cap, count: 2, holds: lid}}\n"
    )
    after = "fasteners: {a: {type: M3x8 cap, count: 6, holds: lid}, c: {type: M3x8 cap, count: 4, holds: lid, nuts: 1, washers: 2}}\n"
    lid = "lid: {mass: 5 g}"
    found = bill(spec(lid, before), spec(lid, after))
    assert found.screws == {"M3x8 cap": 2, "nut for M3x8 cap": 4, "washer for M3x8 cap": 8}


def test_rework_is_only_what_a_kept_piece_has_not_had():
    before = "rx: {mass: 5 g, item: receiver, rework: [case removed]}"
    after = "rx: {mass: 5 g, item: receiver, rework: [case removed, {do: leads cut, takes: 5 min}]}"
    assert bill(spec(before), spec(after)).rework == (ReworkNeed(ref="rx", do="leads cut", takes_s=300.0),)
    two = after.replace("item: receiver", "item: receiver, count: 2")
    assert [need.do for need in bill(spec(before), spec(two)).rework] == ["case removed", "leads cut"]


def test_all_choices_are_made_not_only_the_fitted_one():
    forks = "options: {fork: {long: {parts: {tine-a: {mass: 31 g}}}, short: {parts: {tine-b: {mass: 24 g}}}}}\nfitted: {fork: long}\n"
    assert [buy.item for buy in bill(None, spec("lid: {mass: 5 g}", forks)).buy] == [
        "lid",
        "tine-a",
        "tine-b",
    ]


def test_a_module_is_built_or_moved_on_and_opened_only_when_asked():
    pod = [spec_of("module: pod\nparts: {gearbox: {mass: 23 g}}\n", label) for label in "AB"]
    pod[1] = spec_of("module: pod\nparts: {gearbox: {mass: 23 g}, hub: {mass: 4 g}}\n", "B")
    lid = "lid: {mass: 5 g}"
    before, after = (spec(lid, f"modules: {{left: pod@{label}}}\n") for label in "AB")
    built, moved = bill(None, before, modules=pod), bill(before, after, modules=pod)
    assert built.rework == (ReworkNeed(ref="left", do="build pod@A", takes_s=None),)
    assert moved.rework == (ReworkNeed(ref="left", do="pod@A → pod@B", takes_s=None),)
    assert moved.buy == ()
    assert [buy.item for buy in bill(before, after, modules=pod, deep=True).buy] == ["left.hub"]
    assert pod[0].ref == BuildRef("pod", "A")


def test_what_is_only_described_better_is_not_made_again():
    before = spec("lid: {mass: 20 g guess}, cable-set: {mass: 30 g guess}")
    after = spec(
        "lid: {stock: al, outline: plates/a.dxf}, cable-set: {mass: 34 g weighed, rework: [leads cut]}"
    )
    anew = bill(before, after)
    assert ([cut.ref for cut in anew.cut], [buy.item for buy in anew.buy]) == (["lid"], ["cable-set"])
    found = bill(before, after, described_better={"lid", "cable-set"})
    assert (found.cut, found.buy, found.rework, found.scrap, found.stock) == ((), (), (), (), ())
    assert found.keep == ("lid", "cable-set")


def test_more_pieces_of_what_is_described_better_are_still_made():
    before, after = spec("lid: {mass: 20 g guess}"), spec("lid: {stock: al, outline: plates/a.dxf, count: 3}")
    assert [cut.count for cut in bill(before, after, described_better={"lid"}).cut] == [2]


def test_a_part_that_took_the_name_of_a_dropped_one_is_not_taken_for_it():
    before = spec("a: {stock: al, outline: plates/a.dxf}, b: {stock: al, outline: plates/b.dxf}")
    found = bill(before, spec("b: {stock: al, outline: plates/a.dxf}"), {"a": "b"})
    assert (found.cut, found.keep, found.scrap) == ((), ("b",), ("b",))


def test_screws_and_modules_that_stay_are_kept_whatever_they_hold_and_wherever_they_sit():
    before = spec(
        SIDE, "fasteners: {bolts: {type: M3x10 cap, count: 8, holds: side}}\nmodules: {left: pod@A}\n"
    )
    after = spec(
        SIDE.replace("side", "flank"),
        "fasteners: {bolts: {type: M3x10 cap, count: 6, holds: flank}}\n"
        "modules: {left: {use: pod@A, behind: flank}}\n",
    )
    pod = (spec_of("module: pod\nparts: {motor: {mass: 30 g}}\n", "A"),)
    assert bill(before, after, {"side": "flank"}, modules=pod).keep == ("flank", "bolts", "left")


def test_other_screws_in_an_old_group_are_not_kept():
    group = "fasteners: {{bolts: {{type: {} cap, count: 8, holds: side}}}}\n"
    assert bill(spec(SIDE, group.format("M3x10")), spec(SIDE, group.format("M3x12"))).keep == ("side",)


@pytest.mark.parametrize(
    "edit", ["density: 2810 kg/m3", "kerf: 0.1 mm", "thickness: 2 mm ± 0.1 mm", "price: 22 EUR"]
)
def test_what_was_learned_of_a_sheet_cuts_nothing_anew(edit):
    key = edit.partition(":")[0]
    was = "thickness: 2 mm" if key == "thickness" else "price: 20 EUR" if key == "price" else ""
    head = HEAD.replace(was, edit) if was else HEAD.replace("sheet: 100", f"{edit}, sheet: 100")
    after = spec_of(f"{head}parts: {{{SIDE}}}\n", "B", drawings=DRAWN)
    assert after.design.stock != spec(SIDE).design.stock
    found = bill(spec(SIDE), after)
    assert (found.cut, found.scrap, found.keep) == ((), (), ("side",))


@pytest.mark.parametrize("edit", ["thickness: 3 mm", "thickness: 2.5 mm ± 0.5 mm"])
def test_another_thickness_of_a_stock_is_another_piece(edit):
    after = spec_of(f"{HEAD.replace('thickness: 2 mm', edit)}parts: {{{SIDE}}}\n", "B", drawings=DRAWN)
    found = bill(spec(SIDE), after)
    assert [(cut.ref, cut.count) for cut in found.cut] == [("side", 2)]
    assert found.scrap == ("side",)


def test_a_bought_part_under_another_name_is_not_bought_again():
    found = bill(spec("lamp: {mass: 3 g}"), spec("light: {mass: 3 g}"), {"lamp": "light"})
    assert (found.buy, found.keep, found.scrap) == ((), ("light",), ())


POD = """\
module: pod
stock: {al: {material: aluminium-7075, thickness: 4 mm, sheet: 50 x 50 mm, price: 5 EUR}}
parts: {bracket: {stock: al, area: 10 cm2}}
options: {gears: {slow: {parts: {slow-set: {mass: 3 g, item: slow set}}}, fast: {parts: {fast-set: {mass: 3 g, item: fast set}}}}}
fitted: {gears: slow}
"""


def test_deep_inside_a_module_things_of_choices_that_are_not_fitted_are_there_too():
    pod = spec_of(POD, "A")
    robot = spec(
        "arm: {mass: 5 g, item: arm}", "modules: {left: pod@A, right: {use: pod@A, fitted: {gears: fast}}}\n"
    )
    found = bill(None, robot, deep=True, modules=(pod,))
    assert {(buy.item, buy.count) for buy in found.buy} == {("arm", 1), ("slow set", 2), ("fast set", 2)}
    assert {cut.ref for cut in found.cut} == {"left.bracket", "right.bracket"}


def test_stocks_of_one_name_in_two_designs_are_two_stocks():
    pod = spec_of(POD, "A")
    robot = spec(SIDE.replace("count: 2", "count: 1"), "modules: {left: pod@A}\n")
    found = bill(None, robot, deep=True, modules=(pod,))
    assert {need.name: (need.area_mm2, need.sheets) for need in found.stock} == {
        "al (aluminium-7075, 2 mm)": (4000, 1),
        "al (aluminium-7075, 4 mm)": (1000, 1),
    }
    assert found.cost_by_currency == {"EUR": 25}
