"""What is done in each step of a run, and how a person sees that it went well."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import Enum

from areacalc.plan.area import PartArea
from areacalc.plan.steps import RunStep, RunStepKind
from areacalc.report.figures import number
from areacalc.report.words.covered import covered_names
from areacalc.report.words.hung import hangs
from areacalc.report.words.telling import Telling, Words


@dataclass(frozen=True, slots=True)
class StepWords:
    """A step in words: its name, what to do, its minutes, what to look for."""

    name: str
    does: str
    minutes: str
    look_for: str


def step_words(step: RunStep, inch: bool = False, parts: Sequence[PartArea] = (), above: bool = False) -> StepWords:
    """A step in words, in metric or US units; on the rack, what is to be done to each of the parts.

    above: how they hang is drawn above the steps.
    """
    telling = Telling(step.fact, inch)
    name, does, look_for = STEPS[step.kind]
    told = telling.tell(does)
    if step.kind is RunStepKind.RACK:
        told = " ".join((told, *filter(None, (_fitted(part, len(parts) > 1, above) for part in parts))))
    return StepWords(name, told, _minutes(step), telling.tell(look_for))


def _fitted(part: PartArea, several: bool, above: bool) -> str:
    """What is plugged or masked on a part, and how it hangs."""
    way = hangs(part)
    hung = "" if not way else "hang as above" if above else f"hang {way}"
    done = "; ".join(filter(None, (covered_names(part), hung)))
    return f"{f'{part.line.name}: {done}' if several else f'{done[0].upper()}{done[1:]}'}." if done else ""


def _minutes(step: RunStep) -> str:
    e = step.minutes
    if e is None:
        return ""
    value, low, high = (number(minutes, "min") for minutes in (e.value, e.low, e.high))
    return value + (f" ({low} to {high})" if low != high else "")


def _rack(t: Telling) -> str:
    said = (
        "Take out inserts of steel or brass, or plug them: the acid eats steel, brass and copper. Use rack and wire of "
        "aluminium or grade 2 titanium only. Wear clean gloves, and wire each part so firmly that it cannot turn."
    )
    first = "First degrease and dry the bores (brush them) and faces to plug or mask: a plug shuts dirt in. "
    return (first if "shut" in t else "") + said


def _filled(t: Telling) -> str:
    return t("Under the surface, before the current, fill {fill} from a syringe of this bath. ") if "fill" in t else ""


def _anodise(t: Telling) -> str:
    if "reached" in t:
        return _filled(t) + t("Raise evenly toward {current} over {ramp}; switch off after {time}, at about {reached}.")
    start = t("Raise evenly over {ramp} to {current:bounds}") if "ramp" in t else t("Set {current:bounds}")
    return _filled(t) + start + t(", then hold; {time} in all.")


def _at_volts(t: Telling) -> str:
    start = t("Raise evenly over {ramp} to {voltage}") if "ramp" in t else t("Set {voltage}")
    return _filled(t) + start + t(" and hold; {most} flow at most; {time} in all.")


def _volts(t: Telling) -> str:
    start, end = t("{start}"), t("{end}")
    volts = (
        t("about {end} once the current is up")
        if start == end
        else t("volts from about {start:number} to {end:number}")
    )
    return f"{volts}; a wandering current means a loose contact"


def _dye(t: Telling) -> str:
    what = t("{dye}") if "dye" in t else "Dye"
    holds = (
        t("This coating is thick enough for a {shade} shade")
        if "shade" in t
        else "This coating is too thin to dye well"
    )
    if "deeper" in t:
        holds += t("; {deeper} needs {wants}")
    return what + t(", {temperature} (small shops {shops:range}, pH {ph:range}), {strength:range}: the dye's own sheet "
                    "comes first, since areacalc knows no dye by name. Straight from the rinse, never dried. ") + holds + t(
        ". Plugs and masks stay in; look that the heat pushes none out" if "shut" in t else "") + "."  # fmt: skip


def _seal(t: Telling) -> str:
    ph = t(", pH {ph}") if "ph" in t else ""
    out = "First take plugs and masks out, and rinse there: shut-in air swells in the heat (common practice). Then "
    return (out if "shut" in t else "") + t("{seal}, {temperature}") + ph + t(". {note}")


def _clean(t: Telling) -> str:
    bores = f", brushed into {'open ' if 'shut' in t else ''}bores" if "open" in t else ""
    gloss = " No etch for gloss, so no smut to take off." if "gloss" in t else ""
    gloss += (
        " Gloss is assumed: {key:finish.surface} is not given." if t("{gloss}" if gloss else "") == "assumed" else ""
    )
    return t(f"Mild cleaner, warm{bores}.{gloss}")


def _rinse_acid(t: Telling) -> str:
    bores = f"; run it through every {'open ' if 'shut' in t else ''}bore" if "open" in t else ""
    return t("At once: about {water:about} of clean water over the parts") + bores + "."


def _acid_gone(t: Telling) -> str:
    if "open" in t:
        return "pH paper shows the same in water from the bores as in clean water; acid left in a bore bleeds out later"
    edges = " along plugs and masks; what is left there bleeds out later" if "shut" in t else " on the parts"
    return f"no acid left{edges}"


STEPS: dict[Enum, tuple[str, Words, Words]] = {
    RunStepKind.RACK: (
        "rack",
        _rack,
        "a light tug moves no part; no grease and no scratches, which the coating does not hide",
    ),
    RunStepKind.CLEAN: ("clean", _clean, "water runs off unbroken"),
    RunStepKind.RINSE_CLEANER: ("rinse", "Clean water.", "no foam left"),
    RunStepKind.ETCH: (
        "etch",
        "Caustic soda, {caustic}, {temperature}; takes {lost:bounds} off every wet face. Stronger and hotter, "
        "{guide_caustic:range} at {guide_temperature:range} for {guide_time} ({guide}), takes {guide_lost:bounds}.",
        "an even dull surface",
    ),
    RunStepKind.RINSE_CAUSTIC: ("rinse", "Clean water.", "no slippery feel"),
    RunStepKind.DESMUT: (
        "desmut",
        "Nitric acid of {nitric:range}, or a deoxidiser by its maker's sheet, until the grey is gone.",
        "a glove stays clean",
    ),
    RunStepKind.RINSE_DESMUT: ("rinse", "Clean water, twice.", "water runs off unbroken"),
    RunStepKind.ANODISE: ("anodise", _anodise, _volts),
    RunStepKind.ANODISE_AT_VOLTS: ("anodise", _at_volts, _volts),
    RunStepKind.RINSE_ACID: (
        "rinse",
        _rinse_acid,
        _acid_gone,
    ),
    RunStepKind.DYE: ("dye", _dye, "the shade wanted, or a little deeper"),
    RunStepKind.RINSE_DYE: ("rinse", "Cold clean water, until no colour runs.", "clear water"),
    RunStepKind.SEAL: ("seal", _seal, "a drop of dye wipes off without a mark"),
    RunStepKind.INSPECT: (
        "inspect",
        lambda t: (
            "Unrack, " + ("plugs and masks out, " if "shut" in t else "") + "dry, inspect in good light. Strip "
            "aluminium contacts. Write the logbook."
        ),
        "even colour, no powder that wipes off",
    ),
}
