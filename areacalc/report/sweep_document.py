"""The JSON documents of a changed load and of a sweep."""

from __future__ import annotations

from collections.abc import Sequence

from areacalc.load.changes import Sweep
from areacalc.plan.load_book import Row
from areacalc.plan.plan import Plan
from areacalc.report.documents import Document, interval, schema_id
from areacalc.report.plan_document import plan_document

SHOWN = ("current", "density", "time", "voltage-end", "film", "warming")
"""The figures that a sweep's table shows unless others are asked for."""


def what_if_document(changes: Sequence[str], before: Plan, after: Plan) -> Document:
    """A load as it is and as it would be; report/schemas/what-if.json describes it."""
    return {"schema": schema_id("what-if"), "changes": list(changes), "before": plan_document(before),
            "after": plan_document(after)}  # fmt: skip


def sweep_document(asked: Sweep, rows: Sequence[Row], names: Sequence[str]) -> Document:
    """A sweep's rows; report/schemas/sweep.json describes it."""
    return {
        "schema": schema_id("sweep"),
        "setting": asked.setting.words,
        "rows": [
            {
                "value": row.value,
                "text": row.text,
                "refused": row.refused or None,
                "can_run": row.plan is not None and row.plan.can_run,
                "figures": {n: {**interval(row.plan.figures[n].estimate), "unit": row.plan.figures[n].unit}
                            for n in names if row.plan and n in row.plan.figures},
            }
            for row in rows
        ],
    }  # fmt: skip
