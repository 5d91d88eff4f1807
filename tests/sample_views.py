"""Views filled by hand, so that pages and tables are tested without any family."""

from collections.abc import Mapping
from typing import Any

from lineage.reports.views import card as c
from lineage.reports.views import card_more as o
from lineage.reports.views import compare as m
from lineage.reports.views import family as f
from lineage.reports.views import history as h
from lineage.reports.views import lessons as s
from lineage.reports.views import spares as p
from lineage.reports.views import todo as t
from lineage.reports.views.figures import ValueU

NO_FAILURES = c.FailuresView(bouts=0, minutes=None, unmatched=0, items=(), found=())


def weight(**keys: Any) -> c.WeightView:
    """A robot of two roles, weighed, under its limit."""
    plain: dict[str, Any] = {
        "predicted_g": ValueU(1342.63, 8.1),
        "known_items": 3,
        "items_without_mass": (),
        "measured_g": ValueU(1352.0, 0.65),
        "measured_on": "2024-02-17",
        "normalised_error": 1.7,
        "usual_gap_g": c.UsualGap(value=9.3, u=2.0, builds=3),
        "margin_g": ValueU(8.8, 0.65),
        "chance_over": 0.0004,
        "role_may_be": {"chassis": c.RoleMayBe(now_g=900.5, may_be_g=908.0)},
        "by_role_g": {"chassis": 900.5, "fasteners": 442.13},
        "by_material_g": {"uhmw-pe": 900.5, "not known": 442.13},
        "by_module_g": {"own": 1342.63},
        "choices": {"fork": {"long": 31.0, "short": 24.25}},
        "balance": c.Balance(
            centre_mm=(ValueU(76.4, 0.35), ValueU(0.0, 0.0), ValueU(37.12, 0.125)), known_mass_g=269.9
        ),
        "items": (
            c.ItemView(ref="side", kind="part", count=2, mass_g=ValueU(900.5, 4.0), basis="drawing"),
            c.ItemView(
                ref="deck-screws", kind="fasteners", count=8, mass_g=ValueU(442.13, None), basis="standard"
            ),
            c.ItemView(ref="lamp", kind="part", count=1, mass_g=None, basis=None),
        ),
    }
    return c.WeightView(**{**plain, **keys})


def fit(**keys: Any) -> c.FitView:
    """A gap of two terms that meets its need."""
    plain: dict[str, Any] = {
        "nominal_mm": 5.0,
        "worst_mm": (4.3, 5.7),
        "rss_mm": (4.46, 5.54),
        "need_mm": (1.0, None),
        "chance_missed": 1e-9,
        "measured_mm": ValueU(4.9, 0.03),
        "contributors": (
            c.ContributorView(
                ref="side.bay-height",
                coefficient=1.0,
                nominal_mm=22.0,
                tolerance_mm=0.2,
                from_="typed",
                share=0.14,
            ),
            c.ContributorView(
                ref="battery.height",
                coefficient=-1.0,
                nominal_mm=17.0,
                tolerance_mm=0.5,
                from_="typed",
                share=0.86,
            ),
        ),
        "fails_with": (),
        "tighten_first": "battery.height",
        "holds": "by root sum square",
    }
    return c.FitView(**{**plain, **keys})


