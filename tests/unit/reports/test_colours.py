"""Text can be read on its ground, by day and in the dark.

Source: Web Content Accessibility Guidelines 2.2, W3C 2023, success criteria 1.4.3 (text: 4.5 to 1) and 1.4.11 (what is
drawn: 3 to 1), and its definitions of relative luminance and contrast ratio (from memory).
"""

import re

import pytest

from lineage.reports.assets import templates

STYLE = (templates() / "style.css").read_text(encoding="utf-8")


def tokens(block: str) -> dict[str, str]:
    return dict(re.findall(r"--(\w+): (#[0-9a-f]{6});", block))


def schemes() -> dict[str, dict[str, str]]:
    light, dark = re.findall(r":root \{(.*?)\}", STYLE, re.DOTALL)[:2]
    return {"light": tokens(light), "dark": tokens(dark)}


def luminance(colour: str) -> float:
    shares = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    red, green, blue = (c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in shares)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def test_black_on_white_is_21_to_1_and_a_colour_on_itself_1() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21)
    assert contrast("#a3350a", "#a3350a") == 1


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("ground", ["paper", "desk", "tint"])
@pytest.mark.parametrize("text", ["ink", "soft", "good", "bad"])
def test_text_stands_out_from_its_ground(scheme: str, ground: str, text: str) -> None:
    colours = schemes()[scheme]
    assert contrast(colours[text], colours[ground]) >= 4.5


@pytest.mark.parametrize("scheme", ["light", "dark"])
def test_bars_stand_out_from_the_paper(scheme: str) -> None:
    colours = schemes()[scheme]
    assert contrast(colours["fill"], colours["paper"]) >= 3
