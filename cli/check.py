"""`areacalc check`: what volts and amperes read at the supply say about the area that is really wet."""

from typing import Annotated

from typer import Option

from areacalc.errors import BadInput
from areacalc.figure import given
from areacalc.plant.stock import sold
from areacalc.plant.supply import refuse_more
from areacalc.quantity import Dimension, parse

from . import show as out
from .options import Json, LoadFile, Show, ShowOption

Volts = Annotated[str, Option("--volts", metavar="V", help="Volts at the power supply, such as '17 V'.")]
Amps = Annotated[str, Option("--amps", metavar="A", help="Current read, such as '2.4 A'.")]
BathNow = Annotated[str | None, Option("--temperature", help="Bath temperature now (default: as planned).")]
After = Annotated[str, Option("--held", metavar="TIME", help="How long the full current has been on, after the ramp.")]


def check(
    load_file: LoadFile, volts: Volts, amps: Amps, temperature: BathNow = None, after: After = "0 min",
    show: ShowOption = Show.MM, json: Json = False,
) -> None:  # fmt: skip
    """Check readings against the plan: a contact lost, a plug out, air in a bore?

    Example: areacalc check desk-set.toml --volts "17 V" --amps "2.4 A"
    """
    from areacalc.bath.cautions import Hazard
    from areacalc.bath.electrolyte import BATH_TEMPERATURE
    from areacalc.plan.load_book import LoadBook
    from areacalc.report.figures import value_text, whole_text
    from areacalc.report.plan_document import check_document, verdict
    from areacalc.report.words.cautions import short_cautions
    from areacalc.report.words.tell import tell
    from areacalc.run.judged import checked

    read_v, read_a = parse(volts, Dimension.VOLTAGE, "--volts"), parse(amps, Dimension.CURRENT, "--amps")
    after_s = parse(after, Dimension.TIME, "--held")
    if after_s < 0.0:
        raise BadInput("--held", f"'{after}' must be 0 or more", "give how long the full current has been on")
    inch = show is Show.IN
    made = LoadBook(load_file, stock=sold(inch)).plan()
    if (supply := made.load.supply) is not None:
        refuse_more(read_v, supply.limit_v, "V", "--volts")
        refuse_more(read_a, supply.limit_a, "A", "--amps")
    bath_c = None
    if temperature is not None:
        bath_c = BATH_TEMPERATURE.check("--temperature", parse(temperature, Dimension.TEMPERATURE, "--temperature"))
    try:
        found = checked(made, read_v, read_a, bath_c, after_s)
    except BadInput as bad:
        option = {"volts": "--volts", "amperes": "--amps"}.get(bad.where, bad.where)
        raise type(bad)(option, bad.what, bad.remedy) from None
    if json:
        out.json_out(check_document(found))
        return
    planned = f"Planned {found.planned.name}: {whole_text(found.planned, inch)}"
    out.say(f"{planned}. The readings mean {whole_text(found.implied, inch)}.")
    out.say(verdict(found, inch))
    told = [cause for alarm in found.alarms for cause in alarm.told]
    if told:
        out.say("Area that takes current if the cause is:")
    for cause in told:
        words = tell(cause.fact, inch)
        out.say(f"  - {words}: {value_text(given(words, cause.area_mm2, 'mm2'), inch)}")
    out.say(f"Caution: {short_cautions(Hazard.LIVE_PARTS)}")
