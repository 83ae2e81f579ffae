"""Rows as JSON: the same text as the standard encoder gives, whatever a column holds."""

import json
from dataclasses import dataclass
from datetime import date, datetime
from typing import Any

from hypothesis import given
from hypothesis import strategies as some

from graftbook.actions.desk.results import Report
from graftbook.output import plain_rows


@dataclass(frozen=True)
class Row:
    a: Any
    b: Any


CELLS = some.one_of(
    some.none(), some.booleans(), some.integers(), some.floats(allow_nan=False, allow_infinity=False), some.text(),
    some.dates(), some.just(datetime(2027, 3, 4, 5, 6)), some.tuples(some.text(), some.integers()),
)  # fmt: skip


@given(some.lists(some.tuples(CELLS, CELLS), max_size=8))
def test_rows_read_back_as_what_they_were_in_any_mixture_of_kinds(pairs):
    report = Report(Row, tuple(Row(a, b) for a, b in pairs))
    text = plain_rows.json_text(report)
    assert [{"a": plain_rows.plain(a), "b": plain_rows.plain(b)} for a, b in pairs] == json.loads(text)["rows"]


def test_one_and_true_and_one_point_nought_are_told_apart():
    values = (1, True, 1.0, "1", None, date(2027, 3, 4))
    report = Report(Row, tuple(Row(value, value) for value in values))
    assert ['{"a": 1, "b": 1}', '{"a": true, "b": true}', '{"a": 1.0, "b": 1.0}', '{"a": "1", "b": "1"}',
            '{"a": null, "b": null}', '{"a": "2027-03-04", "b": "2027-03-04"}'] == [
        line.strip().rstrip(",") for line in plain_rows.json_text(report).splitlines()[2:8]
    ]  # fmt: skip


def test_a_report_without_rows_is_an_empty_list():
    assert [] == json.loads(plain_rows.json_text(Report(Row, ())))["rows"]
