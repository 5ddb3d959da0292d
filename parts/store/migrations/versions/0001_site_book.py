"""The site book: every table of the first form.

Frozen: a later change of the tables is a later migration, and what the records say by then does not
matter here.
"""

from __future__ import annotations

import sqlalchemy as sa
from alembic import op
from sqlalchemy.dialects.postgresql import DOUBLE_PRECISION
from sqlalchemy.schema import SchemaItem

revision = "0001"
down_revision = None

TEXT = sa.Text().with_variant(sa.Text(collation="C"), "postgresql")
REAL: sa.types.TypeEngine[float] = sa.REAL().with_variant(DOUBLE_PRECISION(), "postgresql")
WHOLE = sa.Integer().with_variant(sa.BigInteger(), "postgresql")
DAY = sa.Text().with_variant(sa.Date(), "postgresql")
FLAG = sa.Integer().with_variant(sa.Boolean(), "postgresql")

KEYS = {"movements": "key"}  # the key of all others that are referred to is their name's singular

Items = list[SchemaItem]


def check(name: str, rule: str) -> sa.CheckConstraint:
    return sa.CheckConstraint(rule, name=name)


def quoted(name: str) -> str:
    return f'"{name}"' if name in ("after", "by", "for", "group", "key", "order") else name


def text(*names: str, blank: bool = True, of: str = "") -> Items:
    """`of`: the table that has these names as its key."""
    items: Items = []
    for name in names:
        items.append(sa.Column(name, TEXT, nullable=blank))
        items.append(check(name, f"length({quoted(name)}) BETWEEN 1 AND 10000"))
        if of:
            items += refers(name, of, KEYS.get(of, of[:-1]))
    return items


def choice(name: str, choices: str, *, blank: bool = True) -> Items:
    listed = ", ".join(f"'{choice}'" for choice in choices.split())
    return [sa.Column(name, TEXT, nullable=blank), check(name, f"{quoted(name)} IN ({listed})")]


def number(name: str, rule: str, *, blank: bool = True) -> Items:
    return [sa.Column(name, REAL, nullable=blank), check(name, rule)]


def amount(*names: str, blank: bool = True) -> Items:
    columns = (number(name, f"{name} >= 0.0 AND {name} <= 1e+308", blank=blank) for name in names)
    return [item for column in columns for item in column]


def share(name: str, *, blank: bool = True) -> Items:
    return number(name, f"{name} >= 0.0 AND {name} <= 1.0", blank=blank)


def whole(name: str, lowest: int, *, blank: bool = True) -> Items:
    return [sa.Column(name, WHOLE, nullable=blank), check(name, f"{name} >= {lowest}")]


def day(*names: str, blank: bool = True) -> Items:
    items: Items = []
    for name in names:
        rule = check(name, f"{name} IS date({name}, '+0 days') AND {name} >= '0001'")
        years = check(name, f"{name} BETWEEN DATE '0001-01-01' AND DATE '9999-12-31'")
        rules = (rule.ddl_if(dialect="sqlite"), years.ddl_if(dialect="postgresql"))
        items += [sa.Column(name, DAY, nullable=blank), *rules]
    return items


def flag(name: str, *, blank: bool = True) -> Items:
    rule = check(name, f"{name} IN (0, 1)").ddl_if(dialect="sqlite")
    return [sa.Column(name, FLAG, nullable=blank), rule]


def refers(columns: str, table: str, key: str) -> Items:
    target = [f"{table}.{name}" for name in key.split()]
    return [sa.ForeignKeyConstraint(columns.split(), target, deferrable=True, initially="DEFERRED")]


def at_position(name: str, *, blank: bool = True) -> Items:
    """A position on the crane of the row."""
    return [*text(name, blank=blank), *refers(f"crane {name}", "positions", "crane position")]


def table(name: str, key: str, *items: Items) -> None:
    number = [sa.Column("id", WHOLE, check("id", "id > 0"))] if key == "id" else []
    op.create_table(
        name,
        *number,
        *(item for column in items for item in column),
        sa.PrimaryKeyConstraint(*key.split()),
        sqlite_strict=True,
        sqlite_with_rowid=key == "id",
    )


