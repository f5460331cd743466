"""What came of a run: how long current flowed, the charge that passed, and the film; measured, by charge or planned."""

from collections.abc import Sequence
from dataclasses import dataclass
from enum import StrEnum

from areacalc.bath import film
from areacalc.bath.film import GAUGE_UM
from areacalc.bath.flowed import charge_c
from areacalc.logbook.records import Begun, Outcome, Reading, Run, seconds_of
from areacalc.plant.supply import MOST_SHOWN

HARDLY_ANY = 0.1
"""A run with less than this share of its planned charge gave no colour worth repeating: chosen."""
_AS_PLANNED = 0.05  # chosen: a charge this near to the planned one is that
NONE = 0.001
"""With less than this share of its planned charge no current flowed in a run, as it is told: chosen."""
_MOST_TIMES = 3.0  # of the current set: chosen, where the power supply is not known; a higher current is a slip
OUTSIDE = ("", "outside")
"""Where a coating is measured that stands for the run: outside, or nowhere said."""
LEAST_UM = 2.0 * GAUGE_UM.value
"""A gauge tells no coating as thin as this [um]."""


def is_counted(place: str) -> bool:
    """Whether a coating measured at a place counts: as that of the run, or as one down a bore."""
    return place in OUTSIDE or "bore-" in place.lower()


class FilmFrom(StrEnum):
    """What tells the film of a run."""

    MEASURED = "measured"
    CHARGE = "by charge"
    PLAN = "planned"


class Why(StrEnum):
    """What a run has that others of the same words have not, the weightiest first."""

    NOT_BAD = "not judged bad"
    ALLOY = "of this alloy"
    GOOD = "judged good"
    BATH = "in this bath"
    SHADE = "its shade logged"
    MEASURED = "its coating measured"
    FOLLOWED = "followed by the clock"


@dataclass(frozen=True, slots=True)
class Came:
    """What came of a run: run_s with current, the charge [Ah], the film [um] and what tells it.

    is_followed: run_s and charge_ah are those of the day; else they are the plan's. why: what speaks for its repeat
    beside others.
    """

    run_s: float
    charge_ah: float
    film_um: float
    film_from: FilmFrom
    is_followed: bool
    planned_ah: float
    why: tuple[Why, ...] = ()

    @property
    def is_worth_repeating(self) -> bool:
        """Whether enough charge passed for a coating."""
        return self.charge_ah >= HARDLY_ANY * self.planned_ah

    @property
    def is_none(self) -> bool:
        """Whether no current flowed that is worth a figure."""
        return self.charge_ah < NONE * self.planned_ah


@dataclass(frozen=True, slots=True)
class Logged:
    """A run with all that the logbook has of it."""

    run: Run
    readings: tuple[Reading, ...]
    begun: tuple[Begun, ...] = ()
    outcomes: tuple[Outcome, ...] = ()

    @property
    def came(self) -> Came:
        return came_of(self.run, self.readings, self.begun, self.outcomes)

    def holds(self, words: Sequence[str]) -> bool:
        """Whether number, date, load, dye, shade, bath, remark or what came out of it hold all of the words."""
        run = self.run
        if [word.lower() for word in words] == ["run", str(run.number)]:
            return True
        came = (text for each in self.outcomes for text in (each.colour, each.fault, each.remark))
        told = (run.when, run.load, run.dye, run.shade, run.bath, run.remark, *came)
        text = " ".join(each for each in told if each).lower()
        return "run" not in words and all(word.lower() in text for word in words)

    @property
    def is_unfinished(self) -> bool:
        """Whether the run was begun at the tank, and nobody has said that it ended."""
        return bool(self.begun) and self.run.ended is None

    @property
    def judged(self) -> str:
        """What the parts were judged last: good, bad, or nothing; a fault is bad."""
        said = [each.judged or ("bad" if each.fault else "") for each in self.outcomes]
        return next((each for each in reversed(said) if each), "")

    def speaks(self, alloy: str | None, bath: str | None) -> tuple[bool, ...]:
        """What speaks for a repeat on an alloy in a bath, in the order of `Why`."""
        came, run, judged = self.came, self.run, self.judged
        return (judged != "bad", alloy is not None and run.alloy == alloy, judged == "good",
                bath is not None and run.bath == bath, any(each.colour for each in self.outcomes),
                came.film_from is FilmFrom.MEASURED, came.is_followed)  # fmt: skip

    @property
    def off_s(self) -> float:
        """When the current was switched off [s]; as planned where that is not known."""
        off_s = off_at_s(self.run, self.begun)
        return self.run.run_s if off_s is None else off_s

    @property
    def in_acid(self) -> list[Reading]:
        """The readings while the current flowed; all, where it is not known when it was switched off."""
        off_s = off_at_s(self.run, self.begun)
        return [each for each in self.readings if off_s is None or each.at_s <= off_s]


def came_of(run: Run, readings: Sequence[Reading], begun: Sequence[Begun], outcomes: Sequence[Outcome]) -> Came:
    """What came of a run, by what the logbook has of it; readings in the order of their times."""
    planned_ah, off_s = run.charge_ah, off_at_s(run, begun)
    run_s, passed_ah = run.run_s, planned_ah
    if off_s is not None:
        run_s, passed_ah = off_s, charge_until_c(run, readings, off_s) / 3600.0
    most_um = most_film_um(run, passed_ah)
    can_be = [o.film_um for o in outcomes if o.film_um is not None and o.place in OUTSIDE and o.film_um <= most_um]
    if measured := [film_um for film_um in can_be if film_um > LEAST_UM] or can_be:
        return Came(run_s, passed_ah, sum(measured) / len(measured), FilmFrom.MEASURED, off_s is not None, planned_ah)
    kind = FilmFrom.PLAN if off_s is None else FilmFrom.CHARGE
    return Came(run_s, passed_ah, run.film_um * passed_ah / planned_ah, kind, off_s is not None, planned_ah)


def is_as_asked(run: Run, came: Came | None) -> bool:
    """Whether a run went as it was planned, so that its repeat is asked what it was asked: coating and certainty."""
    went = came is None or came.film_from is FilmFrom.PLAN or (
        came.film_from is FilmFrom.CHARGE and abs(came.charge_ah / came.planned_ah - 1.0) <= _AS_PLANNED)  # fmt: skip
    return went and run.asked_um is not None and run.certainty is not None


def most_film_um(run: Run, charge_ah: float) -> float:
    """The thickest coating that a charge can make over the area of a run [um]."""
    area_dm2 = run.current_a / run.density_a_per_dm2
    return film.most_film_um(charge_ah * 60.0 / area_dm2)


def off_at_s(run: Run, begun: Sequence[Begun]) -> float | None:
    """When the current of a run that was followed was switched off [s]; None where that is not known."""
    if len(begun) > 1:
        return begun[1].at_s
    return seconds_of(run.ended) - seconds_of(run.when) if begun and run.ended is not None else None


def charge_until_c(run: Run, readings: Sequence[Reading], at_s: float) -> float:
    """The charge of a run until a time [C]; a current that the run cannot have had is left out."""
    most_a = MOST_SHOWN * run.supply_a if run.supply_a is not None else _MOST_TIMES * run.current_a
    read = [(each.at_s, each.current_a) for each in readings
            if each.current_a is not None and 0.0 <= each.current_a <= most_a and 0.0 <= each.at_s <= at_s]  # fmt: skip
    ramp_s = run.ramp_s or 0.0
    kept = run.course or (((0.0, 0.0), (ramp_s, run.current_a)) if ramp_s else ((0.0, run.current_a),))
    return charge_c(kept, read, ramp_s, at_s)
