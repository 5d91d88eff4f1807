"""`card`, `compare`, `lessons`, `todo` and `check` on the sample family: text, JSON, page and table."""

import csv
import io
import re
from html import unescape

import pytest

from tests.program import fine, lineage

EVENT = "2025-04-05-mudflat-cup"
ASKED = {
    "card": ("card", "avocet@E"),
    "compare": ("compare", "turnstone@B", "turnstone@C"),
    "lessons": ("lessons", EVENT),
    "todo": ("todo", "avocet"),
}

WEIGHT = """predicted_g known_items items_without_mass measured_g measured_on normalised_error usual_gap_g margin_g
    chance_over role_may_be by_role_g by_material_g by_module_g choices balance items"""
FIT = "nominal_mm worst_mm rss_mm need_mm chance_missed measured_mm contributors fails_with"
CHANGE = "id where kind from to text notes described_better effect factors_g evidence verdict delivered"
EVIDENCE = """figure counting before after ratio odds_ratio difference interval95 p_value method strata others luck
    to_settle verdict text"""
TODO = "cut print stock buy screws rework keep scrap cost_by_currency"
VERDICTS = {
    "helped",
    "made it worse",
    "leaning better",
    "leaning worse",
    "too few to tell",
    "not tried yet",
    "nothing to compare with",
    "not known which way is better",
    "worked out",
}


@pytest.fixture(scope="module")
def shown(demo, tmp_path_factory):
    """Each answer as JSON, page and table, asked once."""
    folder = tmp_path_factory.mktemp("answers")
    found = {}
    for name, words in ASKED.items():
        files = folder / f"{name}.html", folder / f"{name}.csv"
        answer = fine(demo, *words, "--json", "--html", str(files[0]), "--csv", str(files[1]))
        assert re.findall(r"(page|table) written", answer.err) == ["page", "table"]
        found[name] = (answer.json, files[0].read_text(), files[1].read_text())
    return found


@pytest.fixture(scope="module")
def answers(shown):
    """Each answer as JSON."""
    return {name: answer for name, (answer, _, _) in shown.items()}


def has_keys(found, words):
    """The keys are there in this order; others may stand between them."""
    wanted = words.split()
    assert [key for key in found if key in wanted] == wanted


def is_figure(found):
    assert found is None or list(found) == ["value", "u"]


def test_a_card_answers_with_all_its_keys_in_order(answers):
    card = answers["card"]
    has_keys(
        card, "format design build on title class weight fits bays access failures snags trials cautions"
    )
    assert (card["format"], card["design"], card["build"], card["on"]) == (1, "avocet", "E", "2025-02-01")
    has_keys(card["class"], "name limit_g size_ok materials_against")
    has_keys(card["weight"], WEIGHT)
    for key in ("predicted_g", "measured_g", "margin_g"):
        is_figure(card["weight"][key])
    for item in card["weight"]["items"]:
        has_keys(item, "ref kind count mass_g basis")
        is_figure(item["mass_g"])
    for fit in card["fits"].values():
        has_keys(fit, FIT)
        for term in fit["contributors"]:
            has_keys(term, "ref coefficient nominal_mm tolerance_mm from share")
    for bay in card["bays"].values():
        has_keys(bay, "goes_in spare_mm fill placement")
    for grip in card["grips"].values():
        has_keys(grip, "engaged_turns protrusion_mm warnings")
    for way in card["access"].values():
        has_keys(way, "screws seconds tools undo off ways fits_turnaround")
    for ways in card["wrong_ways"].values():
        has_keys(ways, "orientations marked nearest_mm")
    has_keys(card["failures"], "bouts minutes unmatched items found")
    for failure in card["failures"]["items"]:
        has_keys(failure, "at mode severity count share cost_s")


def test_what_a_card_weighs_adds_up_in_every_way_of_sharing(answers):
    weight = answers["card"]["weight"]
    predicted = weight["predicted_g"]["value"]
    assert sum(weight["by_role_g"].values()) == pytest.approx(predicted, abs=1e-9)
    assert sum(weight["by_material_g"].values()) == pytest.approx(predicted, abs=1e-9)
    assert sum(weight["by_module_g"].values()) == pytest.approx(predicted, abs=1e-9)
    known = [item["mass_g"]["value"] for item in weight["items"] if item["mass_g"] is not None]
    assert sum(known) == pytest.approx(predicted, abs=1e-9)


