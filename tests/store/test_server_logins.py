"""Passwords and encryption, tried on a server that is reached over the network of this machine.

It asks for passwords by SCRAM-SHA-256 and shows a certificate that it signed itself, for the name
`localhost` alone. What a client insists on by `sslmode`: PostgreSQL's manual, "SSL Support".
"""

from __future__ import annotations

import socket
import traceback
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import postgres as throwaway
import pytest

from parts import errors
from parts.store.database import Database, new_database
from tests.servers import WITHOUT, connection_to

SECRET = "s3cret:w@rd"  # noqa: S105 - nobody's
WRITTEN = "s3cret%3Aw%40rd"
ASK_FOR_PASSWORDS = (
    "SET password_encryption = 'scram-sha-256'",
    f"CREATE ROLE keeper LOGIN SUPERUSER PASSWORD '{SECRET}'",
    "COPY (VALUES ('local all all trust'), ('host all all all scram-sha-256')) "
    "TO PROGRAM 'cat > pg_hba.conf'",
)
CERTIFY = (
    "COPY (SELECT 1) TO PROGRAM 'openssl req -x509 -newkey ec "
    "-pkeyopt ec_paramgen_curve:prime256v1 -nodes -days 2 "
    "-subj /CN=localhost -addext subjectAltName=DNS:localhost "
    "-keyout server.key -out server.crt 2> openssl.log && chmod 600 server.key'",
    "ALTER SYSTEM SET ssl = on",
)
IS_ENCRYPTED = "SELECT ssl FROM pg_stat_ssl WHERE pid = pg_backend_pid()"


LOADED = "SELECT pg_conf_load_time()"


@pytest.fixture(scope="module")
def local() -> Iterator[str]:
    """The owner's address, past all passwords, of a server with an empty database of ours."""
    with socket.create_server(("127.0.0.1", 0)) as free:
        port = free.getsockname()[1]
    with throwaway.running_server(f"-c listen_addresses=127.0.0.1 -p {port}") as server:
        if server is None:
            pytest.skip(WITHOUT)
        address = f"{server.address}&port={port}"
        with new_database(address):
            pass
        change(address, ASK_FOR_PASSWORDS)
        yield address


def change(address: str, statements: tuple[str, ...]) -> None:
    """Have the server work by other settings, and wait until it does."""
    with connection_to(address) as owner:
        for statement in statements:
            owner.execute(statement)
        before = owner.execute(LOADED).fetchall()
        owner.execute("SELECT pg_reload_conf()")
    for _ in range(1000):
        with connection_to(address) as owner:
            if owner.execute(LOADED).fetchall() != before:
                return
    pytest.fail("the server never read its settings anew")


@pytest.fixture(autouse=True)
def password_file(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Where passwords are looked for: not there yet, whatever somebody has at home."""
    monkeypatch.setenv("PGPASSFILE", str(tmp_path / "passwords"))
    return tmp_path / "passwords"


def remote(local: str, password: str = "", insists_on: str = "", host: str = "127.0.0.1") -> str:
    """The same server for a person with a password, over the network."""
    login = f"keeper:{password}" if password else "keeper"
    return f"postgresql://{login}@{host}:{port_of(local)}/postgres?{insists_on}"


def port_of(local: str) -> str:
    return local.rpartition("=")[2]


def answered(address: str) -> object:
    """Whether the way to the server is encrypted, told by the server."""
    with closing(Database.open(address)) as database, database.reading() as connection:
        return connection.exec_driver_sql(IS_ENCRYPTED).scalar_one()


def refused(address: str) -> str:
    """Why there is no connection; no password is in that, nor in how it came about."""
    with pytest.raises(errors.NoConnection) as refusal:
        Database.open(address)
    told = "".join(traceback.format_exception(refusal.value))

    assert not [word for word in ("s3cret", "w@rd", "w%40rd") if word in told]
    return str(refusal.value)


def test_a_password_is_taken_from_where_it_is_kept(
    local: str, password_file: Path, monkeypatch: pytest.MonkeyPatch, tmp_path: Path
) -> None:
    assert "no password supplied" in refused(remote(local))
    assert "password authentication failed" in refused(remote(local, WRITTEN + "x"))
    assert answered(remote(local, WRITTEN)) is False

    password_file.write_text("127.0.0.1:*:*:keeper:" + SECRET.replace(":", "\\:") + "\n")
    password_file.chmod(0o640)
    with pytest.raises(errors.OpenPasswordFile, match="chmod 600"):
        Database.open(remote(local))
    assert answered(remote(local, WRITTEN)) is False  # which needs no file
    password_file.chmod(0o600)
    assert answered(remote(local)) is False

    password_file.unlink()
    (tmp_path / "services").write_text(
        f"[plant]\nhost=127.0.0.1\nport={port_of(local)}\nuser=keeper\ndbname=postgres\n"
        f"password={SECRET}\n"
    )
    monkeypatch.setenv("PGSERVICEFILE", str(tmp_path / "services"))
    assert answered("postgresql://?service=plant") is False


def test_what_is_insisted_on_of_encryption_is_had_or_there_is_no_connection(
    local: str, tmp_path: Path
) -> None:
    assert "does not support SSL" in refused(remote(local, WRITTEN, "sslmode=require"))

    change(local, CERTIFY)
    with connection_to(local) as owner:
        ((shown,),) = owner.execute("SELECT pg_read_file('server.crt')").fetchall()
    (tmp_path / "known.crt").write_text(shown)
    verified = f"sslmode=verify-full&sslrootcert={tmp_path / 'known.crt'}"

    assert answered(remote(local, WRITTEN, "sslmode=require")) is True
    assert answered(remote(local, WRITTEN, verified, "localhost")) is True
    assert "does not match host name" in refused(remote(local, WRITTEN, verified))

    change(local, CERTIFY)  # somebody else's now, for the same name
    assert "certificate verify failed" in refused(remote(local, WRITTEN, verified, "localhost"))
