"""Everything on a site that has a name, with all that it is called.

Knows the site's nouns and where each opens; refuses to know how texts are compared. Positions come
by the hundred thousand and are put into words one at a time. Invariant: things stand in the order
in which equal hits are listed.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import NamedTuple

from parts.calc.finding.lying import held_on, serials_on
from parts.records.catalogue import Part
from parts.records.find_answers import Held, Kind, Place
from parts.records.snapshot import Snapshot
from parts.records.structure import Crane
from parts.records.supply import Order, Supplier

PARTS_NAMED = 3


class Label(NamedTuple):
    """One text by which a thing is found; `said` names it in a sentence.

    Of a number the blanks within it count for nothing; anything else is made of words.
    """

    text: str
    said: str
    is_number: bool = False


@dataclass(frozen=True, slots=True)
class Thing:
    """What can be found; its first label is its own name."""

    kind: Kind
    name: str
    description: str
    opens: Place
    labels: tuple[Label, ...]


class Things:
    """All things of a site, by index."""

    def __init__(self, snapshot: Snapshot) -> None:
        self._snapshot = snapshot
        self._few = tuple(_few(snapshot))
        positions = snapshot.positions
        live = {crane for crane in snapshot.cranes if snapshot.is_live(crane)}
        self._rows = [row for row, crane in enumerate(positions.crane) if crane in live]

    def __len__(self) -> int:
        return len(self._few) + len(self._rows)

    def __getitem__(self, index: int, /) -> Thing:
        if index < len(self._few):
            return self._few[index]
        return self._position(self._rows[index - len(self._few)])

    def __iter__(self) -> Iterator[Thing]:
        return map(self.__getitem__, range(len(self)))

    def labels(self) -> Iterator[tuple[Label, ...]]:
        """Yield what each thing is called, without putting it into words."""
        positions = self._snapshot.positions
        yield from (thing.labels for thing in self._few)
        for row in self._rows:
            yield _position_labels(positions.crane[row], positions.position[row])

    def _position(self, row: int) -> Thing:
        positions = self._snapshot.positions
        crane, position, part = positions.crane[row], positions.position[row], positions.part[row]
        described = "no part recorded" if part is None else part
        if part in self._snapshot.parts and self._snapshot.parts[part].description:
            described = f"{part}, {self._snapshot.parts[part].description}"
        return Thing(
            Kind.POSITION,
            f"{crane}/{position}",
            described,
            Place(crane=crane, position=position),
            _position_labels(crane, position),
        )


def _position_labels(crane: str, position: str) -> tuple[Label, ...]:
    return (Label(f"{crane} {position}", "crane and position"),)


def _few(snapshot: Snapshot) -> Iterator[Thing]:
    yield from _parts(snapshot)
    yield from (_crane(row, snapshot) for _, row in sorted(snapshot.cranes.items()))
    yield from (_supplier(row) for _, row in sorted(snapshot.suppliers.items()))
    held = held_on(snapshot)
    yield from _places(held, Kind.STORE, lambda each: (each.store, None))
    yield from _places(held, Kind.BIN, lambda each: (each.store, each.bin))
    yield from (_order(row) for row in sorted(snapshot.orders, key=lambda row: row.order))
    for unit in serials_on(snapshot):
        number = (Label(unit.serial, "serial number", is_number=True),)
        where = f"{unit.part} in {unit.store or 'a store without a name'}"
        yield Thing(Kind.SERIAL, unit.serial, where, Place(part=unit.part), number)


def _parts(snapshot: Snapshot) -> Iterator[Thing]:
    numbers: dict[str, list[Label]] = defaultdict(list)
    for row in snapshot.part_numbers:
        whose = f" of {row.owner}" if row.owner else ""
        numbers[row.part].append(Label(row.number, f"number {row.number}{whose}", is_number=True))
    for name, part in sorted(snapshot.parts.items()):
        yield _part(part, numbers.get(name, []))


def _part(part: Part, numbers: list[Label]) -> Thing:
    labels = [Label(part.part, "own number", is_number=True), *numbers]
    if part.description:
        labels.append(Label(part.description, "description"))
    opens = Place(part=part.part)
    return Thing(Kind.PART, part.part, part.description or "", opens, tuple(labels))


def _crane(row: Crane, snapshot: Snapshot) -> Thing:
    bay = f"bay {row.bay}" if row.bay and "bay" not in row.bay.casefold() else row.bay
    labels = [Label(row.crane, "tag", is_number=True)]
    if row.name:
        labels.append(Label(row.name, "name"))
    if bay:
        labels.append(Label(bay, "bay"))
    retired = "" if snapshot.is_live(row.crane) else f"retired on {row.retire_on}"
    described = ", ".join(text for text in (retired, row.name, bay) if text)
    return Thing(Kind.CRANE, row.crane, described, Place(crane=row.crane), tuple(labels))


def _supplier(row: Supplier) -> Thing:
    labels = [Label(row.supplier, "supplier")]
    if row.name:
        labels.append(Label(row.name, "name"))
    described = ", ".join(text for text in ("" if row.active else "closed", row.name) if text)
    opens = Place(supplier=row.supplier)
    return Thing(Kind.SUPPLIER, row.supplier, described, opens, tuple(labels))


def _places(
    held: tuple[Held, ...], kind: Kind, place_of: Callable[[Held], tuple[str, str | None]]
) -> Iterator[Thing]:
    """Yield the stores or bins that have a name, each with the first parts in it."""
    parts: dict[tuple[str, str | None], list[str]] = defaultdict(list)
    for each in held:
        parts[place_of(each)].append(each.part)
    for (store, bin_name), found in parts.items():
        name = store if kind is Kind.STORE else bin_name
        if not name:
            continue
        labels = [Label(name, kind.value)]
        if bin_name and store:
            labels.append(Label(f"{store} {bin_name}", "store and bin"))
        more = len(found) - PARTS_NAMED
        listed = ", ".join(found[:PARTS_NAMED]) + (f" and {more} more" if more > 0 else "")
        where = f"{store}: " if bin_name and store else ""
        opens = Place(store=store, bin=bin_name)
        yield Thing(kind, name, where + listed, opens, tuple(labels))


def _order(row: Order) -> Thing:
    state = "open" if row.received_on is None else f"received on {row.received_on}"
    described = f"{row.qty} x {row.part} from {row.supplier}, {state}"
    opens = Place(part=row.part)
    number = (Label(row.order, "order number", is_number=True),)
    return Thing(Kind.ORDER, row.order, described, opens, number)
