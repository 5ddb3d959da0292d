"""The one gate for text that reaches a terminal, and the folds for comparing texts.

Knows which characters a terminal would obey, hide or reorder, and writes them visibly; refuses to
know where a text comes from or where it goes. What `shown` returns holds no control, format,
private or unassigned character, so that no supplier's file can command a keeper's terminal.
"""

from __future__ import annotations

import re
import unicodedata

MARKS_PER_BASE = 4
"""Real scripts stack three; fifty would run over the lines above and below."""

_HIDDEN = frozenset({"Cc", "Cf", "Cs", "Co", "Cn", "Zl", "Zp"})
_MARKS = frozenset({"Mn", "Me"})
_JOINERS = "\u200c\u200d"  # Persian, Indic scripts and emoji are spelt with them
_BLANKS = "\t\r\n"
# No combining mark sits below U+0300, so five in a row need five characters at or above it.
_LONG_RUN = re.compile("[^\x00-\u02ff]{" + str(MARKS_PER_BASE + 1) + "}")
_MARKS_IN_ASCII = re.compile("[^0-9A-Za-z]+")
# Letters that no accent is taken from, as they are typed on a keyboard without them.
_TYPED_PLAINLY = str.maketrans(
    {"ø": "o", "ł": "l", "đ": "d", "ð": "d", "ı": "i", "þ": "th", "æ": "ae", "œ": "oe"}
)
_ACCENTS_FROM = 200
"""Combining classes from here on stand above, below or through a letter; lower ones spell it."""


def shown(text: str, *, newline: bool = False) -> str:
    """Return the text with every character made visible that a terminal would obey or hide.

    Tab, line feed and carriage return become a blank; with `newline` a line feed stays. Control
    characters become their pictures (ESC is ␛), others their code point (<U+202E>). Combining
    marks beyond MARKS_PER_BASE on one base are dropped.
    """
    if text.isprintable() and (text.isascii() or not _LONG_RUN.search(text)):
        return text
    return "".join(_shown_characters(text.replace("\r\n", "\n"), newline))


def _shown_characters(text: str, newline: bool) -> list[str]:
    out: list[str] = []
    marks = 0
    for character in text:
        category = unicodedata.category(character)
        if category in _MARKS or character in _JOINERS:
            marks += 1
            if marks > MARKS_PER_BASE:
                continue
            out.append(character)
            continue
        marks = 0
        if character == "\n" and newline:
            out.append(character)
        elif character in _BLANKS:
            out.append(" ")
        else:
            out.append(_picture(character) if category in _HIDDEN else character)
    return out


def _picture(character: str) -> str:
    code = ord(character)
    if code < 0x20:
        return chr(0x2400 + code)
    if code == 0x7F:
        return "\u2421"
    return f"<U+{code:04X}>"


def folded(text: str) -> str:
    """Return the key under which two spellings of one text meet: case, width, blanks, unseen.

    Compatibility forms are made one (NFKC), control and format characters dropped, blanks
    collapsed and trimmed, case folded. Letters of other scripts that only look alike stay apart.
    """
    if not (text.isascii() and text.isprintable()):
        text = unicodedata.normalize("NFKC", text)
        text = "".join(c for c in text if c.isspace() or not _unseen(c))
        text = unicodedata.normalize("NFKC", text.casefold())
    return " ".join(text.casefold().split())


def _unseen(character: str) -> bool:
    return unicodedata.category(character) in ("Cc", "Cf")


def searchable(text: str) -> str:
    """Return the letters and digits alone, case and accents folded: "47-11" finds "4711".

    A text of nothing but marks and blanks comes back empty; who searches asks for something first.
    """
    if text.isascii():
        return _MARKS_IN_ASCII.sub("", text).lower()
    apart = unicodedata.normalize("NFKD", folded(text).translate(_TYPED_PLAINLY))
    return unicodedata.normalize("NFC", "".join(filter(_spells, apart)))


def _spells(character: str) -> bool:
    """Whether a character, taken apart from its accents, is part of how a word is spelt."""
    kind = unicodedata.category(character)[0]
    return kind in "LN" or (kind == "M" and unicodedata.combining(character) < _ACCENTS_FROM)
