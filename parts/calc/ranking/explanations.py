"""How each figure of an answer came about, term by term, each term naming its record."""

from __future__ import annotations

from collections.abc import Iterator

from parts.calc.failing.exchanges import Exchange
from parts.calc.failing.outages import FleetOutage
from parts.calc.failing.poles import way_words
from parts.calc.getting.lead_times import LeadTimes
from parts.calc.getting.supply import Lot
from parts.calc.getting.ways import Market
from parts.calc.ranking.explained_risks import part_terms, position_terms
from parts.calc.ranking.exposures import Exposures
from parts.records.answers import Explanation, PositionOutage, Term
from parts.records.shares import percent


def explain_position(exposed: Exposures, crane: str, position: str) -> Explanation:
    """The outage and the exposure of a position, unfolded to the records that they rest on."""
    outage = exposed.outage
    row = outage.fleet.row(crane, position)
    answer = outage.row(outage.rank_of_row(row))
    return Explanation(
        subject=f"{crane}/{position}",
        sentence=_sentence(answer),
        terms=(
            *_place_terms(outage, answer, row),
            *_chain_terms(outage, answer, row),
            *_loss_terms(outage, answer),
            *position_terms(exposed, row),
        ),
        outage=answer,
        risk=exposed.position(row),
        lead_time=None
        if answer.part is None
        else LeadTimes(outage.snapshot).answer(answer.part, 1),
        where_used=places_of_parts(outage).get(answer.part or "", ()),
    )


def explain_part(exposed: Exposures, part: str) -> Explanation:
    """The lead time and the likelihood of a part, unfolded to the records that they rest on."""
    outage = exposed.outage
    answer = LeadTimes(outage.snapshot).answer(part, 1)
    days = "not known" if answer.days_mean is None else f"{answer.days_mean:.1f} days"
    assumed = ", by assumption" if answer.assumed else ""
    return Explanation(
        subject=part,
        sentence=f"One {part} can be had in {days}{assumed}.",
        terms=(*_part_terms(outage, part), *part_terms(exposed, part)),
        lead_time=answer,
        where_used=places_of_parts(outage).get(part, ()),
    )


def places_of_parts(outage: FleetOutage) -> dict[str, tuple[tuple[str, str], ...]]:
    """Live positions, as (crane, position), in which each part sits."""
    positions, live = outage.snapshot.positions, outage.fleet.live
    found: dict[str, list[tuple[str, str]]] = {}
    for row, part in enumerate(positions.part):
        if part is not None and live[row]:
            found.setdefault(part, []).append((positions.crane[row], positions.position[row]))
    return {part: tuple(places) for part, places in found.items()}


def _sentence(answer: PositionOutage) -> str:
    place = f"{answer.crane}/{answer.position}"
    if answer.restore_days is None:
        return f"If {place} fails today, nobody knows when it is restored: {answer.reason}."
    words = {
        "down": f"{answer.crane} stands still for {answer.restore_days:.1f} days",
        "reduced": f"{answer.crane} loses {percent(answer.lost_share)} of its work "
        f"for {answer.restore_days:.1f} days",
        "in_service": f"{answer.crane} loses no work; restoring takes "
        f"{answer.restore_days:.1f} days",
    }[answer.state.value]
    longest = max(answer.long_pole, key=lambda step: step.days)
    return f"If {place} fails today, {words}; the longest step is {longest.step}."


def _place_terms(outage: FleetOutage, answer: PositionOutage, row: int) -> Iterator[Term]:
    record = f"positions {answer.crane}/{answer.position}"
    yield Term("part", answer.part or "not recorded", record)
    if answer.load_bearing:
        yield Term("load-bearing", "yes: used, made, repaired and substitute parts only with "
                   "a recorded approval, donors never", record)  # fmt: skip
    installed = outage.snapshot.positions.installed[row]
    if installed is not None:
        yield Term("installed", str(installed), record)
    if answer.decide is not None:
        yield Term("to decide", answer.decide, record)


