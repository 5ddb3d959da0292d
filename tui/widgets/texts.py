"""Text for the framework's widgets, as objects that no widget reads as markup.

Every text that comes from data passes `shown` here, so that it stands on the screen literally.
"""

from __future__ import annotations

from textual.content import Content

from parts.records.shown import shown

STRONG = "bold"
QUIET = "$text-muted"
WARN = "bold $text-warning"
ASSUMED = "italic $text-secondary"

Piece = str | tuple[str, str] | Content


def said(*pieces: Piece) -> Content:
    """Return pieces of text, each with its style if it has one, as one literal text."""
    return Content.assemble(*(_safe(piece) for piece in pieces))


def lines(*found: Piece) -> Content:
    """Return texts under one another."""
    return Content("\n").join([said(piece) for piece in found])


def _safe(piece: Piece) -> Piece:
    if isinstance(piece, Content):
        return piece
    if isinstance(piece, str):
        return shown(piece, newline=True)
    return shown(piece[0], newline=True), piece[1]
