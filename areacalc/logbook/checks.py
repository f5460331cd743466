"""What no run can have had is refused before it is kept."""

import math

import msgspec

from areacalc.bath.electrolyte import acid_wt_pct, freezing_c
from areacalc.digits import three
from areacalc.errors import BadInput, OutOfRange
from areacalc.logbook.came import LEAST_UM, OUTSIDE, Came
from areacalc.logbook.records import Begun, Event, LogRecord, Outcome, Reading, Run, seconds_of
from areacalc.plant.supply import refuse_more

WARMEST_C = 60.0
"""The warmest bath that is taken for one of a run [C]: chosen, far above any; a higher figure is a slip of the hand."""
_MOST = 1e15
_FAR_PAST, _AFTERWARDS_S = 3.0, 4 * 3600.0
"""A reading later than so many times the run as planned, and the rinse, dye and seal after it, is a slip: chosen."""
UM_PER_MIL = 25.4
_REMEDY = "read it again, or leave it out"
_ABOVE_ZERO = (
    "area_mm2", "current_a", "density_a_per_dm2", "run_s", "film_um", "acid_g_per_l", "dye_s", "seal_s", "etch_s",
    "start_v", "end_v", "supply_v", "supply_a", "planned_ah", "volts_v", "volume_l", "bath_l", "asked_um", "certainty",
)  # fmt: skip
_UNITS = {"mm2": "mm2", "a": "A", "v": "V", "s": "s", "um": "um", "l": "L", "c": "C", "ah": "Ah"}


def check(record: LogRecord, of: Run | None = None) -> None:
    """Refuse what cannot have been; of: the run of a reading. Raises BadInput; `where` is the name of the field."""
    _check_numbers(record)
    if isinstance(record, Reading | Begun) and record.at_s < 0.0:
        raise BadInput("at_s", f"{record.at_s:g} s is before the start of the run", "count from the start")
    if isinstance(record, Run):
        _check_run(record)
    elif isinstance(record, Reading) and of is not None:
        _check_reading(record, of)
    elif isinstance(record, Outcome) and record == Outcome(number=record.number, run=record.run):
        raise BadInput("result", "is empty", "give the coating, a colour, a fault, a photo or a remark")
    elif isinstance(record, Event):
        _check_date(record.when, "when")
        if record.what == "analysis" and record.acid_g_per_l is None and record.aluminium_g_per_l is None:
            raise BadInput("analysis", "is empty", "give the acid or the aluminium")


def _check_run(run: Run) -> None:
    _check_date(run.when, "when")
    if run.struck:
        _check_date(run.struck, "struck")
    if run.ended is not None:
        _check_date(run.ended, "ended")
        if seconds_of(run.ended) < seconds_of(run.when):
            raise BadInput("ended", f"{run.ended} is before the start, {run.when}", "give both times again")
    times = [at_s for at_s, _ in run.course]
    if times != sorted(set(times)) or not all(0.0 <= each < _MOST for pair in run.course for each in pair):
        raise BadInput("course", "its times do not rise, or its currents cannot be", _REMEDY)
    for name in ("start_v", "end_v"):
        refuse_more(getattr(run, name), run.supply_v, "V", name, _REMEDY)
    for name in ("temperature_c", "end_temperature_c"):
        _check_bath(getattr(run, name), run.acid_g_per_l, name)


def _check_reading(reading: Reading, run: Run) -> None:
    if run.ended is not None and reading.at_s > seconds_of(run.ended) - seconds_of(run.when) + 60.0:
        raise BadInput("at_s", f"{reading.at_s / 60.0:.3g} min is after the end of the run", "count from the start")
    last_s = _FAR_PAST * run.run_s + _AFTERWARDS_S
    if run.ended is None and reading.at_s > last_s:
        raise BadInput("at_s", f"{reading.at_s / 60.0:.4g} min is far past the end of run {run.number}, planned for "
                       f"{run.run_s / 60.0:.3g} min", "count from the start of the run")  # fmt: skip
    if reading.volts_v is None and reading.current_a is None and reading.temperature_c is None and not reading.remark:
        raise BadInput("reading", "is empty", "give volts, amps, a temperature or a remark")
    refuse_more(reading.volts_v, run.supply_v, "V", "volts_v", _REMEDY)
    refuse_more(reading.current_a, run.supply_a, "A", "current_a", _REMEDY)
    _check_bath(reading.temperature_c, run.acid_g_per_l, "temperature_c")


def check_film(outcome: Outcome, came: Came, most_um: float) -> None:
    """Refuse a coating thicker than what came of its run makes at most [um]; twice that at a place of its own.

    Raises OutOfRange.
    """
    film_um, run, most_um = outcome.film_um, outcome.run, most_um if outcome.place in OUTSIDE else 2.0 * most_um
    if film_um is None or film_um <= most_um:
        return
    if came.is_none:
        raise OutOfRange("film_um", f"{three(film_um)} um cannot be: no current flowed in run {run}", _REMEDY)
    microns = film_um / UM_PER_MIL
    slip = f"was it {microns:.3g} um? " if LEAST_UM < microns <= most_um else ""
    raise OutOfRange("film_um", f"{three(film_um)} um cannot be: {three(came.charge_ah)} Ah, the charge of run {run}, "
                     f"makes {three(most_um)} um at most", slip + _REMEDY)  # fmt: skip


def _check_numbers(record: LogRecord) -> None:
    for field in msgspec.structs.fields(record):
        value = getattr(record, field.name)
        if isinstance(value, float) and not (math.isfinite(value) and abs(value) < _MOST):
            raise OutOfRange(field.name, f"{value:g} cannot be", _REMEDY)
        is_read_zero = isinstance(record, Reading) and value == 0.0  # as where a contact is lost
        if isinstance(value, float) and field.name in _ABOVE_ZERO and value <= 0.0 and not is_read_zero:
            unit = _UNITS.get(field.name.rpartition("_")[2], "")
            raise OutOfRange(field.name, f"{value:g} {unit} cannot be: it must be above zero", _REMEDY)
        if isinstance(value, str):
            try:
                value.encode()
            except UnicodeEncodeError:
                raise BadInput(field.name, "is not text", "type it again") from None


def _check_date(when: str, name: str) -> None:
    try:
        seconds_of(when)
    except (ValueError, OverflowError, OSError):
        raise BadInput(name, f"'{when}' is not a date", "write it like 2026-03-03T10:00") from None


def _check_bath(bath_c: float | None, acid_g_per_l: float, name: str) -> None:
    if bath_c is None:
        return
    ice_c = freezing_c(acid_wt_pct(acid_g_per_l)).low
    if not ice_c <= bath_c <= WARMEST_C:
        raise OutOfRange(name, f"{bath_c:g} C cannot be: a bath of {acid_g_per_l:.4g} g/L is liquid from about "
                         f"{ice_c:.0f} C, and none runs above {WARMEST_C:g} C", _REMEDY)  # fmt: skip
