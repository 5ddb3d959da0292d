"""What a person types into a step must be something that a site book can hold.

A saved book is read back trimmed and without control characters; a text that would not come back
equal is refused when it is typed, not when somebody needs the book.
"""

from __future__ import annotations

from dataclasses import fields

from parts.errors import StepRefused
from parts.records.cells import FORBIDDEN, LONGEST_TEXT


def refuse_unkept_texts(asked: object) -> None:
    """Refuse a record of which some text would not come back from a site book as it is."""
    for field in fields(asked):  # type: ignore[arg-type]  # any record will do
        value = getattr(asked, field.name)
        texts = value if isinstance(value, tuple) else (value,)
        for text in texts:
            if isinstance(text, str):
                _refuse_unkept(field.name.rstrip("_"), text)


def _refuse_unkept(name: str, text: str) -> None:
    if not text.strip():
        raise StepRefused(name, f"{name.replace('_', ' ')} is left blank; leave it out instead")
    found = FORBIDDEN.search(text)
    if found:
        raise StepRefused(name, f"'{text}' holds the control character U+{ord(found.group()):04X}")
    if text != text.strip():
        raise StepRefused(name, f"'{text}' begins or ends with a blank")
    if len(text) > LONGEST_TEXT:
        raise StepRefused(name, f"a text is up to {LONGEST_TEXT:,} characters long")
