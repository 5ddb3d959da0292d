"""What is said when the program itself is at fault: one sentence, with what a mender must know."""

from __future__ import annotations

from parts.records.shown import shown
from parts.services.mistake_log import Noted

SAVED = (
    "Nothing that was saved is lost. What was just being saved is there whole or not at all: look "
    "before you enter it again."
)
GO_ON = "Press Enter to go on."


def headline(noted: Noted) -> str:
    """Return that there was a mistake, and which."""
    return f"A mistake in the program, number {noted.number}."


def kind_and_place(noted: Noted) -> str:
    """Return what kind of mistake it is, and in which line."""
    return f"{noted.kind} at {noted.place}" if noted.place else noted.kind


def whom_to_tell(noted: Noted) -> str:
    """Return what to do when it comes back."""
    if noted.file is None:
        return "Its details could not be written down. If it comes back, report this page."
    return f"If it comes back, report its number with the file {noted.file}"


def ending_sentence(noted: Noted) -> str:
    """Return what to say of a mistake with which the program cannot go on."""
    return shown(
        f"longpole ended over a mistake in the program, number {noted.number} "
        f"({kind_and_place(noted)}). {SAVED} Start it again. {whom_to_tell(noted)}"
    )


def banner_sentence(noted: Noted) -> str:
    """Return what to say where an answer could not be reckoned."""
    return (
        f"This could not be reckoned ({noted.kind}, mistake {noted.number}, written down). "
        "What is shown may be incomplete."
    )
