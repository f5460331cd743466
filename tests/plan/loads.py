"""Loads that tests of plans share: the desk set with keys changed, and one part of a given area in a bath."""

import json
from functools import cache
from pathlib import Path

from areacalc.load.read_load import load_of
from areacalc.part.part import Shelf
from areacalc.plan.plan import plan_of

SAMPLES = Path(__file__).parents[2] / "sample_models"
SHELF = Shelf()  # the sample parts, measured once for all tests


@cache
def desk_set(**keys):
    """The desk set's plan with keys changed, such as supply_voltage="13 V", or taken out by ""."""
    text = (SAMPLES / "desk-set.toml").read_text("utf-8")
    for name, value in keys.items():
        table, _, key = name.partition("_")
        head, line = f"[{table}]\n", "" if value == "" else f"{key} = {json.dumps(value)}\n"
        body = text.split(head)[1].split("\n[")[0]
        kept = "".join(row for row in body.splitlines(keepends=True) if not row.startswith(f"{key} = "))
        text = text.replace(body, kept).replace(head, head + line)
    return plan_of(load_of(text, "desk-set.toml", str(SAMPLES)), shelf=SHELF)


BARE = """\
[[part]]
area = "{area}"
[bath]
acid = "180 g/L"
aluminium = "5 g/L"
temperature = "{bath} C"
agitation = "{agitation}"
cooling = "{cooling}"
[tank]
volume = "{litres} L"
[supply]
current = "{amps} A"
voltage = "60 V"
ramp = "5 min"
[finish]
density = "{density}"
thickness = "{film} um"
"""


@cache
def bare(
    area="130 cm2", bath=20, agitation="air", cooling="0 W", litres=10, amps=10, density="small-tank", film=12
):  # fmt: skip
    return plan_of(load_of(BARE.format(**locals()), "bare.toml"))
