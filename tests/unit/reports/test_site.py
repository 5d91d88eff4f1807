"""What makes pages a site."""

import pytest

from lineage.reports.pages.card import card_page
from lineage.reports.pages.history import history_page
from lineage.reports.site import DeadLinkError, address, dead_links, ends_of, found_in, refuse_dead_links
from tests import sample_views as sample


def test_a_link_to_no_page_to_no_part_or_out_of_the_folder_is_dead() -> None:
    pages = {
        "a.html": '<a href="b.html#there"></a><a href="#here"></a><p id="here">',
        "b.html": '<a href="a.html"></a><i id="there"></i><a href="c.html"></a><a href="a.html#gone"></a>'
        '<a href="../a.html"></a><a href="https://elsewhere.example/"></a><a href="javascript:alert(1)"></a>',
    }
    assert dead_links({name: ends_of(page) for name, page in pages.items()}) == [
        "b.html: c.html",
        "b.html: a.html#gone",
        "b.html: ../a.html",
        "b.html: https://elsewhere.example/",
        "b.html: javascript:alert(1)",
    ]


def test_a_dead_link_is_a_fault_of_the_program() -> None:
    refuse_dead_links({"a.html": ends_of('<a href="a.html">')})
    with pytest.raises(DeadLinkError, match=r"a\.html: gone\.html"):
        refuse_dead_links({"a.html": ends_of('<a href="gone.html">')})


def test_an_address_is_found_again_whatever_is_in_it() -> None:
    name = "card-a b#?%@C.html"
    assert address("card-wren@C.html") == "card-wren@C.html"
    assert dead_links({name: ends_of(f'<a href="{address(name)}">')}) == []


def test_a_search_finds_things_faults_and_reasons_and_no_figures() -> None:
    words = found_in(card_page(sample.card())).split()
    assert {"pod.gearbox", "teeth", "deck-screws", "wren"} <= set(words)
    assert "900.5" not in words
    assert len(words) == len(set(words))
    assert "steel" in found_in(history_page(sample.history())).split()


def test_what_a_search_looks_through_stays_short() -> None:
    page = card_page(
        sample.card(access={f"thing-{n:04}": sample.card().access["battery"] for n in range(3000)})
    )
    assert 1_000 < len(found_in(page)) <= 6_000
