"""Two looks of our own, and how the state of a crane is written.

Colours are chosen by meaning: orange is down, yellow is reduced, blue is in service, grey-violet is
assumed. They differ in lightness as well as hue, so that they stay apart for eyes that do not tell
red from green and on a screen without colours; a state is always symbol and word, never hue alone.
"""

from __future__ import annotations

from typing import NamedTuple

from textual.theme import Theme

from parts.records.states import Severity, State


class StateLook(NamedTuple):
    """How a state, or how grave a finding is, is written: symbol and word, and the style word of
    a table's cell."""

    symbol: str
    plain_symbol: str
    word: str
    style: str


STATE_LOOKS = {
    State.DOWN: StateLook("▼", "x", "down", "down"),
    State.REDUCED: StateLook("◆", "!", "reduced", "reduced"),
    State.IN_SERVICE: StateLook("●", "+", "in service", "in-service"),
}
SEVERITY_LOOKS = {
    Severity.DANGER: StateLook("▲", "!!", "danger", "down"),
    Severity.WARNING: StateLook("!", "!", "warning", "reduced"),
    Severity.NOTE: StateLook("·", "-", "note", ""),
}
ASSUMED_STYLE = "assumed"


def state_text(state: State, *, plain: bool = False) -> str:
    """Return the symbol and the word of a state."""
    look = STATE_LOOKS[state]
    return f"{look.plain_symbol if plain else look.symbol} {look.word}"


def assumed_text(text: str) -> str:
    """Return a figure with the mark and the word that it rests on an assumption."""
    return f"~ {text} assumed"


def _theme(name: str, *, ground: str, panel: str, ink: str, quiet: str, states: list[str]) -> Theme:
    down, reduced, in_service, assumed = states
    return Theme(
        name=name,
        primary=in_service,
        secondary=assumed,
        accent=reduced,
        error=down,
        warning=reduced,
        success=in_service,
        foreground=ink,
        background=ground,
        surface=ground,
        panel=panel,
        dark=True,
        variables={
            "text-error": down,
            "text-warning": reduced,
            "text-success": in_service,
            "text-secondary": assumed,
            "text-primary": in_service,
            "text-accent": reduced,
            "text-muted": quiet,
            "block-cursor-foreground": ground,
            "block-cursor-background": in_service,
            "footer-key-foreground": reduced,
            "border": in_service,
        },
    )


HALL = _theme(
    "hall",
    ground="#12181f",
    panel="#26313d",
    ink="#e6e9ec",
    quiet="#a3adb8",
    states=["#ff8126", "#f7dd6b", "#7fc1fa", "#c3b5dd"],
)
SUNLIGHT = _theme(
    "sunlight",
    ground="#000000",
    panel="#2b2b2b",
    ink="#ffffff",
    quiet="#d6d6d6",
    states=["#ffa05c", "#ffee66", "#9ad5ff", "#e0d4ff"],
)
THEMES = (HALL, SUNLIGHT)
DEFAULT_THEME = HALL.name
