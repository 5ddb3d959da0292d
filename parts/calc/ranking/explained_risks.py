"""How the figures of a coming year came about, term by term, each term naming its record."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np

from parts.calc.failing.poles import way_words
from parts.calc.likelihoods.lives import Life
from parts.calc.likelihoods.rates import PartRate
from parts.calc.ranking.explained_pools import pool_terms
from parts.calc.ranking.exposures import Exposures
from parts.calc.ranking.outlooks import Outlooks
from parts.calc.ranking.risks import Risks
from parts.calc.waiting.part_sets import MemberTerm
from parts.records.answers import Term
from parts.records.risk_answers import PositionRisk
from parts.records.shares import percent


def position_terms(exposed: Exposures, row: int) -> Iterator[Term]:
    """Likelihood, long-run wait and exposure of one position."""
    risk = exposed.position(row)
    place = f"{risk.crane}/{risk.position}"
    yield _failures_term(exposed, row, risk)
    yield from _wait_terms(exposed, row)
    if risk.expected_restore_days is not None:
        hands_on = float(exposed.long_run.hands_on_days[row])
        yield Term(
            "restore in the long run",
            f"wait {risk.expected_wait_days or 0.0:.1f} + hands-on {hands_on:.1f} = "
            f"{risk.expected_restore_days:.1f} days, exchanging {risk.replaced}",
            f"positions {risk.crane}/{risk.replaced}",
        )
    yield _weight_term(exposed, row, risk)
    if risk.exposure_days is None:
        yield Term("exposure", "not known; it counts 0 in every sum", f"positions {place}")
        return
    yield Term(
        "exposure in days",
        f"{risk.failures_next_year or 0.0:.3g} a year x {risk.expected_restore_days or 0.0:.1f} "
        f"days x {risk.weight:.3g} = {risk.exposure_days:.3g} lost days a year",
        f"positions {place}",
    )
    yield _cost_term(exposed, risk)


def _weight_term(exposed: Exposures, row: int, risk: PositionRisk) -> Term:
    """The share of work that an outage takes, and the twins on whose outages it rests."""
    name = "share of work an outage takes"
    partners = exposed.partners(row)
    if not partners:
        return Term(name, f"{risk.weight:.3g}", f"needs {risk.crane}")
    told = ", ".join(f"{each}{_out_words(u)}" for each, u in partners.items())
    single = float(exposed.outage.single_shares[row])
    return Term(
        name,
        f"{risk.weight:.3g}, {percent(single)} alone; joint outages counted once, beside {told}",
        ", ".join(f"positions {risk.crane}/{each}" for each in partners),
    )


def _out_words(unavailability: float | None) -> str:
    if unavailability is None:
        return " (nobody knows how it is restored: taken as out for good)"
    return "" if np.isnan(unavailability) else f" (out {unavailability * 100:.2f} % of the time)"


def _cost_term(exposed: Exposures, risk: PositionRisk) -> Term:
    crane = exposed.snapshot.cranes[risk.crane]
    record = f"cranes {risk.crane}"
    if crane.down_cost_per_day is None:
        return Term("exposure in money", "no cost a day is recorded, so it counts 0", record)
    return Term(
        "exposure in money",
        f"{risk.exposure_days or 0.0:.3g} days x {crane.down_cost_per_day:,.0f} a day x "
        f"(1 - {crane.cover_share:g} covered) = {risk.exposure_cost or 0.0:,.0f} a year",
        record,
    )


def _failures_term(exposed: Exposures, row: int, risk: PositionRisk) -> Term:
    place, part = f"{risk.crane}/{risk.position}", risk.part or ""
    if risk.failures_next_year is None or risk.basis is None:
        what = "nothing is known of how often this fails"
        if risk.failures_next_year == 0.0:
            what = "0: an assembly fails by its parts"
        return Term("failures next year", what, f"positions {place}")
    total = f"{risk.failures_next_year:.3g} in the coming year"
    if risk.basis == "position":
        return Term(
            "failures next year", f"{total}, stated for this position", f"positions {place}"
        )
    if risk.basis == "weibull":
        life = exposed.likelihood.life(part)
        age = float(exposed.likelihood.ages.of(life.basis)[row]) if life else np.nan
        words = "" if life is None else f"{life_words(life)}, at an age of {age:.3g} {life.basis}"
        return Term("failures next year", f"{total}: renewals of a life, {words}", f"parts {part}")
    rate = exposed.likelihood.rate(part)
    qty = exposed.snapshot.positions.qty[row]
    words = "" if rate is None else rate_words(rate)
    return Term("failures next year", f"{total}: {qty} x {words}", f"parts {part}")


def rate_words(rate: PartRate) -> str:
    """A constant rate, its limits and where it comes from."""
    limits = "" if rate.low is None else f" ({rate.low:.2g} to {rate.high:.2g} with 90 %)"
    figure = f"{rate.mean:.3g} a year and unit{limits}"
    if not rate.own:
        return f"{figure}, {'stated for the part' if rate.basis == 'stated' else 'of its class'}"
    return (
        f"{figure} = (prior {rate.shape - rate.failures:.3g} + {rate.failures} failures) / "
        f"({rate.rate_years:.4g} unit-years, {rate.unit_years:.4g} of them recorded)"
    )


def life_words(life: Life) -> str:
    """A life, its limits and where it comes from."""
    scale = f"{life.scale:.4g} {life.basis}"
    if life.scale_low is not None and life.scale_high is not None:
        scale += f" ({life.scale_low:.3g} to {life.scale_high:.3g} with 95 %)"
    shape = f"{life.shape:.3g}"
    if life.shape_low is not None and life.shape_high is not None:
        shape += f" ({life.shape_low:.2g} to {life.shape_high:.2g})"
    told = f" from {life.failures} failures and {life.censored} running" if life.fitted else ""
    return f"{life.source} shape {shape}, scale {scale}{told}"


def _wait_terms(exposed: Exposures, row: int) -> Iterator[Term]:
    wait = exposed.long_run.set_wait(row)
    if wait is None:
        return
    for member in wait.members:
        yield _member_term(member)
    if len(wait.members) > 1 and wait.wait_days is not None:
        yield Term("the set waits", f"{wait.wait_days:.1f} days on average; its members run out "
                   "together, so it is no sum", f"companions {wait.part}")  # fmt: skip


def _member_term(member: MemberTerm) -> Term:
    restock = member.restock
    if restock.lead_days is None or restock.way is None:
        return Term(
            f"kept: {member.part}", "nobody knows how to get it again", f"parts {member.part}"
        )
    lasting = ""
    if member.horizon is not None:
        lasting = f"; cannot be bought again, asked for during {member.horizon.years:.3g} years"
    own = "not known" if member.own_wait_days is None else f"{member.own_wait_days:.1f} days"
    return Term(
        f"kept: {member.part}",
        f"{restock.stock} kept, {member.demand_per_year:.3g} asked of it a year (what is restored "
        f"through assemblies included), one again in "
        f"{restock.lead_days:.1f} days ({way_words(restock.way)}): waits {own} alone{lasting}",
        restock.record,
    )


def part_terms(exposed: Exposures, part: str) -> Iterator[Term]:
    """Likelihood, demand, outlook and scores of one part."""
    rate, life = exposed.likelihood.rate(part), exposed.likelihood.life(part)
    yield Term("rate", "nothing known" if rate is None else rate_words(rate), f"parts {part}")
    if life is not None:
        yield Term("life", life_words(life), f"parts {part}")
        for warning in life.warnings:
            yield Term("mind", warning, f"failures of {part}")
    for term in exposed.demand.terms(part):
        units = "not known" if term.units_per_year is None else f"{term.units_per_year:.3g} a year"
        yield Term(f"demand: {term.name}", units, term.record)
    yield Term("demand", f"{exposed.demand.per_year(part):.3g} a year in all", f"parts {part}")
    yield from pool_terms(exposed, part)
    outlooks = Outlooks(exposed)
    for fate in outlooks.outlook.fates(part):
        yield Term(f"obtainable: {fate.source}", f"stands {fate.words}", fate.record)
    outlook = outlooks.part(part)
    chances = ", ".join(
        f"{years} y {'not known' if chance is None else percent(chance)}"
        for years, chance in outlook.obtainable.items()
    )
    yield Term("still to be had in", chances, f"parts {part}")
    yield from _score_terms(exposed, part)


def _score_terms(exposed: Exposures, part: str) -> Iterator[Term]:
    risks = Risks(exposed)
    score = risks.scores.get(part)
    if score is None:
        return
    for driver in score.drivers:
        records = ", ".join(driver.records) or f"parts {part}"
        yield Term(f"supply score: {driver.driver.replace('_', ' ')}", driver.sentence, records)
    if score.score is not None:
        yield Term("supply score", f"{score.score:.0f} of 100, 100 is worst", f"parts {part}")
    yield from _line_terms(risks, part)


def _line_terms(risks: Risks, part: str) -> Iterator[Term]:
    """The part's line in the ranking, summed from its positions."""
    exposed, record = risks.exposures, f"parts {part}"
    positions = exposed.snapshot.positions
    for row in risks.rows[part]:
        place = f"{positions.crane[row]}/{positions.position[row]}"
        days = exposed.days[row]
        known = "not known, counts 0" if np.isnan(days) else f"{days:.3g} lost days a year"
        yield Term(f"exposure at {place}", known, f"positions {place}")
    line = risks.line(part)
    if line.failures_next_year is not None:
        yield Term("failures in all", f"{line.failures_next_year:.3g} in the coming year", record)
    if line.exposure_days is not None and line.exposure_cost is not None:
        yield Term(
            "exposure in all",
            f"{line.exposure_days:.3g} lost days a year, {line.exposure_cost:,.0f} a year",
            record,
        )
    if line.worst_lost_days is not None:
        value = f"{line.worst_lost_days:.1f} lost days on {line.worst_crane}"
        yield Term("worst if it failed today", value, f"cranes {line.worst_crane}")
    yield Term(
        "how firm", f"{percent(line.top10_share)} of the draws have it in the first ten", record
    )
