"""A record of the site book as a form: each column with its label, what to type, what it refers to.

Made from the columns that the records declare; only the words for people stand here. Knows no
database: names that may be meant are offered by a function that it is given.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import NamedTuple

from parts.records.book import FILES_BY_NAME
from parts.records.fields import Column, Kind
from tui.forms.fields import FormField, Offers, among
from tui.forms.record_hints import HINTS, LABELS

NamesOf = Callable[[str], Sequence[str]]
"""The names that a file of the site book gives, by the file's name."""


class FileWords(NamedTuple):
    """What a file is called, what one row of it is called, what it is for."""

    title: str
    one: str
    says: str


FILES: dict[str, FileWords] = {
    "cranes": FileWords("cranes", "crane", "each crane, its bay, its hours, what a day costs"),
    "functions": FileWords("functions", "function", "what a crane must do, and what is lost"),
    "positions": FileWords("positions", "position", "where on a crane a part sits"),
    "needs": FileWords("needs", "need", "what a function or a position needs"),
    "parts": FileWords("parts", "part", "the catalogue: what sits in positions and stores"),
    "part_numbers": FileWords("other numbers", "number", "what makers and suppliers call a part"),
    "companions": FileWords("companions", "companion", "what is exchanged along with a part"),
    "substitutes": FileWords("substitutes", "substitute", "what may stand in, by whose approval"),
    "suppliers": FileWords("suppliers", "supplier", "makers, distributors, shops, repairers"),
    "offers": FileWords("offers", "offer", "who supplies which part, at what price, how soon"),
    "routes": FileWords("routes", "operation", "the operations by which a part is made"),
    "orders": FileWords("orders", "order", "what was ordered, and when it is due"),
    "reservations": FileWords("promises", "promise", "stock that is promised to a job"),
    "failures": FileWords("failures", "failure", "what failed when, and when it was restored"),
    "notices": FileWords("notices", "notice", "what makers have announced"),
    "observations": FileWords("observations", "observation", "what was measured or seen"),
    "duty": FileWords("duty", "mechanism", "group, hours and loads of a mechanism"),
    "upgrades": FileWords("upgrades", "upgrade", "projects that take parts out and put others in"),
    "upgrade_effects": FileWords("effects of upgrades", "effect", "where an upgrade changes what"),
    "classes": FileWords("part classes", "class", "what is usual for parts of a kind"),
    "currencies": FileWords("currencies", "rate", "what a unit is worth in the site's currency"),
    "holidays": FileWords("holidays", "holiday", "days on which nobody orders or delivers"),
    "scores": FileWords("scores", "driver", "how age, sources and lead time are weighed"),
    "site": FileWords("site settings", "setting", "currency, hours, confidence, horizon"),
}
"""Files that people keep by hand, the commonest first; movements are entered by steps."""

_KINDS = {
    Kind.TEXT: "",
    Kind.NUMBER: "a number, dot for decimals",
    Kind.WHOLE: "a whole number",
    Kind.DAY: "YYYY-MM-DD",
    Kind.FLAG: "yes or no",
}


_SUCH_AS = {Kind.NUMBER: "1.5", Kind.WHOLE: "2", Kind.DAY: "2026-12-31"}


def with_what_to_type(file: str, name: str, reason: str) -> str:
    """Return why a text is not what a column holds, with an example of what is."""
    columns = {each.name.rstrip("_"): each for each in FILES_BY_NAME[file].columns}
    example = _SUCH_AS.get(columns[name].kind) if name in columns else None
    is_of_another_kind = " is not a " in reason or reason.endswith("does not exist")
    return f"{reason}; type one such as {example}" if example and is_of_another_kind else reason


def fields_of(file: str, names_of: NamesOf, *, fixed: bool) -> list[FormField]:
    """The fields of one record; `fixed` = it is there already and keeps its key."""
    book_file = FILES_BY_NAME[file]
    keys = {name.rstrip("_") for name in book_file.key}
    return [
        FormField(
            name,
            label(name),
            _hint(file, column, name),
            column.required,
            _offers(column, names_of),
            fixed and name in keys,
        )
        for column, name in zip(book_file.columns, book_file.header, strict=True)
    ]


def label(name: str) -> str:
    """A column's name as people read it."""
    words = LABELS.get(name) or name.rstrip("_").replace("_", " ")
    return words[:1].upper() + words[1:]


def _hint(file: str, column: Column, name: str) -> str:
    if hint := HINTS.get(f"{file}.{name}") or HINTS.get(name):
        return hint
    if column.choices:
        return ", ".join(column.choices)
    if column.refers_to:
        return "type to find it"
    blank = "" if column.default is None else f", blank: {_plain(column.default)}"
    return (_KINDS[column.kind] + blank).removeprefix(", ")


def _plain(value: object) -> str:
    if isinstance(value, bool):
        return "yes" if value else "no"
    return f"{value:g}" if isinstance(value, float) else str(value)


def _offers(column: Column, names_of: NamesOf) -> Offers | None:
    if column.choices:
        return among(column.choices)
    if column.kind is Kind.FLAG:
        return among(("yes", "no"))
    if not column.refers_to or column.many:
        return None
    # asked anew each time: positions are those of the crane that is typed by then
    return lambda text: among(names_of(column.refers_to))(text)  # noqa: PLW0108