def site() -> None:
    table("site", "key", text("key", blank=False), text("value"))
    table(
        "scores",
        "driver",
        choice("driver", "age sources lead_time", blank=False),
        share("weight", blank=False),
        text("points", blank=False),
    )
    table("holidays", "date", day("date", blank=False), text("name"))


def catalogue() -> None:
    table(
        "classes",
        "part_class",
        text("part_class", blank=False),
        amount("failures_per_year"),
        amount("rate_weight", blank=False),
        amount("lead_days"),
        choice("life_basis", "years hours"),
        amount("life_shape", "life_scale", "market_shape", "market_scale"),
        choice("recommission", "none functional loaded rated_load"),
        amount("storage_months"),
        text("source"),
    )
    table(
        "parts",
        "part",
        text("part", blank=False),
        text("description", "part_class"),
        amount("unit_cost"),
        day("introduced"),
        text("stage"),
        day("last_buy_on", "last_ship_on"),
        amount("shelf_life_months"),
        flag("drawing"),
        text("default_route"),
        amount("default_lead_days"),
        choice("life_basis", "years hours"),
        amount("life_shape", "life_scale", "failures_per_year", "planned_per_year"),
        amount("care_per_year", blank=False),
        whole("min_stock", 0),
        whole("max_stock", 0),
    )
    table(
        "part_numbers",
        "part number",
        text("part", blank=False, of="parts"),
        text("number", blank=False),
        text("owner"),
    )
    table(
        "companions",
        "part companion",
        text("part", "companion", blank=False, of="parts"),
        whole("qty", 1, blank=False),
        share("chance", blank=False),
    )
    table(
        "substitutes",
        "part substitute",
        text("part", "substitute", blank=False, of="parts"),
        amount("extra_hours", blank=False),
        flag("both_ways", blank=False),
        text("approval"),
    )


def structure() -> None:
    table(
        "cranes",
        "crane",
        text("crane", blank=False),
        text("name", "bay"),
        amount("capacity_t"),
        text("duty_group"),
        day("commissioned", "retire_on"),
        number("hours_per_year", "hours_per_year >= 0.0 AND hours_per_year <= 8784.0"),
        amount("down_cost_per_day"),
        share("cover_share", blank=False),
    )
    table(
        "functions",
        "crane function",
        text("crane", blank=False, of="cranes"),
        text("function", blank=False),
        number("lost_share", "lost_share > 0.0 AND lost_share <= 1.0", blank=False),
    )
    table(
        "positions",
        "crane position",
        text("crane", blank=False, of="cranes"),
        text("position", blank=False),
        at_position("parent"),
        text("part", of="parts"),
        whole("qty", 1, blank=False),
        day("installed"),
        amount("hours_at_install", "exchange_hours"),
        flag("load_bearing", blank=False),
        amount("failures_per_year"),
    )
    table(
        "needs",
        "crane item needs",
        text("crane", blank=False, of="cranes"),
        text("item", "needs", blank=False),
        text("group"),
        whole("at_least", 1),
    )


def supply() -> None:
    table(
        "suppliers",
        "supplier",
        text("supplier", blank=False),
        text("name", "kind"),
        flag("active", blank=False),
    )
    table(
        "offers",
        "id",
        text("supplier", blank=False, of="suppliers"),
        text("part", blank=False, of="parts"),
        choice("kind", "new made repair used", blank=False),
        amount("unit_price"),
        text("currency"),
        amount("order_cost", blank=False),
        whole("min_qty", 1, blank=False),
        amount("low", "likely", "high"),
        choice("unit", "d wd wk", blank=False),
        choice("basis", "quoted promised achieved guessed"),
        day("quoted_on", "valid_until"),
        text("route", "approval"),
    )
    table(
        "routes",
        "route operation",
        text("route", "operation", blank=False),
        text("after"),
        amount("low"),
        amount("likely", blank=False),
        amount("high"),
        choice("unit", "d wd wk", blank=False),
        flag("ahead"),
        amount("ahead_cost"),
        flag("ahead_lasts"),
        flag("done", blank=False),
    )
    table(
        "currencies",
        "currency",
        text("currency", blank=False),
        number("rate", "rate > 0.0 AND rate <= 1e+308", blank=False),
        day("dated", blank=False),
    )
    table(
        "orders",
        "order part",
        text("order", blank=False),
        text("supplier", blank=False, of="suppliers"),
        text("part", blank=False, of="parts"),
        whole("qty", 1, blank=False),
        day("ordered_on", blank=False),
        amount("quoted_days"),
        day("due_on", "received_on"),
        amount("unit_price"),
    )
    table(
        "notices",
        "id",
        text("part", blank=False, of="parts"),
        text("supplier", of="suppliers"),
        day("notice_on", blank=False),
        choice("kind", "change discontinuance"),
        day("last_buy_on", "last_ship_on"),
        text("note"),
    )


