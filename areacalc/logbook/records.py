"""What the logbook keeps: runs with their readings and what came out, baths and tanks with what happened to them."""

from datetime import datetime
from typing import Literal

import msgspec

TableSettings = dict[str, str | int | float]
"""A table of the load file as a person wrote it."""


class LogRecord(msgspec.Struct, frozen=True, forbid_unknown_fields=True, kw_only=True):
    """One thing kept; number is its own in the logbook, 0 before it is kept."""

    number: int = 0


class RunPart(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """One kind of part of a run: how many, the wetted area of one, its file and the SHA-256 of that."""

    name: str
    count: int
    area_mm2: float
    file: str | None = None
    digest: str | None = None


class Run(LogRecord, frozen=True, kw_only=True):
    """One run as it was planned and done. Figures that nobody read are None.

    when and ended are local dates and times as ISO 8601. key is the run's identity, the same in every export. bath and
    tank are names kept in the logbook, settings the load's tables as they were written. text is the load file, and
    folder where it stood. course: times [s] and the currents planned then [A], straight between. asked_um: the coating
    asked, which so large a share of the runs (certainty) was to reach. struck: when it was struck out, as ISO 8601.
    """

    key: str = ""
    when: str
    ended: str | None = None
    load: str
    area_mm2: float
    current_a: float
    density_a_per_dm2: float
    run_s: float
    film_um: float
    acid_g_per_l: float
    aluminium_g_per_l: float
    temperature_c: float
    supply_v: float | None = None
    supply_a: float | None = None
    ramp_s: float | None = None
    planned_ah: float | None = None
    course: tuple[tuple[float, float], ...] = ()
    bath: str | None = None
    bath_l: float | None = None
    tank: str | None = None
    alloy: str | None = None
    surface: str = "gloss"
    shade: str | None = None
    dye: str | None = None
    dye_s: float | None = None
    seal: str | None = None
    seal_s: float | None = None
    etch_s: float | None = None
    start_v: float | None = None
    end_v: float | None = None
    end_temperature_c: float | None = None
    remark: str = ""
    struck: str = ""
    asked_um: float | None = None
    certainty: float | None = None
    parts: tuple[RunPart, ...] = ()
    settings: dict[str, TableSettings] = {}
    text: str = ""
    folder: str = ""

    @property
    def colour(self) -> str:
        """The dye, else the shade, else the surface."""
        return self.dye or self.shade or self.surface

    @property
    def charge_ah(self) -> float:
        """The charge as planned [Ah]; of a run kept without it the current for the whole time, the most it can be."""
        return self.current_a * self.run_s / 3600.0 if self.planned_ah is None else self.planned_ah


class Reading(LogRecord, frozen=True, kw_only=True):
    """What the meters showed so many seconds into a run."""

    run: int
    at_s: float
    volts_v: float | None = None
    current_a: float | None = None
    temperature_c: float | None = None
    remark: str = ""


class Begun(LogRecord, frozen=True, kw_only=True):
    """A step of a run that was begun at the tank so many seconds into it; step is its name in the plan."""

    run: int
    at_s: float
    step: str


class Outcome(LogRecord, frozen=True, kw_only=True):
    """Something that came out of a run: coating measured at a place in some way, a colour, a fault, a photo's path.

    judged: whether the parts are good or bad.
    """

    run: int
    film_um: float | None = None
    place: str = ""
    how: str = ""
    colour: str = ""
    fault: str = ""
    photo: str = ""
    judged: Literal["", "good", "bad"] = ""
    remark: str = ""


class Vessel(LogRecord, frozen=True, kw_only=True):
    """A bath or a tank that many loads use by its name; settings is its table of the load file.

    volume_l is how much bath there is, where a load told it.
    """

    kind: Literal["bath", "tank"]
    name: str
    settings: TableSettings
    volume_l: float | None = None


class Event(LogRecord, frozen=True, kw_only=True):
    """Something that happened to a bath: made new, analysed, or something added to it."""

    vessel: int
    when: str
    what: Literal["new", "analysis", "addition"]
    acid_g_per_l: float | None = None
    aluminium_g_per_l: float | None = None
    volume_l: float | None = None
    remark: str = ""


TABLES: dict[str, type[LogRecord]] = {
    "run": Run, "reading": Reading, "begun": Begun, "outcome": Outcome, "vessel": Vessel, "event": Event,
}  # fmt: skip


def seconds_of(when: str) -> float:
    """A date and time as seconds since 1970; one without a zone is local.

    >>> seconds_of("2026-03-03T10:30+01:00") - seconds_of("2026-03-03T10:00+01:00")
    1800.0
    """
    return datetime.fromisoformat(when).timestamp()
