"""Sentences for a person at the tank: what to do now, what is wrong, what would explain it and what to do about it."""

from areacalc.digits import three
from areacalc.logbook.came import HARDLY_ANY, NONE
from areacalc.report.words.telling import Catalogue, Telling, sentences
from areacalc.run.alarms import Alarm, AlarmKind, CauseKind
from areacalc.run.follow_up import Do, EndMoved

_SHOWN_A = 0.05  # less does not show on an ammeter of a power supply


def clock(time_s: float) -> str:
    """Minutes and seconds of a run, as its clock shows them.

    >>> clock(1040.4), clock(59.6)
    ('17:20', '1:00')
    """
    whole = round(time_s)
    return f"{whole // 60}:{whole % 60:02d}"


def into_run(time_s: float) -> str:
    """Minutes and seconds into a run, in words, so that no one takes them for the time of day.

    >>> into_run(1040.4), into_run(59.6), into_run(12.0)
    ('17 min 20 s', '1 min', '12 s')
    """
    minutes, seconds = divmod(round(time_s), 60)
    return " ".join(
        filter(None, (f"{minutes} min" if minutes else "", f"{seconds} s" if seconds or not minutes else ""))
    )


def _too_fast(t: Telling) -> str:
    planned = "{planned:range}" if t.quantity("planned").high >= _SHOWN_A else "hardly any"
    said = "The current was {read} already, the plan says " + planned + " by then: full current on bare metal can burn "
    return t(said + "the parts at their edges and contacts.")


def _turn_down(t: Telling) -> str:
    to = "{planned}" if t.quantity("planned").value >= _SHOWN_A else "almost nothing"
    return t(f"Turn the current down to {to}, then raise it evenly")


def _overrun(t: Telling) -> str:
    since = ""
    if "since" in t:
        since = f"Switch off at the power supply: the current was due off at {into_run(t.quantity('since').value)}. "
    if "top" in t and t.quantity("film").value > t.quantity("top").value:
        film = "By its charge the coating would be {film} by now, {wanted} were asked. This bath allows {top:bounds} at most."
    else:
        film = "The coating is {film} by now, {wanted} were asked."
    return since + t(film + "[top| From {top:low} on this bath may turn it to powder (from memory): wipe a part and look.]"
                     "[has_fits| Measure the fits: sizes grew more than planned.]")  # fmt: skip


def _off(t: Telling) -> str:
    return t(f"The current is {{read}}, the plan says {{planned:range}}: turn it {_turn(t)}, or leave it and switch off "
             "at the time shown.")  # fmt: skip


def _turn(t: Telling) -> str:
    return "up" if t.quantity("read").value < t.quantity("planned").low else "down"


def _many(t: Telling) -> str:
    return t("one {part}") if t.count("count") == 1 else f"{t.count('count')} x {t('{part}')}"


AT_THE_TANK: Catalogue = {
    **sentences(Do, AlarmKind),
    EndMoved.BY_CURRENT: lambda t: t("the ammeter showed {read} at ") + into_run(t.quantity("at").value) + t(
        "; the plan allowed for {planned:range}"),
    AlarmKind.OVERRUN: _overrun,
    AlarmKind.RAISED_TOO_FAST: _too_fast,
    AlarmKind.CURRENT_OFF: _off,
    CauseKind.NO_CONTACT: lambda t: f"{t.count('count')} x {t('{part}')} with no contact",
    CauseKind.AIR: lambda t: t("air in {feature} of ") + _many(t),
    CauseKind.PLUG_OUT: lambda t: t("plug out of {feature} of ") + _many(t),
    CauseKind.MASK_OFF: lambda t: t("mask off {feature} of ") + _many(t),
}  # fmt: skip

POINTS_LESS = (
    "The readings point to {percent:.0f} % of the planned area: a contact may be lost, or air stands in a bore. Check the "
    "contacts, with the power supply off."
)
POINTS_MORE = (
    "The readings point to {percent:.0f} % of the planned area: a plug may be out, a mask off, or the rack takes current. "
    "Check them, with the power supply off."
)
PROVES_LITTLE = (
    "The readings cannot tell yet whether all is well: the planned volts are not matched to this bath. After a good run "
    "write its volts and density, from the logbook, as {:bath.measured_voltage+measured_density}."
)
AGREES = "The meters agree with the planned area."


ORDERS: Catalogue = {
    AlarmKind.OVERRUN: "Switch off at the power supply",
    AlarmKind.NO_CURRENT: "Switch off at the power supply",
    AlarmKind.LESS_AREA: "Switch off at the power supply",
    AlarmKind.MORE_AREA: "Switch off at the power supply",
    AlarmKind.BURNING: "Lower the current by half",
    AlarmKind.RAISED_TOO_FAST: _turn_down,
    AlarmKind.CURRENT_OFF: lambda t: t(f"Turn the current {_turn(t)} to {{planned}}"),
    AlarmKind.BATH_TOO_WARM: "Cool the bath",
    AlarmKind.WARMS_FASTER: "Read the thermometer again",
}
"""What to do at once, in the place of what the plan has due."""


def early_words(early_s: float, off_s: float) -> str:
    """That the current went off before its time."""
    return f"The current went off at {into_run(off_s)}, {into_run(early_s)} before its time."


def aimed_words(wanted: str, aimed: str, certainty: float) -> str:
    """Why more coating is aimed at than was asked."""
    return f"{wanted} asked, {aimed} aimed at, so that {100.0 * certainty:.3g} of 100 runs reach {wanted}"


def over_words(called: str, charge_ah: float, film: str, planned_ah: float) -> str:
    """What came of a run that has ended."""
    if charge_ah < NONE * planned_ah:
        return f"{called} is over: no current flowed."
    broke = " It broke off: strip the parts and begin again." if charge_ah < HARDLY_ANY * planned_ah else ""
    return f"{called} is over: {three(charge_ah)} Ah, a coating of {film} by the charge.{broke}"


def alarm_words(alarm: Alarm, inch: bool = False) -> str:
    """An alarm in one paragraph, with the nearest of what would explain it."""
    text = Telling(alarm.fact, inch).tell(AT_THE_TANK[alarm.kind])
    if "by_readings" in alarm.fact:
        text = Telling(alarm.fact, inch)("The volts are {read}; the readings before say {by_readings:range}. ") + text
    causes = [Telling(cause.fact, inch).tell(AT_THE_TANK[cause.fact.kind]) for cause in alarm.told]
    return f"{text} Possible causes: {'; '.join(causes)}." if causes else text