def stock() -> None:
    table(
        "movements",
        "id",
        day("date", blank=False),
        text("part", blank=False, of="parts"),
        [sa.Column("qty", WHOLE, nullable=False)],
        choice(
            "kind", "opening receipt return issue scrap count transfer reversal care", blank=False
        ),
        text("store", "bin"),
        choice("condition", "usable quarantine in_repair"),
        text("serial"),
        text("crane", of="cranes"),
        at_position("position"),
        text("order"),
        day("expires_on"),
        text("by", "note"),
        text("reverses", of="movements"),
        text("key", blank=False),
        [sa.UniqueConstraint("key"), sa.UniqueConstraint("reverses")],
    )
    table(
        "reservations",
        "part for",
        text("part", blank=False, of="parts"),
        whole("qty", 1, blank=False),
        text("for", blank=False),
        day("needed_on", "released_on"),
    )


def history() -> None:
    table(
        "failures",
        "crane position failed_on",
        text("crane", blank=False, of="cranes"),
        at_position("position", blank=False),
        day("failed_on", blank=False),
        day("restored_on"),
        text("part", of="parts"),
        amount("age_hours"),
        text("cause", "consumed", "note"),
    )
    table(
        "duty",
        "crane mechanism",
        text("crane", blank=False, of="cranes"),
        text("mechanism", blank=False),
        choice("group", "M1 M2 M3 M4 M5 M6 M7 M8"),
        number("hours_per_year", "hours_per_year >= 0.0 AND hours_per_year <= 8784.0"),
        share("km"),
        text("spectrum"),
        amount("hours_used"),
        amount("method_factor", blank=False),
    )
    table(
        "observations",
        "crane position date what",
        text("crane", blank=False, of="cranes"),
        at_position("position", blank=False),
        day("date", blank=False),
        text("what", "value", blank=False),
        text("by"),
    )
    table(
        "upgrades",
        "upgrade",
        text("upgrade", blank=False),
        text("title"),
        amount("cost", "lead_days", "down_days", "life_years"),
    )
    table(
        "upgrade_effects",
        "upgrade crane position",
        text("upgrade", blank=False, of="upgrades"),
        text("crane", blank=False, of="cranes"),
        at_position("position", blank=False),
        text("new_part", of="parts"),
        amount("failures_factor"),
    )


def upgrade() -> None:
    site()
    catalogue()
    structure()
    supply()
    stock()
    history()
    op.execute(
        "CREATE UNIQUE INDEX uq_offers_key ON offers (supplier, part, kind, coalesce(route, ''))"
    )
    op.execute(
        "CREATE UNIQUE INDEX uq_notices_key ON notices "
        "(part, coalesce(supplier, ''), notice_on, coalesce(kind, ''))"
    )
    op.create_index("ix_positions_crane_parent", "positions", ["crane", "parent"])
    if op.get_context().dialect.name == "sqlite":
        guard_the_ledger()


def guard_the_ledger() -> None:
    """INSERT OR REPLACE takes a row's place without asking the other two triggers."""
    never = "BEGIN SELECT RAISE(ABORT, 'movements are only ever added'); END"
    repeated = (
        "WHEN EXISTS (SELECT 1 FROM movements "
        "WHERE id = NEW.id OR key = NEW.key OR reverses = NEW.reverses)"
    )
    op.execute(f"CREATE TRIGGER movements_never_change BEFORE UPDATE ON movements {never}")
    op.execute(f"CREATE TRIGGER movements_never_vanish BEFORE DELETE ON movements {never}")
    op.execute(
        f"CREATE TRIGGER movements_never_repeat BEFORE INSERT ON movements {repeated} {never}"
    )
