"""Findings on records that cannot count: failures against a rate of nothing, unreadable meters."""

from __future__ import annotations

from datetime import date, timedelta
from typing import Any

import pytest

from parts.calc.ranking.findings import findings_of
from parts.records.answers import Finding
from parts.records.catalogue import Part, PartClass
from parts.records.history import Failure, Observation
from parts.records.states import Severity
from parts.records.structure import Crane, Position
from parts.services.risks import exposures
from tests.calc.small_snapshot import TODAY, snapshot_with

LONG_AGO, LATELY = date(2020, 1, 1), TODAY - timedelta(days=30)


def found(rule: str, **files: list[Any]) -> list[Finding]:
    files.setdefault("cranes", [Crane(crane="C")])
    files.setdefault("positions", [Position(crane="C", position="P", part="A")])
    files.setdefault("parts", [Part(part="A")])
    answer = findings_of(exposures(snapshot_with(today=TODAY, **files)))
    return [each for each in answer if each.rule == rule]


def failed(on: date = LONG_AGO) -> Failure:
    return Failure(crane="C", position="P", part="A", failed_on=on, restored_on=on)


def test_a_rate_of_zero_without_failures_is_a_statement_like_others() -> None:
    assert found("stated_rate_of_zero", parts=[Part(part="A", failures_per_year=0.0)]) == []


@pytest.mark.parametrize("rate", [None, 0.1])
def test_failures_against_another_rate_are_no_finding(rate: float | None) -> None:
    parts = [Part(part="A", failures_per_year=rate)]

    assert found("stated_rate_of_zero", parts=parts, failures=[failed()]) == []


def test_a_part_that_is_said_never_to_fail_and_has_is_found() -> None:
    parts = [Part(part="A", failures_per_year=0.0)]
    (told,) = found("stated_rate_of_zero", parts=parts, failures=[failed(), failed(LATELY)])

    assert (told.part, told.position, told.severity) == ("A", None, Severity.WARNING)
    assert told.text.startswith("the part states 0 failures a year, but 2 failures are recorded")


def test_a_class_that_is_said_never_to_fail_is_named() -> None:
    classes = [PartClass(part_class="gear", failures_per_year=0.0)]
    parts = [Part(part="A", part_class="gear")]
    (told,) = found("stated_rate_of_zero", parts=parts, classes=classes, failures=[failed()])

    assert told.text.startswith("class gear states 0 failures a year, but a failure is recorded")


def test_a_position_that_is_said_never_to_fail_and_has_is_found_there() -> None:
    positions = [Position(crane="C", position="P", part="A", failures_per_year=0.0)]
    (told,) = found("stated_rate_of_zero", positions=positions, failures=[failed()])

    assert (told.crane, told.position, told.part) == ("C", "P", "A")


def read(value: str, on: date = LATELY, what: str = "hours_meter") -> Observation:
    return Observation(crane="C", position="P", date=on, what=what, value=value)


@pytest.mark.parametrize("value", ["1 250", "12O0", "nan", "inf", "h"])
def test_a_meter_whose_latest_reading_is_no_number_is_found(value: str) -> None:
    observations = [read("900", LONG_AGO), read(value)]
    (told,) = found("unreadable_meter", observations=observations)

    assert (told.crane, told.position, told.severity) == ("C", "P", Severity.NOTE)
    assert f"'{value}'" in told.text
    assert str(LATELY) in told.text


def test_a_meter_that_was_read_again_is_no_finding() -> None:
    observations = [read("h", LONG_AGO), read("1250.5"), read("blue", what="colour")]

    assert found("unreadable_meter", observations=observations) == []


def test_the_meter_of_a_retired_crane_is_no_finding() -> None:
    cranes = [Crane(crane="C", retire_on=LONG_AGO)]

    assert found("unreadable_meter", cranes=cranes, observations=[read("h")]) == []