def test_a_comparison_answers_with_all_its_keys_in_order(answers):
    compare = answers["compare"]
    has_keys(compare, "format designs shared pairs")
    assert [design["build"] for design in compare["designs"]] == ["B", "C"]
    has_keys(compare["shared"], "modules stock items")
    for module in compare["shared"]["modules"]:
        has_keys(module, "name builds lags")
    (pair,) = compare["pairs"]
    has_keys(pair, "before after pairing changes totals weighed_g measured todo")
    has_keys(pair["totals"], "mass_g gaps_mm access")
    has_keys(pair["weighed_g"], "before after change")
    has_keys(pair["todo"], TODO)
    assert pair["changes"]
    for change in pair["changes"]:
        has_keys(change, CHANGE)
        has_keys(change["effect"], "mass_g gaps_mm access")
        assert change["verdict"] is None or change["verdict"] in VERDICTS
        for note in change["notes"]:
            has_keys(note, "why aim for expect")
        for evidence in change["evidence"]:
            has_keys(evidence, EVIDENCE)
            assert evidence["verdict"] in VERDICTS


def test_changes_add_up_to_the_change_of_the_whole(answers):
    (pair,) = answers["compare"]["pairs"]
    mass = sum(change["effect"]["mass_g"] or 0 for change in pair["changes"])
    assert mass == pytest.approx(pair["totals"]["mass_g"]["change"], abs=1e-9)
    for fit, total in pair["totals"]["gaps_mm"].items():
        gap = sum(change["effect"]["gaps_mm"].get(fit, 0) for change in pair["changes"])
        assert gap == pytest.approx(total["change"] or 0, abs=1e-9), fit
    for change in pair["changes"]:
        if change["factors_g"] is not None:
            parts = sum(change["factors_g"].values())
            assert parts == pytest.approx(change["effect"]["mass_g"], abs=1e-9), change["where"]


def test_steel_gears_helped_in_every_robot_that_took_them(answers):
    """The counts stand in the sample's own README: 15 of 46 bouts before, 2 of 46 after."""
    (pair,) = answers["compare"]["pairs"]
    change = next(change for change in pair["changes"] if change["where"] == "drive-left-front")
    counted = [e for e in change["evidence"] if e["counting"] == "bout"]
    assert change["verdict"] == "helped"
    assert counted[0]["before"] == {"failures": 15, "exposure": 46}
    assert counted[0]["after"] == {"failures": 2, "exposure": 46}


def test_lessons_answer_with_all_their_keys_in_order(answers):
    lessons = answers["lessons"]
    has_keys(
        lessons,
        "format event on entries broke time changes snags lessons first pit_left packing cautions",
    )
    assert (lessons["event"], lessons["on"]) == (EVENT, "2025-04-05")
    assert [entry["robot"] for entry in lessons["entries"]] == ["turnstone", "avocet", "whimbrel", "dunlin"]
    for entry in lessons["entries"]:
        has_keys(entry, "robot build weighed_g margin_g bouts won lost drawn lost_because")
    for broke in lessons["broke"]:
        has_keys(broke, "robot at mode severity count cost_s cost_bout seen_before rank")
    has_keys(lessons["time"], "turnaround_s fixes")
    for fix in lessons["time"]["fixes"]:
        has_keys(fix, "robot bout at took_s predicted_s over")
    for lesson in lessons["lessons"]:
        has_keys(lesson, "lesson state about also_in")
    for first in lessons["first"]:
        has_keys(first, "what why cost_bouts cost_s count")
    for box in lessons["packing"].values():
        for spare in box["packing"]:
            has_keys(spare, "item ref quantity chance_short rework always")


