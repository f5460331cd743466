"""The JSON documents of a changed load and of a sweep."""

from collections.abc import Sequence
from typing import Literal, TypedDict

from areacalc.load.changes import Sweep
from areacalc.plan.load_book import SweptPlan
from areacalc.plan.plan import Plan
from areacalc.report.documents import Interval, interval
from areacalc.report.plan_document import PlanDocument, plan_document

SHOWN = ("current", "density", "time", "voltage-end", "coating", "warming")
"""The figures that a sweep's table shows unless others are asked for."""


class SweptFigure(Interval):
    """A figure at one value of a sweep."""

    unit: str


class SweepRow(TypedDict):
    """One value of a sweep; refused says why there is no plan."""

    value: float
    text: str
    refused: str | None
    can_run: bool
    figures: dict[str, SweptFigure]


class SweepDocument(TypedDict):
    """A setting at several values."""

    schema: Literal["areacalc/sweep/1"]
    setting: str
    rows: list[SweepRow]


class WhatIfDocument(TypedDict):
    """A load as it is and as it would be."""

    schema: Literal["areacalc/what-if/1"]
    changes: list[str]
    before: PlanDocument
    after: PlanDocument


def what_if_document(changes: Sequence[str], before: Plan, after: Plan) -> WhatIfDocument:
    """A load as it is and as it would be."""
    return {"schema": "areacalc/what-if/1", "changes": list(changes), "before": plan_document(before),
            "after": plan_document(after)}  # fmt: skip


def sweep_document(asked: Sweep, rows: Sequence[SweptPlan], names: Sequence[str]) -> SweepDocument:
    """A sweep's rows."""
    return {
        "schema": "areacalc/sweep/1",
        "setting": asked.setting.words,
        "rows": [
            {"value": row.value, "text": row.text, "refused": row.refused or None,
             "can_run": row.plan is not None and row.plan.can_run,
             "figures": {n: {**interval(row.plan.figures[n].estimate), "unit": row.plan.figures[n].unit}
                         for n in names if row.plan and n in row.plan.figures}}
            for row in rows
        ],
    }  # fmt: skip