def card(**keys: Any) -> c.Card:
    """A card with something in every part."""
    plain: dict[str, Any] = {
        "design": "wren",
        "build": "C",
        "on": "2024-02-17",
        "title": "Wren, the small one",
        "class_": c.ClassView(name="3lb", limit_g=1360.8, size_ok=True, materials_against=()),
        "weight": weight(),
        "fits": {"deck-over-battery": fit()},
        "bays": {
            "tray": c.BayView(
                goes_in=True,
                spare_mm=(13.0, 7.0, 4.0),
                fill=0.23,
                placement=({"ref": "receiver", "piece": 1, "at_mm": (1, 1, 1), "size_mm": (28, 19, 9)},),
                why="as placed",
            )
        },
        "grips": {
            "deck-screws": c.GripView(engaged_turns=3.5, protrusion_mm=0.4, warnings=("fewer than 4 turns",))
        },
        "access": {
            "battery": c.AccessView(
                screws=8, seconds=ValueU(95.2, 20.0), tools=("2 mm hex key",), undo=("deck-screws",),
                off=("top-deck",), ways=1, fits_turnaround=True, chance_in_time=0.97,
                steps=(
                    c.StepView(do="undo", ref="deck-screws", screws=8, type="M3x8 button", tool="2 mm hex key"),
                    c.StepView(do="off", ref="top-deck"),
                ),
            ),
            "pod.gearbox": c.AccessView(
                screws=None, seconds=None, tools=(), undo=(), off=(), ways=0, fits_turnaround=None,
                blocked_by=("pod.gearbox", "pod.motor"),
            ),
        },
        "wrong_ways": {
            "side": c.WrongWaysView(orientations=4, marked=False, nearest_mm=3.27, can_go_wrong=True),
            "lid": c.WrongWaysView(orientations=1, marked=None, nearest_mm=0.43, looks_right=True, can_go_wrong=True),
            "left": c.WrongWaysView(
                orientations=1, marked=None, nearest_mm=7.5, mirror_of=("right",), can_go_wrong=True
            ),
        },
        "failures": c.FailuresView(
            bouts=12,
            minutes=19.5,
            unmatched=1,
            items=(
                c.FailureView(
                    at="pod.gearbox", mode="teeth stripped", severity="disabling", count=3,
                    share=c.ShareView(0.25, 0.0549, 0.5719), cost_s=720.0,
                ),
                c.FailureView(at="side", mode="scratched", severity="cosmetic", count=2, share=None, cost_s=None),
            ),
            found=(c.FoundView(at="battery", mode="dented", count=1),),
            left_out=("1 bout whose build is not certain stays out",),
        ),
        "snags": (c.SnagView(during="assembling", at="box", mode="glue let go", count=1, cost_s=7200.0),),
        "trials": (c.TrialView(of="self-right", passed=7, tries=10, low=0.3475, high=0.9333),),
        "cautions": ("Before any work: power link out.", "Lithium cells: charge attended."),
        "spin": (
            o.SpinView(ref="disc", rpm=9000.0, inertia_kg_m2=ValueU(2.6e-4, 1e-5), energy_J=ValueU(117.3, 4.0), tip_m_s=47.1),
        ),
        "drive": o.DriveView(
            top_speed_m_s=2.43, push_N=72.8, grip_limit_N=ValueU(11.04, 0.5), first="grip", read={"stall push": ValueU(9.87, 0.1)}
        ),
        "ballast_g": 2.74,
        "empty_holes": {"deck-screws": 4},
        "weighings": (
            o.WeighedThingView(
                of=("pod", "tray"), on="2024-02-17", measured_g=ValueU(151.4, 0.12), predicted_g=ValueU(147.93, 2.1),
                normalised_error=1.65, lacking=(), difference_g=ValueU(3.47, 2.1),
                suspects=(o.SuspectView(what="mass by a table", about=("ISO 4762 M3x10",), why="it is light", grams=0.41),),
            ),
        ),
        "suspects": (o.SuspectView(what="thickness of the sheet", about=("side",), why="it is the widest", grams=3.31),),
        "measured_gaps": {"deck-over-battery": o.MeasuredGapView(residual_mm=-0.1, normalised_error=-0.4, meets_need=True)},
        "spare_screws": (
            o.SpareScrewsView(ref="deck-screws", count=8, enough=4, could_go=4, role="chassis", holes=12, grams=2.41, seconds=39.0),
        ),
        "service_load": o.LoadView(seconds_per_bout=58.0, dominant="pod.gearbox", items={"pod.gearbox": 58.0}, not_known=()),
        "outside": o.OutsideView(
            size_mm=(246.0, 168.0, 94.0), class_mm=(250.0, 250.0, None), fits_class=True,
            event_mm=(240.0, 240.0, 240.0), fits_event=False,
        ),
        "pace": o.PaceView(factor=1.04, spread=0.15, timed=6, turnaround_s=1200.0),
        "timed_services": (
            o.TimedView(
                of="battery", on="2024-02-17", timed_s=ValueU(88.0, 2.0), predicted_s=ValueU(95.2, 20.0), ratio=0.924
            ),
        ),
    }  # fmt: skip
    return c.Card(**{**plain, **keys})


