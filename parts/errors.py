"""Everything that longpole refuses, as one family of exceptions.

A class is one situation. Its constructor takes the facts; its message is one sentence that a
storeroom keeper would say and that names the next step.
"""

from __future__ import annotations


class LongpoleError(Exception):
    """What a person did, or a file holds, cannot be used as it is."""


class NoDatabase(LongpoleError):
    def __init__(self, where: str) -> None:
        super().__init__(
            f"no database at {where}; make one with `longpole load BOOK` or `longpole demo`"
        )


class NotOurDatabase(LongpoleError):
    def __init__(self, where: str, why: str) -> None:
        super().__init__(f"{where} is not a database of this program ({why}); it was not touched")


class NewerDatabase(LongpoleError):
    def __init__(self, where: str, found: int, known: int) -> None:
        super().__init__(
            f"{where} was made by a newer longpole (form {found}, this one knows {known}); "
            "update longpole"
        )


class DamagedDatabase(LongpoleError):
    def __init__(self, where: str, why: str) -> None:
        super().__init__(f"{where} is damaged ({why}); nothing was changed, use your latest copy")


class UnreadableValue(LongpoleError):
    def __init__(self, column: str) -> None:
        super().__init__(
            f"a value of {column} is damaged and cannot be read; `longpole verify` tells what else "
            "is, `longpole restore` puts your latest copy back"
        )


class DatabaseBusy(LongpoleError):
    def __init__(self, where: str) -> None:
        super().__init__(f"{where} is in use by another program; nothing was changed, try again")


class DatabaseOvertaken(DatabaseBusy):
    """Others wrote at the same time; the same work, done once more, may well be taken."""


class NoConnection(LongpoleError):
    def __init__(self, where: str, why: str) -> None:
        super().__init__(
            f"no connection to {where} ({why}); see that its server runs and the address is right"
        )


class OpenPasswordFile(LongpoleError):
    def __init__(self, where: str) -> None:
        super().__init__(
            f"others on this machine can read the password file {where}, so it is not used; run "
            "`chmod 600` on it"
        )


class InDoubt(LongpoleError):
    """Nobody can tell whether a step was kept; asked for again with its key it is kept once."""


class ConnectionLost(InDoubt):
    def __init__(self, where: str) -> None:
        super().__init__(
            f"the connection to {where} was lost; what you typed is kept, try again when it is back"
        )


class DatabaseDoubtful(InDoubt):
    def __init__(self, where: str) -> None:
        # an error that comes while a transaction ends does not say on which side of the end
        super().__init__(
            f"the disk under {where} reports an error; look whether this was kept before you do it "
            "again"
        )


class KeyToAskWith(LongpoleError):
    def __init__(self, doubt: InDoubt, key: str) -> None:
        super().__init__(f"{doubt}; with --key '{key}' it is done once, however often you ask")


class NotPermitted(LongpoleError):
    def __init__(self, where: str, why: str) -> None:
        super().__init__(
            f"your role may not do this in {where} ({why}); nothing was changed, ask its owner"
        )


class NoRoles(LongpoleError):
    def __init__(self, where: str) -> None:
        super().__init__(
            f"{where} is a file: who may open it may change it; roles need a PostgreSQL server"
        )


class OlderDatabase(LongpoleError):
    def __init__(self, where: str, found: int, known: int) -> None:
        super().__init__(
            f"{where} is of an older form ({found}, this longpole works with {known}); "
            "its owner brings it up to date by opening it once"
        )


class DatabaseUnwritable(LongpoleError):
    def __init__(self, where: str, why: str) -> None:
        super().__init__(f"{where} could not be written ({why}); nothing was changed")


class DatabaseUnreadable(LongpoleError):
    def __init__(self, where: str, why: str) -> None:
        super().__init__(f"{where} cannot be read ({why}); ask whoever keeps it for access")


class SqliteTooOld(LongpoleError):
    def __init__(self, found: str, needed: str) -> None:
        super().__init__(
            f"this Python comes with SQLite {found}; longpole needs {needed} or newer, "
            "so run it with a newer Python"
        )


class UnusableUrl(LongpoleError):
    def __init__(self) -> None:
        # the address is not repeated: it may hold a password
        super().__init__(
            "the database address cannot be used; give a file, sqlite:///FILE or "
            "postgresql://USER@HOST/NAME, with the password in ~/.pgpass"
        )


class RowRefused(LongpoleError):
    def __init__(self, where: str, rule: str) -> None:
        super().__init__(f"{where} refused a row ({rule}); nothing was changed")


class DatabaseExists(LongpoleError):
    def __init__(self, where: str) -> None:
        super().__init__(f"{where} already holds data; name a place where nothing is yet")


class FileIsThere(LongpoleError):
    def __init__(self, where: str) -> None:
        super().__init__(f"{where} is there already; nothing was written")


class UnwritableFile(LongpoleError):
    def __init__(self, where: str, why: str) -> None:
        super().__init__(f"{where} could not be written ({why}); name another file")


class NothingToReport(LongpoleError):
    def __init__(self) -> None:
        super().__init__("no position on any crane in use: load a site book first")


class AnswerUnprinted(LongpoleError):
    def __init__(self, why: str) -> None:
        super().__init__(f"the answer could not be printed ({why}); whatever it booked stands")


class UnknownName(LongpoleError):
    def __init__(self, kind: str, name: str, near: tuple[str, ...] = ()) -> None:
        hint = f"; did you mean {' or '.join(near)}?" if near else ""
        super().__init__(f"no {kind} is called '{name}'{hint}")


class UnusableBook(LongpoleError):
    def __init__(self, where: str, why: str) -> None:
        super().__init__(f"{where} cannot be read as a site book: {why}")


class UnwritableBook(LongpoleError):
    def __init__(self, where: str, why: str) -> None:
        super().__init__(f"the site book cannot be written to {where}: {why}")


class NoSuchPlan(LongpoleError):
    def __init__(self) -> None:
        super().__init__(
            "no plan on the frontier reaches that; see `longpole buy --budget` for what money does"
        )


class StepRefused(LongpoleError):
    """A step with the stock that cannot be taken; `field` is the fact that would have to differ."""

    def __init__(self, field: str, why: str) -> None:
        self.field = field
        super().__init__(why)


class ShortStock(StepRefused):
    def __init__(self, part: str, where: str, on_hand: int, asked: int) -> None:
        super().__init__(
            "qty",
            f"{part} {where}: on hand {on_hand}, asked {asked}, short {asked - on_hand}; "
            "count it first if there is more on the shelf",
        )


class KeyTaken(StepRefused):
    def __init__(self, key: str) -> None:
        super().__init__(
            "key", f"'{key}' is already booked with other contents; nothing was booked"
        )


class EditedMeanwhile(LongpoleError):
    """Somebody else changed the record since it was read; `now` is how it stands, None = gone."""

    def __init__(
        self, what: str, differences: tuple[tuple[str, str, str], ...], gone: bool
    ) -> None:
        self.differences = differences
        told = "; ".join(f"{name}: was '{was}', is now '{now}'" for name, was, now in differences)
        super().__init__(
            f"{what} was {'taken out' if gone else 'changed'} by somebody since you opened it"
            + (f" ({told})" if told else "")
            + "; nothing was saved"
        )


class CopyRefused(LongpoleError):
    def __init__(self, where: str, why: str) -> None:
        super().__init__(f"no copy at {where} ({why}); nothing was changed")


class UnusableCopy(LongpoleError):
    def __init__(self, where: str, why: str) -> None:
        super().__init__(f"{where} is no copy to put back ({why}); nothing was changed")
