"""What PostgreSQL and its driver report, in our words.

Told by the error's code (PostgreSQL's manual, appendix A), never by its text. The text that goes
with it is the server's first sentence: the ones behind it repeat the row. Invariant: an error that
is not listed here passes unchanged, because it is a fault of the program.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager

import psycopg
from sqlalchemy.exc import DBAPIError

from parts import errors
from parts.store.postgres_address import Address

Situation = Callable[[str, str], errors.LongpoleError]


def _unwritable(why: str) -> Situation:
    return lambda where, _: errors.DatabaseUnwritable(where, why)


def _lost(where: str, _: str) -> errors.LongpoleError:
    return errors.ConnectionLost(where)


def _busy(where: str, _: str) -> errors.LongpoleError:
    return errors.DatabaseBusy(where)


def _overtaken(where: str, _: str) -> errors.LongpoleError:
    return errors.DatabaseOvertaken(where)


# Codes as they begin; a longer one stands before the one that it begins with.
_SITUATIONS: dict[str, Situation] = {
    "08": _lost,
    "22": errors.RowRefused,
    "23": errors.RowRefused,
    "25006": _unwritable("it is read-only"),
    "25P03": _lost,  # a transaction in which nothing was done for too long
    "40001": _overtaken,
    "40P01": _overtaken,
    "42501": errors.NotPermitted,
    "53100": _unwritable("the server's disk is full"),
    "53": _unwritable("the server is at its limits"),
    "55P03": _busy,
    "57014": _busy,  # the server gave up after the time that a statement may take
    "57P": _lost,
    "58030": _unwritable("the server's disk reports an error"),
    "XX001": errors.DamagedDatabase,
    "XX002": errors.DamagedDatabase,
}
_WHY = re.compile(r"failed: (?:[^\W\d_]+: +)?(.+)")  # "... failed: FATAL:  role ... is unknown"


@contextmanager
def in_our_words(where: str) -> Iterator[None]:
    """Turn what the server reports inside into the errors that people are shown."""
    try:
        yield
    except DBAPIError as reported:
        # from None: the driver's text repeats the values of the row
        raise _ours(reported.orig, where) or reported from None
    except psycopg.Error as reported:  # from the driver's own cursor
        raise _ours(reported, where) or reported from None


def no_connection(refused: psycopg.Error, address: Address) -> errors.LongpoleError:
    """Why there is no connection; an address with an option that is none is unusable."""
    if not isinstance(refused, psycopg.OperationalError):
        return errors.UnusableUrl()
    text = address.without_secrets(str(refused))
    whys = _WHY.findall(text) or text.splitlines()
    return errors.NoConnection(address.where, whys[-1].strip())


def _ours(reported: object, where: str) -> errors.LongpoleError | None:
    if not isinstance(reported, psycopg.Error):
        return None
    words = reported.diag.message_primary or str(reported)
    for begins, situation in _SITUATIONS.items():
        if (reported.sqlstate or "").startswith(begins):
            return situation(where, words)
    if reported.sqlstate is None:
        return _of_the_driver(reported, where, words)
    return None


def _of_the_driver(reported: psycopg.Error, where: str, words: str) -> errors.LongpoleError | None:
    """What the driver finds by itself, which has no code."""
    if isinstance(reported, psycopg.OperationalError):
        return errors.ConnectionLost(where)
    if isinstance(reported, psycopg.DataError):  # NUL in a text, or a day beyond the calendar
        return errors.RowRefused(where, words)
    return None
