"""What must be read can be read: contrast and lightness of the colours that carry a meaning.

Contrast: W3C, Web Content Accessibility Guidelines 2.2, success criteria 1.4.3 (4.5 : 1) and 1.4.6
(7 : 1), with its definitions of relative luminance and contrast ratio. That states differ in
lightness by at least 1.15 : 1 has no outside source.
"""

from __future__ import annotations

from itertools import combinations

import pytest
from textual.color import Color
from textual.theme import Theme

from parts.records.states import State
from tui.themes import (
    ASSUMED_STYLE,
    HALL,
    STATE_LOOKS,
    SUNLIGHT,
    THEMES,
    assumed_text,
    state_text,
)
from tui.widgets.table import STYLE_WORDS

CARRIERS = ("text-error", "text-warning", "text-success", "text-secondary", "text-muted")


def luminance(hexcode: str) -> float:
    def linear(share: float) -> float:
        return share / 12.92 if share <= 0.04045 else ((share + 0.055) / 1.055) ** 2.4

    r, g, b = (linear(channel / 255) for channel in Color.parse(hexcode).rgb)
    return 0.2126 * r + 0.7152 * g + 0.0722 * b


def contrast(one: str, other: str) -> float:
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


def test_black_on_white_has_the_contrast_that_the_guidelines_give() -> None:
    assert contrast("#000000", "#ffffff") == pytest.approx(21)


@pytest.mark.parametrize(("theme", "least"), [(HALL, 4.5), (SUNLIGHT, 7.0)])
def test_every_meaning_is_readable_on_its_ground(theme: Theme, least: float) -> None:
    colours = theme.to_color_system().generate()

    for ground in ("background", "surface", "panel"):
        assert contrast(colours["foreground"], colours[ground]) >= least
        for name in CARRIERS:
            assert contrast(colours[name], colours[ground]) >= least, (name, ground)


@pytest.mark.parametrize("theme", THEMES)
def test_the_cursor_s_row_is_readable(theme: Theme) -> None:
    colours = theme.to_color_system().generate()

    assert contrast(colours["block-cursor-foreground"], colours["block-cursor-background"]) >= 4.5


@pytest.mark.parametrize("theme", THEMES)
def test_states_differ_in_lightness_too(theme: Theme) -> None:
    colours = theme.to_color_system().generate()
    states = [colours[name] for name in ("text-error", "text-warning", "text-success")]

    assert all(contrast(a, b) >= 1.15 for a, b in combinations(states, 2))


def test_every_state_is_symbol_and_word_and_has_a_look_in_tables() -> None:
    for state in State:
        look = STATE_LOOKS[state]

        assert state_text(state) == f"{look.symbol} {look.word}"
        assert state_text(state, plain=True).isascii()
        assert look.style in STYLE_WORDS
    assert ASSUMED_STYLE in STYLE_WORDS


def test_symbols_alone_tell_the_states_apart() -> None:
    assert len({look.symbol for look in STATE_LOOKS.values()}) == len(STATE_LOOKS)
    assert len({look.plain_symbol for look in STATE_LOOKS.values()}) == len(STATE_LOOKS)


def test_an_assumption_is_said_and_not_only_coloured() -> None:
    assert assumed_text("12 d") == "~ 12 d assumed"