def evidence(**keys: Any) -> m.EvidenceView:
    """A clear improvement, counted."""
    plain: dict[str, Any] = {
        "figure": "failures",
        "counting": "bout",
        "before": {"failures": 12, "exposure": 23},
        "after": {"failures": 1, "exposure": 18},
        "ratio": 0.106,
        "odds_ratio": 0.0564,
        "difference": None,
        "interval95": (0.0011, 0.489),
        "p_value": 0.0024,
        "method": "exact conditional (hypergeometric)",
        "strata": (
            m.StratumView(
                design="wren", before={"failures": 8, "exposure": 13}, after={"failures": 1, "exposure": 9}
            ),
            m.StratumView(
                design="teal", before={"failures": 4, "exposure": 10}, after={"failures": 0, "exposure": 9}
            ),
        ),
        "others": (),
        "luck": 0.0012,
        "to_settle": 0,
        "verdict": "helped",
        "text": "Failed in 12 of 23 → 1 of 18 bouts: helped.",
    }
    return m.EvidenceView(**{**plain, **keys})


def change(where: str = "pod", mass_g: float | None = 2.35, **keys: Any) -> m.ChangeView:
    """A module moved on, with a reason, an expectation and evidence."""
    plain: dict[str, Any] = {
        "id": f"module moved on:{where}",
        "where": where,
        "kind": "module moved on",
        "from_": "drive-pod@A",
        "to": "drive-pod@B",
        "text": f"{where}: module moved on drive-pod@A → drive-pod@B",
        "notes": (m.NoteView(why="steel gears", aim=(), for_=(), expect={}),),
        "described_better": False,
        "effect": m.EffectView(
            mass_g=mass_g,
            gaps_mm={"deck-over-battery": -0.3},
            access={"pod": m.BeforeAfter(screws=(8, 6), seconds=(95.0, 70.0))},
        ),
        "factors_g": {"thickness": 3.0, "area": -0.65},
        "evidence": (evidence(),),
        "verdict": "helped",
        "delivered": {"failures pod": m.DeliveredView(expected="none", got="1 of 18", kept=False)},
    }
    return m.ChangeView(**{**plain, **keys})


def work(**keys: Any) -> t.TodoView:
    """Something to do of every kind."""
    plain: dict[str, Any] = {
        "cut": (t.CutView(ref="belly", drawing="plates/belly.dxf", stock="al-2", count=1),),
        "print": (t.PrintView(ref="duct", count=2, note="three walls"),),
        "stock": (
            t.StockView(
                name="al-2", area_mm2=14_210.0, length_mm=None, sheets=1, bars=None, cut_length_mm=1113.2
            ),
        ),
        "buy": (t.BuyView(item="controller 45 A", count=1, cost="34.00 EUR"),),
        "screws": (t.ScrewsView(type="M3x8 button", count=2),),
        "rework": (t.ReworkView(ref="receiver", do="case removed", takes_s=600.0),),
        "keep": ("side",),
        "scrap": ("old belly",),
        "cost_by_currency": {"EUR": 45.0},
    }
    return t.TodoView(**{**plain, **keys})


NOTHING_TO_DO = t.TodoView(
    cut=(), print=(), stock=(), buy=(), screws=(), rework=(), keep=(), scrap=(), cost_by_currency={}
)


