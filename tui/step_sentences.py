"""Steps with the stock in words: what was booked, what is there."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from parts.records.stock import Movement
from parts.records.stock_card import StockCard
from parts.records.stock_steps import Posted
from tui.sentences import CAUTION_OF_FITTING
from tui.widgets.texts import QUIET, STRONG, WARN, Piece

KINDS = {"receipt": "received", "issue": "issued", "return": "taken back", "scrap": "scrapped"}


def units(count: int) -> str:
    """Return a number of units in words."""
    return "1 unit" if count == 1 else f"{count:,} units"


def place(store: str | None) -> str:
    return "in no named store" if store is None else f"in {store}"


def done_sentence(posted: Posted, done: str) -> str:
    """Return what a step came to, in one sentence."""
    left = f"{posted.after:,} on hand {place(posted.store)}"
    if posted.already:
        return f"{posted.part} was booked already: {left}."
    return f"{posted.part} {done}: {left}."


def booked_lines(posted: Posted, done: str) -> Iterator[Piece]:
    """Return what was booked, what to know of it, and how to undo it."""
    yield (done_sentence(posted, done), STRONG)
    yield f"On hand before {posted.before:,}, after {posted.after:,}."
    if posted.notes:
        yield ""
    for note in posted.notes:
        yield (f"{note[:1].upper()}{note[1:]}.", WARN)
    if posted.movements:
        yield ""
    for row in posted.movements:
        yield (movement_line(row), QUIET)
    if any(row.kind == "issue" and row.position for row in posted.movements):
        yield ""
        yield CAUTION_OF_FITTING


def promised_lines(part: str, qty: int, job: str, notes: Sequence[str]) -> Iterator[Piece]:
    """Return what was promised, and what to know of it."""
    yield (f"{units(qty)} of {part} {'is' if qty == 1 else 'are'} promised to {job}.", STRONG)
    yield "They stay where they are; an issue for that job uses the promise up."
    yield from ((f"{note[:1].upper()}{note[1:]}.", WARN) for note in notes)


def released_lines(part: str, qty: int, job: str) -> Iterator[Piece]:
    """Return what is free again."""
    free = "is" if qty == 1 else "are"
    yield (f"{units(qty)} of {part} {free} free again; {job} has no promise of them.", STRONG)


def movement_line(row: Movement) -> str:
    """Return one movement as a line."""
    at = f", at {row.crane}/{row.position}" if row.position else f", {row.crane}" * bool(row.crane)
    state = f", {(row.condition or '').replace('_', ' ')}" if row.condition else ""
    until = f", usable until {row.expires_on}" if row.expires_on else ""
    return f"{row.date}  {row.kind} {row.qty:+,} {row.part} {place(row.store)}{state}{until}{at}"


def card_lines(card: StockCard) -> Iterator[Piece]:
    """Return what is there of a part, store by store."""
    yield (f"{card.part}  {card.description or ''}".rstrip(), STRONG)
    if not card.stores:
        yield ("None in store.", WARN)
    for each in card.stores:
        besides = [
            f"{count} {word}"
            for count, word in (
                (each.expired, "past its life"),
                (each.quarantine, "in quarantine"),
                (each.in_repair, "in repair"),
            )
            if count
        ]
        rest = f" ({', '.join(besides)})" if besides else ""
        counted = f"counted {each.last_counted}" if each.last_counted else "never counted"
        yield f"{each.usable} usable of {each.book} {place(each.store)}{rest}, {counted}"
    for row in card.promises:
        yield f"{row.qty} promised to {row.for_}"
    if card.min_stock is not None:
        yield (f"at least {card.min_stock} are to be kept", QUIET)
