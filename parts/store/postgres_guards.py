"""What PostgreSQL upholds of the ledger by itself, whichever program speaks to it.

A movement's balance and posting are written by a trigger that runs with the owner's rights, so
nobody else needs any on those tables, and who, when and from where are told by the server.
Knows the form of a seal, which is that of `seals`. A migration sets this up, so it is as frozen as
that: a later change is other functions in a later migration. Refuses to know who may do what.
Invariant: what was entered stays, even for the owner, and no balance falls below nothing.
"""

from __future__ import annotations

from collections.abc import Iterator

from sqlalchemy import Connection

ONLY_ADDED = ("movements", "postings", "counts", "changes")
_STAMPED = ("counts", "changes")
_SEALED = (
    *("date", "part", "qty", "kind", "store", "bin", "condition", "serial", "crane", "position"),
    *("order", "expires_on", "by", "note", "reverses", "key"),
)

# Nobody's own tables come before those that are meant here, and a day is written as in a seal.
_FIXED = "LANGUAGE plpgsql SET search_path = pg_catalog, pg_temp SET datestyle = 'ISO'"
_AT = "to_char(clock_timestamp() AT TIME ZONE 'UTC', 'YYYY-MM-DD\"T\"HH24:MI:SS\"Z\"')"
_WHO = "session_user::text"
_PLACE = "coalesce(host(inet_client_addr()), 'the server')"


def _sealed_text() -> str:
    """Each value led by its length, a blank as a dash, as `seals.sealed_text` has it."""
    columns = (f'entry."{name}"::text' for name in _SEALED)
    values = ("before", "(entered + 1)::text", "at", "who", "place", *columns)
    return " || ',' || ".join(f"coalesce(length({v}) || ':' || {v}, '-')" for v in values)


_FUNCTIONS = {
    "longpole_refuse": f"""() RETURNS trigger {_FIXED} AS $$
BEGIN
  RAISE restrict_violation USING MESSAGE = TG_TABLE_NAME || ' are only ever added';
END $$
""",
    "longpole_stamp": f"""() RETURNS trigger {_FIXED} AS $$
BEGIN
  NEW.at := {_AT};
  NEW.who := {_WHO};
  NEW.place := {_PLACE};
  RETURN NEW;
END $$
""",
    "longpole_post": f"""(entry public.movements, at text, who text, place text) RETURNS void
{_FIXED} AS $$
DECLARE
  shelf text := coalesce(entry.store, '');
  held bigint;
  entered bigint;
  before text;
  sealed text;
BEGIN
  LOOP  -- the row is locked, so that the movements of one account come one after the other
    SELECT b.qty, b.movements, b.seal INTO held, entered, before FROM public.balances b
      WHERE b.part = entry.part AND b.store = shelf FOR UPDATE;
    EXIT WHEN FOUND;
    INSERT INTO public.balances (part, store, qty, movements, seal)
      VALUES (entry.part, shelf, 0, 0, '') ON CONFLICT DO NOTHING;
  END LOOP;
  IF held + entry.qty < 0 THEN
    RAISE check_violation USING MESSAGE = 'less than nothing in store';
  END IF;
  sealed := encode(sha256(convert_to({_sealed_text()}, 'UTF8')), 'hex');
  UPDATE public.balances b SET qty = held + entry.qty, movements = entered + 1, seal = sealed
    WHERE b.part = entry.part AND b.store = shelf;
  INSERT INTO public.postings VALUES (entry.id, entered + 1, at, who, place, sealed);
END $$
""",  # noqa: S608 - names of columns, all of them ours
    "longpole_enter": f"""() RETURNS trigger {_FIXED} SECURITY DEFINER AS $$
BEGIN
  PERFORM public.longpole_post(NEW, {_AT}, {_WHO}, {_PLACE});
  RETURN NULL;
END $$
""",
}
_SEAL_WHAT_IS_THERE = "SELECT longpole_post(m, '', '', '') FROM movements m ORDER BY m.id"
_TRIGGERS = {
    **{
        f"{table}_only_added": f"BEFORE UPDATE OR DELETE OR TRUNCATE ON {table} "
        "EXECUTE FUNCTION longpole_refuse()"
        for table in ONLY_ADDED
    },
    **{
        f"{table}_stamped": f"BEFORE INSERT ON {table} "
        "FOR EACH ROW EXECUTE FUNCTION longpole_stamp()"
        for table in _STAMPED
    },
    "movements_entered": "AFTER INSERT ON movements FOR EACH ROW EXECUTE FUNCTION longpole_enter()",
}
_FUNCTIONS_THERE = "SELECT proname, prosrc FROM pg_proc WHERE pronamespace = 'public'::regnamespace"
_TRIGGERS_THERE = """
SELECT tgname FROM pg_trigger JOIN pg_class ON pg_class.oid = tgrelid
WHERE relnamespace = 'public'::regnamespace AND tgenabled IN ('O', 'A')
"""


def guard(connection: Connection) -> None:
    """Set the guards up, and seal what is there as entered by nobody known."""
    functions = (f"CREATE FUNCTION {name}{rest}" for name, rest in _FUNCTIONS.items())
    triggers = (f"CREATE TRIGGER {name} {rest}" for name, rest in _TRIGGERS.items())
    for statement in (*functions, _SEAL_WHAT_IS_THERE, *triggers):
        connection.exec_driver_sql(statement)


def missing(connection: Connection) -> Iterator[str]:
    """The guards that the owner has switched off, altered or taken away."""
    bodies: dict[str, str] = dict(map(tuple, connection.exec_driver_sql(_FUNCTIONS_THERE)))
    for name, rest in _FUNCTIONS.items():
        if bodies.get(name) != rest.split("$$")[1]:
            yield name
    working = {name for (name,) in connection.exec_driver_sql(_TRIGGERS_THERE).fetchall()}
    yield from (name for name in _TRIGGERS if name not in working)