def todo(**keys: Any) -> t.Todo:
    """A work list."""
    plain: dict[str, Any] = {
        "design": "wren",
        "todo": work(),
        "next": ("a hinged deck",),
        "before": "wren@C",
        "after": "wren@now",
        "inspect": ("radio failsafe",),
        "cautions": ("Before any work: power link out.",),
    }
    return t.Todo(**{**plain, **keys})


def pair(**keys: Any) -> m.PairView:
    """Two builds, one change known in mass, one not, one only described better."""
    plain: dict[str, Any] = {
        "before": "wren@B",
        "after": "wren@C",
        "pairing": (m.PairingView(before="bar", after="rear-bar", by="rename"),),
        "changes": (
            change(),
            change("pod-right"),
            change("lamp", None, evidence=(), verdict="worked out", factors_g=None, delivered={}),
            change("lid", 0.5, described_better=True, evidence=(), verdict="worked out", delivered={}),
        ),
        "totals": m.TotalsView(
            mass_g=m.Totals(before=1337.43, after=1342.63, change=5.2),
            gaps_mm={"deck-over-battery": m.Totals(before=5.3, after=5.0, change=-0.3)},
            access={"pod": m.BeforeAfter(screws=(8, 6), seconds=(95.0, 70.0))},
        ),
        "weighed_g": m.WeighedView(
            before=ValueU(1343.1, 0.12), after=ValueU(1352.0, 0.65), change=ValueU(8.9, 0.66)
        ),
        "measured": (
            evidence(
                figure="reading stall push", counting=None, before={"n": 2, "value": 21.4, "u": 0.2},
                after={"n": 2, "value": 23.1, "u": 0.2}, odds_ratio=None, ratio=None, difference=1.7, p_value=None,
                strata=(), text="stall push: 21.4 N → 23.1 N: helped.",
            ),
        ),
        "todo": work(),
        "hints": (m.HintView(before="bar", after="beam", why="same drawing"),),
        "missing_mass": ("lamp",),
    }  # fmt: skip
    return m.PairView(**{**plain, **keys})


def compare(**keys: Any) -> m.Compare:
    """Two builds of one robot."""
    plain: dict[str, Any] = {
        "designs": (card(build="B"), card()),
        "shared": m.SharedView(modules=(), stock=(), items=()),
        "pairs": (pair(),),
    }
    return m.Compare(**{**plain, **keys})


def lessons(**keys: Any) -> s.Lessons:
    """The report after an event."""
    plain: dict[str, Any] = {
        "event": "2024-04-20-spring-tide",
        "on": "2024-04-20",
        "title": "Spring Tide",
        "entries": (
            s.EntryView(
                robot="wren", build="C", weighed_g=1352.0, margin_g=8.8, bouts=3, won=2, lost=1, drawn=0,
                lost_because=("no drive on the left",),
            ),
        ),
        "broke": (
            s.BrokeView(
                robot="wren", at="pod.gearbox", mode="teeth stripped", severity="disabling", count=2, cost_s=720.0,
                cost_bout=1, seen_before=3, rank=1,
            ),
        ),
        "time": s.TimeView(
            turnaround_s=1200.0,
            fixes=(
                s.FixView(robot="wren", bout="2", at="pod.gearbox", took_s=1500.0, predicted_s=95.0, over=True),
            ),
        ),
        "changes": (change(),),
        "snags": (c.SnagView(during="assembling", at=None, mode="glue let go", count=1, cost_s=None),),
        "lessons": (
            s.LessonView(
                lesson="steel-gears", state="came back", about=("pod.gearbox",),
                also_in=(s.AlsoView(design="teal", build="B", ref="pod.gearbox", why="same module"),),
                title="Brass gears strip", text="1 of 18 since.",
            ),
        ),
        "first": (
            s.FirstView(what="wren pod.gearbox: teeth stripped", why="cost 1 bout", cost_bouts=1, cost_s=720.0, count=2),
        ),
        "pit_left": ("wren, bout 2: taped",),
        "packing": {
            "wren": s.PackingView(
                packing=(
                    s.PackView(item="gear set", ref="pod.gearbox", quantity=2, chance_short=0.031, rework=("deburr",), always=False),
                    s.PackView(item="tape", ref=None, quantity=None, chance_short=None, rework=(), always=True),
                ),
                chance_box_short=0.12,
                basis="3 bouts",
            )
        },
        "cautions": ("Before any work: power link out.",),
        "said": ("1 bout without a duration",),
    }  # fmt: skip
    return s.Lessons(**{**plain, **keys})


