"""What a check of a database found, and what copying it or putting a copy back did."""

from __future__ import annotations

from dataclasses import dataclass

ABOUT_THE_SEAL = (
    "The seal stands for every movement until now; keep it on paper. `longpole verify --seal SEAL` "
    "tells later whether one of them was altered since. It finds damage; it keeps nobody out."
)


@dataclass(frozen=True, slots=True)
class Damage:
    """One thing that is not as it was entered: in which table, which row, what about it."""

    table: str
    subject: str
    text: str

    def sentence(self) -> str:
        return " ".join(text for text in (self.table, self.subject, self.text) if text)


@dataclass(frozen=True, slots=True, kw_only=True)
class Soundness:
    """A database read once more from end to end; `head` is the seal over all accounts."""

    where: str
    movements: int
    accounts: int
    head: str
    damage: tuple[Damage, ...] = ()

    @property
    def seal(self) -> str:
        """The figure to be printed and kept elsewhere."""
        return f"{self.movements}-{self.head}"

    @property
    def sound(self) -> bool:
        return not self.damage


@dataclass(frozen=True, slots=True, kw_only=True)
class Copied:
    """A copy that was made or put back; `kept` is where the database that it replaced lies now."""

    source: str
    target: str
    soundness: Soundness
    kept: str | None = None
