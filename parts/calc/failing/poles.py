"""The long pole in words and days: the chain of steps that sets the date of an exchange.

The member and the way that set the date, split into the operations on the critical path where it
is made by a route, then the hands-on time. Invariant: the days of the steps add up to the days
of the exchange.
"""

from __future__ import annotations

from parts.calc.failing.exchanges import Exchange, Member
from parts.calc.getting.routes import Route
from parts.calc.getting.supply import Lot
from parts.calc.getting.ways import Market, Way
from parts.records.answers import Step


def long_pole(
    exchange: Exchange, hands_on_hours: float, hours_assumed: bool, place: str, market: Market
) -> tuple[Step, ...]:
    """Steps of an exchange at `place` whose position takes `hands_on_hours` hours at the crane,
    the extra hours of substitutes not counted in."""
    hours = hands_on_hours + exchange.extra_hours
    return (
        *_waiting(exchange.setting),
        Step(
            step=_hands_on_words(exchange, hours, hours_assumed, place, market),
            days=hours / exchange.hours_per_day,
            assumed=hours_assumed,
            record=f"positions {place}",
        ),
    )


def waits_for(exchange: Exchange) -> str:
    """The member and the way that set the date, in one breath."""
    member = exchange.setting
    return f"{_member_words(member)} {_way_words(member.delay.setting)}"


def _member_words(member: Member) -> str:
    qty, part = member.demand.qty, member.part
    what = f"{qty} x {part}" if qty > 1 else part
    return what if member.demand.is_unit else f"companion {what}"


def _waiting(member: Member) -> tuple[Step, ...]:
    lot, what = member.delay.setting, _member_words(member)
    steps = () if lot.way.route is None else _operations(what, lot, lot.way.route)
    return steps or (Step(f"{what}: {_way_words(lot)}", lot.days, lot.way.assumed, lot.way.record),)


def _operations(what: str, lot: Lot, route: Route) -> tuple[Step, ...]:
    schedule = route.further if lot.further else route.first
    steps = []
    for name in schedule.path:
        days = (schedule.finish[name] - schedule.start[name]) * lot.way.ratio
        if days > 0.0:
            record = f"routes {route.name}/{name}"
            steps.append(Step(f"{what}: {name}", days, lot.way.assumed, record))
    return tuple(steps)


def _way_words(lot: Lot) -> str:
    way = lot.way
    words = {
        "stock": "from stock",
        "donor": f"taken from {way.source}",
        "order": f"{way.source} from {way.supplier} arrives",
        "new": f"new from {way.supplier}",
        "made": f"made by {way.supplier}",
        "repair": f"repaired by {way.supplier}",
        "used": f"used, from {way.supplier}",
        "default": f"assumed: {way.source}",
    }[way.kind]
    if lot.stand_in is not None:
        return f"{way.part} as substitute, {words}"
    return words


def _hands_on_words(
    exchange: Exchange, hours: float, hours_assumed: bool, place: str, market: Market
) -> str:
    words = f"hands-on at {place}, {hours:g} h"
    if exchange.extra_hours:
        words += f" (of them {exchange.extra_hours:g} h extra for the substitute)"
    if hours_assumed:
        words += ", assumed by the site's default"
    test = recommission_words(exchange.fitted, market)
    return f"{words}, with {test}" if test else words


def recommission_words(part: str, market: Market) -> str:
    """The test that the part's class asks for before the crane is handed back."""
    row = market.snapshot.parts[part]
    part_class = market.snapshot.classes.get(row.part_class or "")
    level = part_class.recommission if part_class is not None else None
    return {
        "functional": "functional test",
        "loaded": "functional test under load",
        "rated_load": "rated-load test by a qualified person",
    }.get(level or "", "")


def way_words(way: Way) -> str:
    """A way as a storeroom keeper would say it."""
    return _way_words(Lot(way.days, 1.0, way))