def history(**keys: Any) -> h.History:
    """Three builds, the first without a bout; a change with evidence, one only described better, a snag."""
    plain: dict[str, Any] = {
        "design": "wren",
        "title": "Wren, the small one",
        "now": "same as C",
        "grew": f.GrewView(build="teal@A", newer=("B",)),
        "steps": (
            h.StepView(
                label="A", on="2023-03-04", why=("first build",), changes=(),
                figures=h.FiguresView(
                    mass_g=1368.05, slowest_way_s=929.0, least_gap_mm=None, share_of_bouts_failed=None, weighed_g=1377.9
                ),
            ),
            h.StepView(
                label="B", on="2023-09-09", before="A", why=("over the limit",),
                changes=(change(), change("lid", 0.5, described_better=True, evidence=(), verdict="worked out")),
                figures=h.FiguresView(
                    mass_g=1333.3, slowest_way_s=929.0, least_gap_mm=3.0, share_of_bouts_failed=0.9, weighed_g=1343.1, bouts=10
                ),
                snags=(c.SnagView(during="charging", at="tray.battery", mode="puffed", count=1, cost_s=None),),
            ),
            h.StepView(
                label="C", on="2024-02-17", before="B", why=(), beside=("D",), problem="spec.yaml: a key is not known",
                learned=(h.LearnedView(lesson="steel-gears", title="Brass gears strip", state="holding", answers=True),),
                changes=(change("lamp", None, evidence=(), verdict=None),),
                figures=h.FiguresView(mass_g=None, slowest_way_s=857.0, least_gap_mm=2.5, share_of_bouts_failed=0.25, bouts=4),
            ),
        ),
    }  # fmt: skip
    return h.History(**{**plain, **keys})


def family(**keys: Any) -> f.FamilyView:
    """Two robots, one grown from the other, and a module that one of them has an old build of."""
    plain: dict[str, Any] = {
        "title": "Shed birds",
        "designs": (
            f.DesignView(
                name="teal", kind="robot", class_="3lb", state="running", from_="wren@A", now="changed", title=None,
                grew=f.GrewView(build="wren@A", newer=("B",)),
                builds=(f.BuildView(label="A", on="2023-06-01", before=None, uses=("pod@A",)),),
                events={"2023-10-07-creek": "A", "2024-04-20-tide": None}, next=("a wider fork",),
            ),
            f.DesignView(
                name="wren", kind="robot", class_="3lb", state="running", from_=None, now="same as B",
                builds=(
                    f.BuildView(label="A", on="2023-03-04", before=None, uses=("pod@A",)),
                    f.BuildView(label="B", on="2024-05-01", before="A", uses=("pod@B",)),
                ),
                events={"2023-10-07-creek": "A"},
            ),
            f.DesignView(
                name="pod", kind="module", class_=None, state=None, from_=None, now="same as B",
                builds=(
                    f.BuildView(label="A", on="2023-02-12", before=None),
                    f.BuildView(label="B", on="2024-01-13", before="A", beside=("C",)),
                ),
            ),
            f.DesignView(
                name="lifter", kind="module", class_=None, state="idea", from_=None, now="changed", builds=()
            ),
        ),
        "uses": (
            f.UseView(design="teal", place="pod-left", module="pod", label="A", lags=1),
            f.UseView(design="teal", place="pod-right", module="pod", label="A", lags=1),
            f.UseView(design="wren", place="pod-left", module="pod", label="B", lags=0),
        ),
        "tally": (
            f.TallyView(kind="thickness", changes=3, mass_g=-4.9, kept=1, judged=2, verdicts={"helped": 2}, mass_not_known=7),
        ),
        "lessons": (
            f.LessonStateView(name="steel-gears", state="holding", lesson="Brass gears strip"),
            f.LessonStateView(name="belt", state="came back", lesson="The belt jumps off"),
        ),
        "stock": (f.SheetView(material="uhmw-pe", thickness_mm=6.35, area_mm2=81_250.0, designs=("teal", "wren")),),
        "events": ("2023-10-07-creek", "2024-04-20-tide"),
        "behind": siblings().shared.behind,
    }  # fmt: skip
    return f.FamilyView(**{**plain, **keys})