def test_lessons_know_what_held_and_what_came_back(answers):
    state = {lesson["lesson"]: lesson["state"] for lesson in answers["lessons"]["lessons"]}
    assert state["belt-tension"] == "came back"
    assert state["grub-screws"] == "trying"


def test_a_work_list_answers_with_all_its_keys(answers):
    todo = answers["todo"]
    has_keys(todo, "format next before after")
    has_keys(todo, TODO)
    assert (todo["before"], todo["after"]) == ("avocet@E", "avocet@now")
    assert "try the disc at 10500 rpm on the stand" in todo["next"]
    assert [cut["ref"] for cut in todo["cut"]] == ["belly"]


def test_a_history_answers_with_all_its_keys_in_order(demo):
    history = fine(demo, "history", "turnstone", "--json").json
    has_keys(history, "format design steps")
    assert [step["label"] for step in history["steps"]] == ["A", "B", "C", "D", "E"]
    for step in history["steps"]:
        has_keys(step, "label on why changes figures")
        has_keys(step["figures"], "mass_g slowest_way_s least_gap_mm share_of_bouts_failed")
        for change in step["changes"]:
            has_keys(change, CHANGE)
    first, last = history["steps"][0], history["steps"][-1]
    assert first["changes"] == []
    assert last["on"] == "2025-02-01"


def test_the_family_answers_with_all_its_keys_in_order(demo):
    family = fine(demo, "family", "--json").json
    has_keys(family, "format designs uses tally lessons stock")
    for design in family["designs"]:
        has_keys(design, "name kind class state from builds now")
        for build in design["builds"]:
            has_keys(build, "label on before")
    for use in family["uses"]:
        has_keys(use, "design place module label lags")
    for kind in family["tally"]:
        has_keys(kind, "kind changes mass_g kept judged verdicts")
    now = {design["name"]: design["now"] for design in family["designs"]}
    assert now["avocet"] == "changed"
    assert now["turnstone"] == "same as E"
    grew = {design["name"]: design["from"] for design in family["designs"]}
    assert grew["avocet"] == "turnstone@A"


def test_spares_answer_with_all_their_keys_in_order(demo):
    spares = fine(demo, "spares", "avocet", "--bouts", "8", "--json").json
    has_keys(spares, "format packing chance_box_short basis")
    for item in spares["packing"]:
        has_keys(item, "item ref quantity chance_short rework always")
    assert any(item["always"] for item in spares["packing"])
    more = fine(demo, "spares", "avocet", "--bouts", "30", "--json").json
    assert packed(more) > packed(spares)


def packed(spares):
    return sum(item["quantity"] or 0 for item in spares["packing"] if not item["always"])


def test_check_answers_with_places_and_cures(demo):
    answer = fine(demo, "check", "--json").json
    has_keys(answer, "format problems")
    assert answer["problems"]
    for problem in answer["problems"]:
        has_keys(problem, "file line column code what wanted mend level")
        assert problem["level"] == "warning"
    assert {problem["code"] for problem in answer["problems"]} == {"unmatched-damage", "need-missed"}


@pytest.mark.parametrize("name", ASKED)
def test_text_page_and_table_say_the_same(demo, shown, name):
    answer, page, table = shown[name]
    assert page.lower().startswith("<!doctype html>")
    assert page.rstrip().endswith("</html>")
    assert list(csv.DictReader(io.StringIO(table)))
    text = fine(demo, *ASKED[name]).out.replace("\n", " ")
    seen = unescape(re.sub(r"<[^>]+>", "", page))
    for thing in NAMED[name](answer):
        assert thing in text
        assert thing in seen


NAMED = {
    "card": lambda card: [*card["fits"], *(card["bays"] or ()), "avocet@E"],
    "compare": lambda compare: [change["where"] for change in compare["pairs"][0]["changes"]],
    "lessons": lambda lessons: [entry["robot"] for entry in lessons["entries"]],
    "todo": lambda todo: [*todo["scrap"], *(cut["drawing"] for cut in todo["cut"])],
}


