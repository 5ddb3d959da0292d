"""Answers on how likely and how much, as lines of text."""

from __future__ import annotations

from parts.cli.tables import CAUTION, days, money, table
from parts.records.risk_answers import (
    DutyAnswer,
    LikelyAnswer,
    PartOutlook,
    PartRisk,
    PositionRisk,
    firmness,
)
from parts.records.shares import percent

DUTY_CAUTION = (
    "Used shares are estimates: below the group's hours nothing is proven sound, above them a "
    "general overhaul or special assessment by a qualified person is due."
)


def figure(value: float | None, digits: int = 3) -> str:
    return "not known" if value is None else f"{value:.{digits}g}"


def risks(found: tuple[PartRisk, ...], by: str, currency: str | None) -> list[str]:
    """The ranking, what each line waits for, and how firm it is."""
    if not found:
        return ["No part sits in a position of a live crane: load a site book first."]
    header = ("part", "a year", "lost days", f"cost {currency or ''}".strip(), "supply",
              "age", "sources", "lead", "waits for", "worst crane", "rank",
              "ahead of the next")  # fmt: skip
    lines = [f"Ranked by {by}; failures, lost days and cost are those of a year."]
    lines += table(header, map(_risk_row, found), "lrrrrrrrlllr")
    for each in found:
        if each.unknown_positions:
            places = ", ".join(each.unknown_positions[:3])
            lines.append(f"{each.part}: not known at {places}, counted as 0 there")
    return [*lines, "", CAUTION]


def _risk_row(each: PartRisk) -> tuple[str, ...]:
    drivers = {driver.driver: driver.value for driver in each.drivers}
    return (
        each.part,
        figure(each.failures_next_year),
        days(each.exposure_days),
        money(each.exposure_cost),
        figure(each.supply_score),
        *(figure(drivers.get(name)) for name in ("age", "sources", "lead_time")),
        each.waits_for or "",
        f"{each.worst_crane} {days(each.worst_lost_days)} d",
        firmness(each.top10_share),
        ahead(each),
    )


def ahead(each: PartRisk) -> str:
    """In how many draws a part stays ahead of the next of the ranking."""
    return "" if each.ahead_share is None else percent(each.ahead_share)


def likely(answer: LikelyAnswer, first: int | None) -> list[str]:
    """Positions that fail most, parts, working periods."""
    known = sorted(
        answer.positions,
        key=lambda each: (each.failures_next_year is not None, -(each.failures_next_year or 0.0)),
    )
    lines = ["Failures to expect in the coming year:"]
    lines += table(
        ("crane", "position", "part", "failures", "basis"),
        map(_position_row, known[:first]),
        "lllrl",
    )
    parts = sorted(answer.parts, key=lambda each: -each.demand_per_year)
    header = ("part", "rate", "90 % within", "demand", "class", "1 y", "3 y", "5 y", "10 y",
              "jump", "life")  # fmt: skip
    lines += ["", "Parts, those asked for most first:"]
    lines += table(header, map(_part_row, parts[:first]), "lrlrlrrrrll")
    lines += ["", "Working periods:", *duty(answer.duty)]
    if first is not None and len(answer.parts) > first:
        lines.append(f"... the first {first} of each list (--all shows every line)")
    return [*lines, "", CAUTION]


def _position_row(each: PositionRisk) -> tuple[str, ...]:
    return (
        each.crane,
        each.position,
        each.part or "not recorded",
        figure(each.failures_next_year),
        each.basis or "nothing known",
    )


def _part_row(each: PartOutlook) -> tuple[str, ...]:
    limits = "" if each.rate_low is None else f"{figure(each.rate_low)} - {figure(each.rate_high)}"
    chances = ("?" if chance is None else percent(chance) for chance in each.obtainable.values())
    return (
        each.part,
        figure(each.rate_mean),
        limits,
        figure(each.demand_per_year),
        each.demand_class or "",
        *chances,
        str(each.jump_year or ""),
        life(each),
    )


def life(part: PartOutlook) -> str:
    """A life in one breath: shape, scale with limits, and where it comes from."""
    if part.life is None:
        return ""
    scale = figure(part.life.scale)
    if part.life.scale_low is not None:
        scale += f" ({figure(part.life.scale_low)} - {figure(part.life.scale_high)})"
    return f"{part.life.source}: shape {part.life.shape:.2g}, scale {scale} {part.life.basis}"


def duty(found: tuple[DutyAnswer, ...]) -> list[str]:
    header = ("crane", "mechanism", "group", "k_m", "used h", "of h", "share", "runs out", "rule")
    lines = table(header, map(_duty_row, found), "lllrrrrll")
    return [*lines, DUTY_CAUTION]


def _duty_row(each: DutyAnswer) -> tuple[str, ...]:
    return (
        each.crane,
        each.mechanism,
        each.group or "",
        figure(each.km),
        figure(each.used_hours, 4),
        figure(each.group_hours, 5),
        "not known" if each.used_share is None else percent(each.used_share),
        "not known" if each.runs_out_on is None else each.runs_out_on.isoformat(),
        f"factor {each.method_factor:g}: {each.readings[0]}",
    )