def spares(**keys: Any) -> p.Spares:
    """A robot's box."""
    plain: dict[str, Any] = {
        "design": "wren",
        "bouts": 6,
        "packing": lessons().packing["wren"].packing,
        "chance_box_short": 0.12,
        "basis": "for 6 bouts; 40 pieces over the family to go by",
        "cautions": ("Before any work: power link out.",),
    }
    return p.Spares(**{**plain, **keys})


def all_views() -> Mapping[str, Any]:
    """One view for every page."""
    return {
        "card": card(),
        "compare": compare(),
        "lessons": lessons(),
        "todo": todo(),
        "history": history(),
        "family": family(),
        "spares": spares(),
    }


def siblings() -> m.Compare:
    """Two robots by their things, one of them with an old build of a module."""
    moved = change("pod", 2.35, evidence=(evidence(counting=None, text="Timed 95 s → 70 s: helped."),))
    step = m.ModuleStepView(
        before="pod@A",
        after="pod@B",
        why=("steel gears",),
        mass_g=2.35,
        changes=(moved,),
        evidence=evidence(),
    )
    lag = m.LagView(
        design="teal@B", module="pod", places=("pod-left",), label="A", newest="B", steps=(step,), mass_g=4.71,
        gaps_mm={"deck-over-battery": m.Totals(before=5.3, after=5.01, change=-0.29)}, misses=("deck-over-battery",),
    )  # fmt: skip
    hub = m.LagView(design="teal@B", module="hub", places=("pod-left.hub",), label="A", newest="C", steps=())
    arm = m.OtherwiseView(
        before="arm", after="wedge", by="role", idea="front", mass_g=(75.71, 104.12), of_limit=(0.056, 0.077), changes=(
            "module moved on:pod",
        ),
    )  # fmt: skip
    side = m.OtherwiseView(
        before="side",
        after="side",
        by="name",
        idea="chassis",
        mass_g=(88.7, 88.7),
        of_limit=(0.065, 0.065),
        changes=(),
    )
    things = m.SiblingsView(
        alike=(side,),
        otherwise=(arm,),
        only_before=(m.OneThingView(ref="disc", what="weapon", mass_g=417.43, of_limit=0.307),),
        only_after=(m.OneThingView(ref="lifter", what="lifter", mass_g=None, of_limit=None),),
        whole=("module moved on:lamp",),
    )
    shared = m.SharedView(
        modules=(m.SharedModule(name="pod", builds={"wren": "B", "teal": "A"}, lags=("teal",)),),
        stock=("pc-3",), items=("motor",), plates=("tail",), behind=(lag, hub),
    )  # fmt: skip
    return compare(
        designs=(card(), card(design="teal", build="B")),
        shared=shared,
        pairs=(pair(before="wren@C", after="teal@B", siblings=True, by_thing=things),),
    )
