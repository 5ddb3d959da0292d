"""The answers on how likely and how much as sentences: what a year takes, how firm a rank is.

Knows those answers and how a maintenance lead would say them; refuses to know widgets.
"""

from __future__ import annotations

from parts.records.risk_answers import FIRM_SHARE, CraneRisk, DriverAnswer, PartRisk
from tui import formats

"""A place that this share of the draws agree on is firm."""
DRIVER_WORDS = {"age": "age", "sources": "sources", "lead_time": "lead time"}


def figure(value: float | None) -> str:
    """Return a figure to two digits, never 0 for what is above 0; whole from 100 upwards."""
    if value is None:
        return formats.NOT_KNOWN
    return f"{value:,.0f}" if value >= 100 else f"{value:.2g}"


def score(value: float | None) -> str:
    """Return a score of 100."""
    return formats.NOT_KNOWN if value is None else f"{value:.0f}"


def rank_word(risk: PartRisk, by: str) -> str:
    """Return how firm it is that a part is among the first ten, or is not."""
    if (risk.exposure_days if by == "exposure" else risk.supply_score) is None:
        return formats.NOT_KNOWN
    if risk.top10_share >= FIRM_SHARE:
        return "firm"
    return "firmly below" if risk.top10_share <= 1 - FIRM_SHARE else "not firm"


def rank_sentence(risk: PartRisk, by: str) -> str:
    """Return how often a part is among the first ten when what is uncertain is drawn anew."""
    word = rank_word(risk, by)
    if word == formats.NOT_KNOWN:
        return "It stands at the head because its place is not known."
    share = formats.share(risk.top10_share)
    head = {
        "firm": "Its place is firm",
        "not firm": "Its place is not firm",
        "firmly below": "Firmly below the first ten",
    }[word]
    draws = f"{head}: in {share} of draws it is among the ten"
    return f"{draws}{ahead_words(risk)}."


def ahead_words(risk: PartRisk) -> str:
    """Return how firm the order of a part and the next one is; nothing for the last."""
    if risk.ahead_share is None:
        return ""
    is_firm = "firmly " if risk.ahead_share >= FIRM_SHARE else "but not firmly "
    return f", {is_firm}ahead of {risk.next_part} ({formats.share(risk.ahead_share)})"


def year_sentence(risk: PartRisk, currency: str | None) -> str:
    """Return what a year may take through one part."""
    places = formats.count(risk.positions, "position")
    if risk.exposure_days is None:
        return f"Nobody knows what {risk.part} takes in a year: it is in {places}."
    waits = f", waiting for {risk.waits_for}" if risk.waits_for not in (None, risk.part) else ""
    many = figure(risk.failures_next_year)
    failures = "unknown numbers of" if many == formats.NOT_KNOWN else many
    return (
        f"In a year {failures} failures in {places} take "
        f"{formats.days_in_words(risk.exposure_days)} of work and "
        f"{formats.money(risk.exposure_cost, currency)}{waits}."
    )


def worst_sentence(risk: PartRisk) -> str:
    """Return what one failure on the crane that it hurts most costs."""
    if risk.worst_crane is None:
        return ""
    if risk.worst_lost_days is None:
        return f"If it fails today on {risk.worst_crane}, nobody knows when that is restored."
    days = formats.days_in_words(risk.worst_lost_days)
    return f"If it fails today on {risk.worst_crane}, {days} of work are lost."


def unknown_sentence(risk: PartRisk) -> str:
    """Return where nothing is known; such a place adds nothing to the sum, which must be said."""
    if not risk.unknown_positions:
        return ""
    first = list(risk.unknown_positions[:3])
    more = len(risk.unknown_positions) - len(first)
    if more:
        first.append(formats.count(more, "other place"))
    left_out = "" if risk.exposure_days is None else ", so it is left out of the sum"
    return (
        f"Not known at {formats.listed(first)}: how often it fails or how long it takes{left_out}."
    )


def driver_word(driver: DriverAnswer) -> str:
    return DRIVER_WORDS.get(driver.driver, driver.driver)


def crane_year(risk: CraneRisk) -> str:
    """Return what a year may take of a crane's work, and how much of the time it is down."""
    if risk.lost_days_per_year is None:
        lost = f"Nobody knows what {risk.crane} loses in a year"
    else:
        lost = f"In a year {risk.crane} may lose {formats.days_in_words(risk.lost_days_per_year)}"
    if risk.unavailability is None:
        return f"{lost}; how much of the time it is down is not known."
    return f"{lost}; it is down {formats.share(risk.unavailability)} of the time."
