"""The address of a database on a PostgreSQL server, and what of it may be shown.

Knows URLs; the driver's own library knows ~/.pgpass, service files and the environment. Invariant:
what is shown of an address is put together from its harmless parts, so it can hold no password.
"""

from __future__ import annotations

import os
import re
from dataclasses import dataclass
from stat import S_ISREG
from typing import Any

from sqlalchemy.engine import URL, make_url
from sqlalchemy.exc import ArgumentError

from parts import errors

_DRIVER = "postgresql+psycopg"
_NAMES = ("postgresql", _DRIVER)
_SHOWN = ("host", "port", "service")  # of the options behind the question mark
_SECRET = ("password", "sslpassword")
_OTHERS = 0o077
_HOST = re.compile(r"[\w.:%-]*|/[^@]*")  # the second is the folder of a socket


@dataclass(frozen=True)
class Address:
    """Where a database is: `where` is its name for people, `options` are for the driver."""

    where: str
    options: dict[str, Any]

    def without_secrets(self, text: str) -> str:
        """A text of the driver's with every password of the address taken out."""
        for name in _SECRET:
            if secret := self.options.get(name):
                text = text.replace(str(secret), "***")
        return text

    def refuse_open_password_file(self) -> None:
        """Refuse a password file that others can read.

        The driver would leave it out, and say so across the screens each time that it is asked.
        """
        if os.name == "nt" or self.options.get("password") or "PGPASSWORD" in os.environ:
            return
        own = os.path.expanduser("~/.pgpass")
        where = self.options.get("passfile") or os.environ.get("PGPASSFILE") or own
        try:
            mode = os.stat(where).st_mode
        except (OSError, ValueError):  # the driver leaves out one that is not there
            return
        if S_ISREG(mode) and mode & _OTHERS:
            raise errors.OpenPasswordFile(where)


def address_of(text: str) -> Address:
    """The address that a URL names."""
    try:
        url = make_url(text)
    except (ArgumentError, ValueError):
        raise errors.UnusableUrl from None  # the text may hold a password
    # A second @ stands in a password that is not written as %40, and the rest of that would pass
    # for a host.
    if url.drivername not in _NAMES or text.count("@") > 1 or not _HOST.fullmatch(url.host or ""):
        raise errors.UnusableUrl
    _, options = url.set(drivername=_DRIVER).get_dialect()().create_connect_args(url)
    if not all(isinstance(value, str | int) for value in options.values()):
        raise errors.UnusableUrl  # an option was given twice
    return Address(_shown(url), dict(options))


def _shown(url: URL) -> str:
    harmless = {name: url.query[name] for name in _SHOWN if name in url.query}
    shown = URL.create("postgresql", url.username, None, url.host, url.port, url.database, harmless)
    return shown.render_as_string()
