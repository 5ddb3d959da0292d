"""A storekeeper and a maintenance lead sit at their screens, purchasing works beside them.

The storeroom is that of `tests/services/storeroom.py`, on a PostgreSQL server, each in a role of
their own. Of the brake coil lie 4 in main. The keeper issues one, 4 - 1 = 3 are left; undone,
3 + 1 = 4. The lead writes a price of 310 where purchasing wrote 305 meanwhile; the book had 300.
Whoever has a form open, or reads, holds up nobody: no session outlasts its answer.
"""

from __future__ import annotations

import re
from collections.abc import Iterator

import pytest
from textual.pilot import Pilot

from parts.records.cells import texts_of
from tests.servers import Server, have_all_ended, people_at
from tests.services.storeroom import TODAY, everything, fill, held
from tests.tui.small_site import form_of, opened, press, words
from tests.tui.small_site import looked as look
from tui.desk import Desk

OFFERS, PARTS = 9, 4
"""Where these stand in the list of records."""
WANTED = "issued on 2026-11-25 and nothing has been ordered"


@pytest.fixture
def desks(server: Server, nothing_on_server: str) -> Iterator[dict[str, Desk]]:
    """The desk of a person in each role."""
    with people_at(server, fill(nothing_on_server)) as people:
        yield {role: Desk(address, TODAY) for role, address in people.items()}


async def looked(pilot: Pilot[None], address: str) -> None:
    """Look for changes once whoever wrote any is done; whoever has a form open keeps nothing."""
    assert have_all_ended(address)
    await look(pilot)


async def assert_refused(pilot: Pilot[None], key: str) -> None:
    """What the key asks for is refused in one sentence, and what is typed is kept."""
    typed = form_of(pilot).values
    await press(pilot, key)

    assert re.search(r"! Your role may not do this in .* nothing was changed, ask", words(pilot))
    assert form_of(pilot).values == typed


async def to_records(pilot: Pilot[None], file: int, row: str) -> None:
    await press(pilot, "v", "tab", *["down"] * file, "enter", *row, "enter")


async def test_a_step_is_seen_by_the_other_and_so_is_its_undoing(
    desks: dict[str, Desk], nothing_on_server: str
) -> None:
    async with opened(desks["storeroom"]) as keeper, opened(desks["maintenance"]) as lead:
        await press(lead, "j")
        await press(keeper, "m", "enter", *"COIL")
        assert WANTED not in words(lead)
        assert "4 usable of 4 in main" in words(keeper)
        assert have_all_ended(nothing_on_server)
        await press(keeper, "f2")
        await looked(lead, nothing_on_server)

        assert "COIL issued: 3 on hand in main." in words(keeper)
        assert WANTED in words(lead)
        assert held(nothing_on_server, "COIL") == {"main": (3, 3)}

        await press(keeper, "u", "enter", "y")
        await looked(lead, nothing_on_server)

        assert "COIL undone: 4 on hand in main." in words(keeper)
        assert WANTED not in words(lead)
        assert held(nothing_on_server, "COIL") == {"main": (4, 4)}

        await press(keeper, "enter", "slash", *"coil")
        assert "brake coil, 230 V" in words(keeper)
        assert have_all_ended(nothing_on_server)
        before = everything(nothing_on_server)
        await press(lead, "m", "enter")
        assert form_of(lead).values["part"] == "COIL"
        await assert_refused(lead, "f2")
        await press(keeper, "escape", "escape", "escape")
        await to_records(keeper, PARTS, "COIL")
        form_of(keeper).put({"unit_cost": "1"})
        await assert_refused(keeper, "f2")
        assert everything(nothing_on_server) == before


async def test_who_changes_what_another_changed_meanwhile_sees_both_values(
    desks: dict[str, Desk], nothing_on_server: str
) -> None:
    async with opened(desks["maintenance"]) as lead, opened(desks["reading"]) as reader:
        await to_records(lead, OFFERS, "COIL")
        form_of(lead).put({"unit_price": "310"})
        (offer,) = desks["purchasing"].records("offers", {"part": "COIL"})
        theirs = texts_of(offer) | {"unit_price": "305"}
        assert desks["purchasing"].save_record("offers", theirs, offer) == ()
        await looked(lead, nothing_on_server)
        assert "The site was changed meanwhile; what you typed stays." in words(lead)
        assert have_all_ended(nothing_on_server)
        await press(lead, "f2")
        assert form_of(lead).values["unit_price"] == "310"
        assert form_of(lead).line("unit_price").wrong == "theirs: 305"
        await press(lead, "f2", "enter", "f6")

        assert re.search(
            r"_maintenance: unit_price 305 . 310 \S+ \S+_purchasing: unit_price 300 . 305",
            words(lead),
        )

        before = everything(nothing_on_server)
        await press(reader, "m", "enter", *"COIL")
        await assert_refused(reader, "f2")
        assert everything(nothing_on_server) == before