def test_a_table_has_each_item_with_its_mass(demo, answers):
    rows = list(csv.DictReader(io.StringIO(fine(demo, *ASKED["card"], "--csv", "-").out)))
    items = answers["card"]["weight"]["items"]
    assert [row["ref"] for row in rows] == [item["ref"] for item in items]
    for row, item in zip(rows, items, strict=True):
        assert float(row["mass_g"]) == pytest.approx(item["mass_g"]["value"])


def test_the_pages_of_the_demo_are_one_file_each_and_ask_nothing_of_anywhere(demo):
    pages = sorted((demo / "pages").glob("*.html"))
    kinds = {page.name.partition("-")[0] for page in pages}
    assert kinds >= {"card", "compare", "lessons", "todo"}
    for page in pages:
        html = page.read_text()
        fetched = re.findall(r"""(?:src|href)=["'](?!#|data:)([^"']+)""", html)
        assert all(not link.startswith(("http", "//", "file")) for link in fetched), page.name
        assert "@import" not in html
        assert "url(http" not in html


def test_the_demo_leaves_a_clean_history_in_which_nothing_is_wrong(family):
    assert family.status == ""
    answer = fine(family.root, "check")
    assert "error" not in answer.out


def test_a_second_demo_has_the_same_commits(demo, family):
    """Authors and dates are fixed, so the history comes out the same everywhere."""
    first = "Begin the family"
    assert family.git("log", "--format=%s", "--reverse").splitlines()[0] == first
    authors = set(family.git("log", "--format=%an").splitlines())
    assert authors == {"Wendle", "Orra", "Pib"}
    years = {line[:4] for line in family.git("log", "--format=%aI").splitlines()}
    assert years == {"2023", "2024", "2025"}


def test_lessons_go_by_a_title_that_only_one_event_has(demo):
    by_title = fine(demo, "lessons", "Mudflat Cup 2025", "--json").json
    assert by_title["event"] == EVENT
    unknown = lineage(demo, "lessons", "nowhere")
    assert unknown.status == 2
    assert EVENT in unknown.err


def test_any_state_that_was_ever_committed_can_be_asked_for(family):
    revision = family.git("log", "--format=%H", "-1", "--grep", "Record avocet@B")
    then = fine(family.root, "card", f"avocet@git:{revision}", "--json").json
    build = fine(family.root, "card", "avocet@B", "--json").json
    assert [item["ref"] for item in then["weight"]["items"]] == [
        item["ref"] for item in build["weight"]["items"]
    ]
    assert then["weight"]["measured_on"] != build["weight"]["measured_on"]  # it was weighed later
    last = fine(family.root, "card", "avocet@git:HEAD", "--json").json
    assert last["weight"] == fine(family.root, "card", "avocet", "--json").json["weight"]
    wrong = lineage(family.root, "card", "avocet@git:no-such-commit")
    assert wrong.status == 2
    assert "no-such-commit" in wrong.err


def test_siblings_are_laid_side_by_side(demo):
    answer = fine(demo, "compare", "turnstone@E", "avocet@E", "--json").json
    modules = {module["name"]: module for module in answer["shared"]["modules"]}
    assert modules["drive-pod"]["builds"] == {"turnstone": "C", "avocet": "C"}
    five = fine(demo, "compare", *(f"avocet@{label}" for label in "ABCDE"), "--json").json
    assert len(five["pairs"]) == 4
    six = lineage(demo, "compare", *(f"avocet@{label}" for label in "ABCDE"), "avocet")
    assert six.status == 2


def test_ballast_goes_by_the_risk_that_is_chosen(demo):
    def ballast(*words):
        return fine(demo, "card", "turnstone", *words, "--json").json["ballast_g"]

    assert ballast("--risk", "1%") < ballast() == ballast("--risk", "5 %") < ballast("--risk", "20%")
    assert ballast("--risk", "50%") == pytest.approx(
        fine(demo, "card", "turnstone", "--json").json["weight"]["margin_g"]["value"]
    )


@pytest.mark.parametrize("risk", ["5", "0%", "100%", "-1%", "nan%", "some"])
def test_a_risk_that_is_none_is_asked_wrongly(demo, risk):
    assert lineage(demo, "card", "turnstone", "--risk", risk).status == 2
