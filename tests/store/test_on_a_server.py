"""A database on a server is opened, made, renewed and used as a file is, and by several at once.

Codes of errors: PostgreSQL's manual, appendix A.
"""

from __future__ import annotations

import subprocess
import sys
from contextlib import closing
from threading import Barrier, Thread

import psycopg
import pytest
from alembic import command
from sqlalchemy import Connection, create_engine
from sqlalchemy.exc import ProgrammingError

from parts import errors
from parts.records.book import BOOK_FILES
from parts.records.structure import Crane
from parts.store import forms
from parts.store.books import read_book, read_rows, write_rows
from parts.store.database import Database, new_database
from parts.store.schema import FORM, METADATA
from tests.servers import Server, connection_to, name_of
from tests.store.conftest import fill
from tests.store.site_rows import ROWS

NEW = Crane(crane="C3")
PROMISED = {
    "application_name": "longpole",
    "client_encoding": "UTF8",
    "search_path": "public",
    "lock_timeout": "5s",
    "statement_timeout": "30s",
    "idle_in_transaction_session_timeout": "1min",
}
RULES = """
SELECT conrelid::regclass::text, conname, pg_get_constraintdef(oid) FROM pg_constraint
WHERE connamespace = 'public'::regnamespace AND conrelid::regclass::text <> 'longpole_form'
UNION ALL SELECT tablename, indexname, indexdef FROM pg_indexes
WHERE schemaname = 'public' AND tablename <> 'longpole_form'
UNION ALL SELECT table_name, column_name, concat_ws(' ', data_type, is_nullable, collation_name)
FROM information_schema.columns WHERE table_schema = 'public' AND table_name <> 'longpole_form'
ORDER BY 1, 2, 3
"""


def settings_of(connection: Connection) -> dict[str, str]:
    return {
        name: connection.exec_driver_sql(f"SHOW {name}").scalar_one()
        for name in (*PROMISED, "transaction_isolation", "transaction_read_only")
    }


def rules_at(address: str) -> list[tuple[str, str, str]]:
    with connection_to(address) as connection:
        return connection.execute(RULES).fetchall()


def tables_at(address: str) -> int:
    with connection_to(address) as connection:
        found = connection.execute("SELECT count(*) FROM pg_tables WHERE schemaname = 'public'")
        return int(found.fetchall()[0][0])


def test_every_connection_has_the_promised_settings(on_server: str) -> None:
    with closing(Database.open(on_server)) as database:
        with database.reading() as connection:
            reading = settings_of(connection)
        with database.writing() as connection:
            writing = settings_of(connection)

    read = {"transaction_isolation": "repeatable read", "transaction_read_only": "on"}
    written = {"transaction_isolation": "read committed", "transaction_read_only": "off"}
    assert reading == PROMISED | read
    assert writing == PROMISED | written


def test_the_migrations_leave_exactly_the_tables_of_the_records(
    on_server: str, nothing_on_server: str
) -> None:
    engine = create_engine(nothing_on_server.replace("postgresql:", "postgresql+psycopg:"))
    METADATA.create_all(engine)
    engine.dispose()

    assert rules_at(on_server) == rules_at(nothing_on_server)
    assert len(rules_at(on_server)) > len(BOOK_FILES)


def test_an_empty_database_is_none_until_it_is_made(nothing_on_server: str) -> None:
    with pytest.raises(errors.NoDatabase):
        Database.open(nothing_on_server)

    fill(nothing_on_server)
    with closing(Database.open(nothing_on_server)) as database, database.reading() as connection:
        assert read_rows(connection, "cranes") == ROWS["cranes"]


@pytest.mark.parametrize("failure", [RuntimeError, KeyboardInterrupt, errors.RowRefused])
def test_nothing_is_left_of_a_new_one_when_filling_fails(
    nothing_on_server: str, failure: type[BaseException]
) -> None:
    def make() -> None:
        with new_database(nothing_on_server) as database, database.writing() as connection:
            assert read_rows(connection, "cranes") == []
            write_rows(connection, "cranes", [NEW], progress=fail)
            write_rows(connection, "cranes", [NEW])

    def fail(_: int) -> None:
        if failure is not errors.RowRefused:  # which the second of the same rows gives
            raise failure

    with pytest.raises(failure):
        make()

    assert tables_at(nothing_on_server) == 0


def test_the_tables_of_another_program_are_left_alone(nothing_on_server: str) -> None:
    with connection_to(nothing_on_server) as connection:
        connection.execute("CREATE TABLE cranes (crane text)")

    for attempt in (Database.open, fill):
        with pytest.raises(errors.NotOurDatabase, match="another program"):
            attempt(nothing_on_server)
    assert tables_at(nothing_on_server) == 1


def test_one_that_is_there_is_not_made_again(on_server: str) -> None:
    with pytest.raises(errors.DatabaseExists), new_database(on_server):
        pass


def test_of_two_who_make_it_at_once_one_does(nothing_on_server: str) -> None:
    ended: list[str] = []
    ready = Barrier(2)

    def make() -> None:
        ready.wait()
        try:
            fill(nothing_on_server)
            ended.append("made")
        except errors.DatabaseExists:
            ended.append("exists")

    makers = [Thread(target=make) for _ in range(2)]
    for maker in makers:
        maker.start()
    for maker in makers:
        maker.join()

    assert sorted(ended) == ["exists", "made"]


