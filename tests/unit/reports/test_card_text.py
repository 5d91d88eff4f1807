"""What a card says of weight, in text and on its page."""

import pytest
from msgspec.structs import replace

from lineage.reports.text.card import card_text
from lineage.reports.to_html import card_html
from lineage.reports.views.card import Balance
from lineage.reports.views.figures import ValueU
from tests import sample_views as sample
from tests.page_walk import Walk


def page_text(card):
    return Walk(card_html(card)).text


ALL_FORMS = [card_text, page_text]


def a_card(**keys):
    return replace(sample.card(), **keys)


@pytest.mark.parametrize("form", ALL_FORMS)
def test_every_choice_has_its_mass(form):
    weight = replace(sample.card().weight, choices={"nose": {"wedge": 60.25, "forks": None}})
    shown = form(a_card(weight=weight))
    assert "nose: wedge" in shown
    assert "60.2" in shown
    assert "nose: forks" in shown


@pytest.mark.parametrize("form", ALL_FORMS)
def test_the_balance_says_of_how_much_it_is(form):
    centre = (ValueU(12.0, 0.5), ValueU(-3.0, 0.25), ValueU(20.0, 1.0))
    weight = replace(sample.card().weight, balance=Balance(centre_mm=centre, known_mass_g=812.5))
    shown = form(a_card(weight=weight))
    assert "12.0 ± 1.0 mm" in shown
    assert "812.5 g" in shown


@pytest.mark.parametrize("form", ALL_FORMS)
def test_the_limit_of_an_event_is_said_to_be_that_events(form):
    shown = form(a_card(class_=replace(sample.card().class_, limit_at="2026-05-01-quay-cup")))
    assert "at 2026-05-01-quay-cup" in shown


@pytest.mark.parametrize("form", ALL_FORMS)
def test_materials_that_the_class_does_not_allow_are_named(form):
    shown = form(a_card(class_=replace(sample.card().class_, materials_against=("tail",))))
    assert "that the class does not allow: tail" in shown


@pytest.mark.parametrize("form", ALL_FORMS)
def test_ballast_that_has_to_come_out_is_said_with_the_risk_that_was_chosen(form):
    shown = form(a_card(ballast_g=-19.2, ballast_risk=0.01))
    assert "19.2 g" in shown
    assert "for a chance of 1 % of being over" in shown
