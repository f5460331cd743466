"""Write the JSON Schemas of all documents from their types: python tests/report/make_schemas.py"""

import json
from pathlib import Path

import msgspec

from areacalc.report.documents import AreaDocument, CathodeDocument, CurrentDocument
from areacalc.report.figure_document import ExplainDocument, FiguresDocument
from areacalc.report.hang_document import HangDocument
from areacalc.report.logbook_document import LogbookDocument
from areacalc.report.mix_document import MixDocument
from areacalc.report.plan_document import CheckDocument, PlanDocument
from areacalc.report.run_document import RunDocument
from areacalc.report.sweep_document import SweepDocument, WhatIfDocument
from areacalc.report.tank_document import TankDocument

DOCUMENTS = {
    "area": AreaDocument, "cathode": CathodeDocument, "current": CurrentDocument, "explain": ExplainDocument,
    "figures": FiguresDocument, "hang": HangDocument, "logbook": LogbookDocument, "check": CheckDocument,
    "mix": MixDocument, "plan": PlanDocument, "run": RunDocument, "sweep": SweepDocument, "tank": TankDocument,
    "what-if": WhatIfDocument,
}  # fmt: skip
FOLDER = Path(__file__).parents[2] / "areacalc" / "report" / "schemas"


def schema_text(document: type) -> str:
    """The JSON Schema of a document's type; no key is taken that the type does not name."""
    schema = msgspec.json.schema(document)
    for each in schema["$defs"].values():
        if "properties" in each:
            each["additionalProperties"] = False
    whole = {"$schema": "https://json-schema.org/draft/2020-12/schema", **schema}
    return json.dumps(whole, indent=1) + "\n"


if __name__ == "__main__":
    for name, document in DOCUMENTS.items():
        (FOLDER / f"{name}.json").write_text(schema_text(document))