def test_a_database_that_cannot_keep_every_letter_is_refused(server: Server) -> None:
    with server.connection() as connection:
        connection.execute("DROP DATABASE IF EXISTS longpole_test_latin")
        connection.execute(
            "CREATE DATABASE longpole_test_latin TEMPLATE template0 ENCODING LATIN1 LOCALE 'C'"
        )
    try:
        with pytest.raises(errors.DatabaseUnwritable, match="its texts in LATIN1"):
            fill(server.address("longpole_test_latin"))
    finally:
        with server.connection() as connection:
            connection.execute("DROP DATABASE longpole_test_latin WITH (FORCE)")


def test_a_database_of_a_newer_form_stays_as_it_is(nothing_on_server: str) -> None:
    fill(nothing_on_server)
    with connection_to(nothing_on_server) as connection:
        connection.execute("UPDATE longpole_form SET version_num = '0099'")

    with pytest.raises(errors.NewerDatabase, match=f"form 99, this one knows {FORM}"):
        Database.open(nothing_on_server)


def older(address: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """A filled database as an older program left it: of the first form."""
    upgrade = command.upgrade
    with monkeypatch.context() as patched:
        patched.setattr(command, "upgrade", lambda config, _: upgrade(config, "0001"))
        fill(address)


def test_an_older_database_is_renewed_by_its_owner(
    nothing_on_server: str, on_server: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    older(nothing_on_server, monkeypatch)
    with closing(Database.open(nothing_on_server)) as database, database.reading() as connection:
        book = read_book(connection)

    assert book["movements"] == ROWS["movements"]
    assert rules_at(nothing_on_server) == rules_at(on_server)


def test_an_older_database_waits_for_its_owner(
    server: Server, nothing_on_server: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    older(nothing_on_server, monkeypatch)
    name = name_of(nothing_on_server)
    with connection_to(nothing_on_server) as connection:
        connection.execute(f"CREATE ROLE {name} LOGIN")
        connection.execute(f"GRANT SELECT ON ALL TABLES IN SCHEMA public TO {name}")
    try:
        with pytest.raises(errors.OlderDatabase, match="its owner brings it up to date"):
            Database.open(server.address(name, user=name))
    finally:
        with connection_to(nothing_on_server) as connection:
            connection.execute(f"DROP OWNED BY {name}")
            connection.execute(f"DROP ROLE {name}")


def test_a_renewal_that_fails_leaves_the_older_form(
    nothing_on_server: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    older(nothing_on_server, monkeypatch)
    before, renew = rules_at(nothing_on_server), forms.renew

    def renew_and_fail(connection: Connection) -> None:
        renew(connection)
        raise KeyboardInterrupt

    with monkeypatch.context() as patched:
        patched.setattr(forms, "renew", renew_and_fail)
        with pytest.raises(KeyboardInterrupt):
            Database.open(nothing_on_server)

    assert rules_at(nothing_on_server) == before


def test_a_view_does_not_move_while_others_write(on_server: str) -> None:
    with closing(Database.open(on_server)) as database, database.reading() as view:
        before = read_rows(view, "cranes")
        with database.writing() as connection:
            write_rows(connection, "cranes", [NEW])

        assert read_rows(view, "cranes") == before
        with database.reading() as later:
            assert read_rows(later, "cranes") == [*before, NEW]


def test_figures_come_back_as_they_were_written_whatever_the_server_prints(
    server: Server,
) -> None:
    with server.database() as address:
        fill(address)
        with connection_to(address) as connection:
            name = name_of(address)
            connection.execute(f"ALTER DATABASE {name} SET extra_float_digits = -10")
            connection.execute(f"ALTER DATABASE {name} SET datestyle = 'German'")
            connection.execute(f"ALTER DATABASE {name} SET search_path = ''")
        with closing(Database.open(address)) as database, database.reading() as connection:
            cranes, parts = read_rows(connection, "cranes"), read_rows(connection, "parts")

    assert (cranes, parts) == (ROWS["cranes"], ROWS["parts"])


def test_a_text_with_a_nul_and_a_number_too_large_are_refused_rows(on_server: str) -> None:
    with closing(Database.open(on_server)) as database:
        for crane in (Crane(crane="a\0b"), Crane(crane="C3", cover_share=1e999)):
            with pytest.raises(errors.RowRefused), database.writing() as connection:
                write_rows(connection, "cranes", [crane])


def test_a_login_without_a_role_is_told_so(server: Server, on_server: str) -> None:
    name = name_of(on_server)
    with connection_to(on_server) as connection:
        connection.execute(f"CREATE ROLE {name} LOGIN")
    try:
        with pytest.raises(errors.NotPermitted, match="your role may not"):
            Database.open(server.address(name, user=name))
    finally:
        with connection_to(on_server) as connection:
            connection.execute(f"DROP ROLE {name}")


def test_opening_a_file_loads_no_driver_of_servers(where: str) -> None:
    asked = (
        "import sys; from parts.store.database import Database; Database.open(sys.argv[1]); "
        "sys.exit('psycopg' in sys.modules)"
    )

    assert subprocess.run([sys.executable, "-c", asked, where], check=False).returncode == 0


def test_a_fault_of_the_program_is_not_dressed_up(on_server: str) -> None:
    with closing(Database.open(on_server)) as database:
        with pytest.raises(ProgrammingError), database.reading() as connection:
            connection.exec_driver_sql("SELECT nonsense FROM cranes")
        with pytest.raises(psycopg.ProgrammingError), database.reading() as connection:
            connection.connection.cursor().execute("SELECT nonsense FROM cranes")