def _chain_terms(outage: FleetOutage, answer: PositionOutage, row: int) -> Iterator[Term]:
    """Every exchange that would restore the position, the chosen one in full."""
    positions, fleet = outage.snapshot.positions, outage.fleet
    for each in fleet.chain(row):
        name = positions.position[each]
        exchange = outage.exchange_at(each, is_assembly=each != row)
        if exchange is None:
            if positions.part[each] is not None:
                what = "not possible without an assumption" if each != row else "not possible"
                yield Term(f"exchange {name}", what, f"positions {answer.crane}/{name}")
            continue
        hours = float(fleet.exchange_hours[each])
        days = exchange.lead_days + hours / exchange.hours_per_day
        chosen = name == answer.replaced and answer.restore_days is not None
        yield Term(
            f"exchange {name}",
            f"{days:.1f} days: wait {exchange.delay_days:.1f} + hands-on "
            f"({hours:g} + {exchange.extra_hours:g} h extra) / {exchange.hours_per_day:g} h a day"
            + ("; chosen" if chosen else ""),
            f"positions {answer.crane}/{name}",
        )
        if chosen:
            yield from _member_terms(exchange, outage.market)


def _member_terms(exchange: Exchange, market: Market) -> Iterator[Term]:
    for member in exchange.members:
        role = "unit" if member.demand.is_unit else "companion"
        for lot in member.delay.drawn:
            yield Term(
                f"{role} {member.part}",
                f"{member.demand.qty} wanted; {way_words(lot.way)}: {_arithmetic(lot, market)}",
                lot.way.record,
            )


def _arithmetic(lot: Lot, market: Market) -> str:
    way = lot.way
    total = f"{lot.days:.1f} days"
    if way.route is not None:
        schedule = way.route.further if lot.further else way.route.first
        inner = f"critical path {schedule.length:.1f} of route {way.route.name}"
    elif way.points is not None:
        points = way.points
        inner = f"({points.low:g} + 4 x {points.likely:g} + {points.high:g}) / 6"
    else:
        return total
    count = market.corrections.counts.get(way.supplier or "", 0)
    learnt = f" (learnt from {count} received orders)" if way.supplier else ""
    return f"{inner} x correction {way.ratio:.3f}{learnt} = {total}"


def _loss_terms(outage: FleetOutage, answer: PositionOutage) -> Iterator[Term]:
    shares = {
        row.function: row.lost_share
        for row in outage.snapshot.functions
        if row.crane == answer.crane
    }
    for name in answer.functions_lost:
        record = f"functions {answer.crane}/{name}"
        yield Term(f"lost: {name}", f"{percent(shares[name])} of the work", record)
    yield Term("share lost", f"{percent(answer.lost_share)}, crane {answer.state.value}",
               f"needs {answer.crane}")  # fmt: skip
    if answer.lost_days is not None and answer.restore_days is not None:
        yield Term("lost days", f"{answer.restore_days:.1f} x {answer.lost_share:.2f} "
                   f"= {answer.lost_days:.1f}", "")  # fmt: skip
    crane = outage.snapshot.cranes[answer.crane]
    if answer.cost is not None and answer.lost_days is not None:
        yield Term(
            "cost",
            f"{answer.lost_days:.1f} x {crane.down_cost_per_day:,.0f} a day x "
            f"(1 - {crane.cover_share:g} covered) = {answer.cost:,.0f}",
            f"cranes {answer.crane}",
        )
    elif crane.down_cost_per_day is None:
        yield Term("cost", "not known: no cost a day is recorded", f"cranes {answer.crane}")


def _part_terms(outage: FleetOutage, part: str) -> Iterator[Term]:
    snapshot, market = outage.snapshot, outage.market
    row = snapshot.parts[part]
    yield Term("description", row.description or "none", f"parts {part}")
    held = market.stock.get(part)
    if held is not None:
        yield Term(
            "stock",
            f"{held.book} on the book, {held.expired(snapshot.today)} past shelf life, "
            f"{held.reserved} reserved, {held.usable(snapshot.today)} usable",
            f"movements {part}",
        )
    for way in market.ways(part):
        days = (
            _arithmetic(Lot(way.days, 1.0, way), market) if way.is_offer else f"{way.days:g} days"
        )
        value = f"not usable: {way.why_not}" if way.why_not else days
        yield Term(way_words(way), value, way.record)
    default = market.default(part)
    if default is not None:
        yield Term("if no way is left", f"{default.days:.1f} days, {default.source}",
                   default.record)  # fmt: skip
    for name, qty in outage.exchanges.companions(part).items():
        yield Term(f"companion {name}", f"{qty} with each exchange", f"companions {part}/{name}")
    for stand_in in outage.exchanges.supplies.all_stand_ins(part):
        approved = stand_in.approval or "no approval: not where it bears load"
        yield Term(f"substitute {stand_in.part}", approved, stand_in.record)
