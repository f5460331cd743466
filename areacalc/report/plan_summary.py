"""A plan on one screen: what to set, how long, what to expect, what is wrong, what to do next."""

from collections.abc import Iterable

from areacalc.logbook.came import FilmFrom, is_as_asked
from areacalc.plan.fault import Fault, FaultKind, Weight
from areacalc.plan.plan import Plan
from areacalc.report.figures import bounds_text, shown, value_text, whole_text
from areacalc.report.lines import wrapped
from areacalc.report.words.bores import bore_name
from areacalc.report.words.course import coating_reason
from areacalc.report.words.covered import covered_names
from areacalc.report.words.equipment import ways_out_words
from areacalc.report.words.faults import WEIGHTS
from areacalc.report.words.hung import way_words
from areacalc.report.words.rack import rack_sentence
from areacalc.report.words.steps import step_words
from areacalc.report.words.tell import tell
from areacalc.report.words.telling import counted, joined

SCREEN = 24
STOPPED = "DO NOT RUN THIS AS IT STANDS: see the faults below."
_CARE = "Acid, hydrogen, mist, current can hurt: cautions and all figures with --full."


def plan_summary(plan: Plan, inch: bool = False, then: str = "") -> list[str]:
    """The lines of one screen; `then` is the command that makes the sheet. Faults that spoil nothing give way first."""
    doubted = tuple(fault for fault in plan.faults if fault.kind is FaultKind.UNIT_DOUBTED)
    if doubted:  # of sizes that cannot be, no other figure
        return [f"{plan.load.name}: {counted(plan.load.count, 'part')}", STOPPED, *fault_lines(doubted, inch, SCREEN)]
    rows = _rows(plan, inch) if plan.can_run else ()
    top = [
        f"{plan.load.name}: {counted(plan.load.count, 'part')}, wetted area {whole_text(plan.figures['area'], inch)}",
        *([STOPPED] if not plan.can_run else []),
        *(line for name, text in rows if text for line in wrapped(text, f"{name:9}", " " * 9)),
    ]
    ways = [line for each in ways_out_words(plan.plant.ways_out, inch) for line in wrapped(each, "  - ")]
    bottom = [*(["Ways out:", *ways] if ways else []), *wrapped(_CARE)]
    if then:
        bottom.append(f"Next: {then}")  # to be copied: no line breaks inside a path
    return [*top, *fault_lines(plan.faults, inch, SCREEN - 1 - len(top) - len(bottom)), *bottom]


def _rows(plan: Plan, inch: bool) -> Iterable[tuple[str, str]]:
    figures = plan.figures
    yield "Repeats", repeated_words(plan, inch)
    may = bounds_text(figures["time"])
    needs = f" (it may need {may})" if may else ""
    yield "Set", f"{_setting(plan)}; off after {value_text(figures['time'])}{needs}"
    start, end = figures["voltage-supply-start"], figures["voltage-supply"]
    volts = f"{value_text(start)} at the start, {whole_text(end)} at the end"
    sets = value_text(figures["effective-area"], inch) if "effective-area" in figures else ""
    less = sets and sets != value_text(figures["area"], inch)
    on = f" on the {sets} that sets the current, as bores take less" if less else ""
    yield "Expect", f"{volts}; {value_text(figures['density'], inch)}{on}"
    yield "Coating", "; ".join(filter(None, (whole_text(figures["coating"], inch), coating_reason(plan, inch))))
    yield "Bores", "; ".join(f"{bore_name(b)} {whole_text(b.film, inch)} at the thinnest" for b in plan.bores)
    now = shown(plan.load.bath.temperature_c, "C", inch)
    yield "Bath", f"{now} now, warms by {whole_text(figures['warming'], inch)}"
    cathode = f"hang at least {value_text(figures['cathode-face'], inch)} facing the parts, half on each side"
    yield "Cathode", cathode if plan.load.cathodes is None else ""
    rack = plan.plant.room.layout
    yield "Rack", rack_sentence(rack, inch) if rack is not None else ""
    chosen: dict[str, list[str]] = {}
    for part in plan.parts:
        if part.free is not None:
            chosen.setdefault(way_words(part), []).append(part.line.name)
    told = "; ".join(f"{joined(names)}: {way}" for way, names in chosen.items())
    yield "Hang", f"{told}. Give `up` for another way" if told else ""
    yield "Cover", "; ".join(f"{p.line.name}: {names}" for p in plan.parts if (names := covered_names(p)))
    said = [step_words(step, inch) for step in plan.steps]
    yield "Steps", ", ".join(f"{s.name} {s.minutes.split()[0]} min" if s.minutes else s.name for s in said)


def repeated_words(plan: Plan, inch: bool) -> str:
    """The run that is repeated, and the coating that is aimed for; nothing where none is."""
    run, came = plan.repeat, plan.came
    if run is None:
        return ""
    film = {FilmFrom.MEASURED: "measured", FilmFrom.CHARGE: "by the charge that passed", FilmFrom.PLAN: "as planned"}
    kind = film[came.film_from if came is not None else FilmFrom.PLAN]
    kind = "as asked" if is_as_asked(run, came) else kind
    kind = "as this load asks" if plan.load.finish.asks_coating else kind
    wanted = value_text(plan.figures["coating-wanted"], inch)
    why = f" (of several runs the one {', '.join(came.why)})" if came is not None and came.why else ""
    said = f"run {run.number} of {run.when[:16].replace('T', ' ')}{why}: {wanted} {kind}"
    then = sum(part.count for part in run.parts)
    if then in (0, plan.load.count):
        return said
    now_a, then_a = value_text(plan.figures["current"]), shown(run.current_a, "A")
    return f"{said}; {counted(plan.load.count, 'part')} now, {then} then; {now_a} now, {then_a} then"


def _setting(plan: Plan) -> str:
    """What to set on the power supply, and how it is brought up."""
    supply = plan.load.supply
    what = value_text(plan.figures["current"])
    if supply is not None and supply.holds_volts:
        what = shown(plan.run.most_v, "V")
    return what + (f", raised over {shown(supply.ramp_s, 's')}" if supply is not None and supply.ramp_s else "")


def fault_lines(faults: tuple[Fault, ...], inch: bool, room: int) -> list[str]:
    """The faults, worst first, as many as the screen holds; what stops, spoils or is not counted is always told."""
    if not faults:
        return ["No faults were found."]
    lines: list[str] = []
    told = 0
    for number, fault in enumerate(faults, 1):
        more = wrapped(tell(fault.fact, inch), f"  {number}. {WEIGHTS[fault.weight]}: ", "     ")
        may_wait = fault.weight is Weight.WATCH and fault.kind is not FaultKind.BARE_WIRES
        if may_wait and len(lines) + len(more) + 1 > room - 1:
            break
        lines += more
        told += 1
    left = len(faults) - told
    if not told:
        return [f"Faults: {left} to watch: --full"]
    rest = [f"  and {left} more to watch: --full"] if left else []
    return ["Faults, worst first:", *lines, *rest]
