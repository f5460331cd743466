"""What the page answers over HTTP: the types of its documents."""

from typing import Annotated, Any, Literal, NotRequired, TypedDict

from msgspec import Meta

from areacalc.report.documents import Interval
from areacalc.report.figure_document import FigureDocument
from areacalc.report.logbook_document import LoggedRun
from areacalc.report.rack_document import StrandDocument
from areacalc.report.run_document import RunDocument

from .bench import Settings

Document = dict[str, Any]
Share = Annotated[float, Meta(ge=0.0, le=1.0)]
Rings = list[list[list[float]]]


class Line(TypedDict):
    """One line for what cannot be used, and its pieces."""

    line: str
    where: NotRequired[str]
    what: NotRequired[str]
    remedy: NotRequired[str]
    mistakes: NotRequired[list[Document]]


class Refusal(TypedDict):
    """Why the request was refused."""

    error: Line


class PageFigure(FigureDocument):
    """A figure in sight, with the chain it came from."""

    chain: list[tuple[int, str, str, str, str]]


class Warned(TypedDict):
    """What a person should know of the answer."""

    weight: Literal["harms", "note"]
    text: str
    code: str


class Answer(TypedDict):
    """The figures for what lies on the bench.

    first_look: parts still being found, whose flats as drawn stand in. updating: parts worked out again after a change.
    without: parts that cannot be used, which the figures are without.
    """

    figures: dict[str, PageFigure]
    warnings: list[Warned]
    missing: str
    first_look: list[str]
    updating: list[str]
    without: list[str]


class FirstLook(TypedDict):
    """The flats of a part as drawn, and their picture."""

    area_mm2: float
    triangles: int
    view: str | None


class BenchPartDocument(TypedDict):
    """A part on the rack: what the person chose, what was found, and how far the work on it is.

    share, search: of the stage, and of the search for the best way to hang it. cells: a sketch's rows and bores.
    """

    id: str
    name: str
    file: str
    count: int
    unit: str | None
    choices: dict[str, list[str]]
    up: str | None
    liquid_line: str | None
    alloy: str | None
    sketch: Document | None
    checked: list[str]
    revision: int
    result: Document | None
    refused: Line | None
    view: str | None
    cells: Document | None
    look: FirstLook | None
    stage: str | None
    share: Share | None
    search: Share | None


class Running(TypedDict):
    """What a worker is at."""

    name: str
    seconds: int


class RemovedDocument(TypedDict):
    """A part in the bin for 30 days; at_s: when it was taken off, seconds since 1970."""

    id: str
    name: str
    at_s: float


class FieldDocument(TypedDict):
    """What stands in a field: the number and its unit; a length in mm and a volume in litres too."""

    number: str
    unit: str
    mm: NotRequired[float | None]
    litres: NotRequired[float | None]
    wrong: NotRequired[str]


class HistoryDocument(TypedDict):
    """What undo and redo would do next."""

    undo: str | None
    redo: str | None


class BenchDocument(TypedDict):
    """The bench, the work under way and the answer. fields: by 'bath acid'. shop: its baths and tanks by name."""

    revision: int
    parts: list[BenchPartDocument]
    settings: Settings
    answer: Answer
    awaited: list[str]
    running: list[Running]
    removed: list[RemovedDocument]
    fields: dict[str, FieldDocument]
    shop: dict[str, Document]
    history: HistoryDocument
    notice: str


class StaleDocument(TypedDict):
    """Another window's change came first: the bench as it is now."""

    error: Line
    bench: BenchDocument


class AddedDocument(TypedDict):
    """The part on the rack."""

    id: str


class Changed(TypedDict):
    """The part, and the revision it is at now."""

    id: str
    revision: int


class Awaited(TypedDict):
    """Files of the load that are still wanted, and the parts that hung on the rack before and are none of it."""

    awaited: list[str]
    beside: list[str]


class TakenDocument(TypedDict):
    """The part on the rack; or, of a load, the files that are still wanted."""

    id: NotRequired[str]
    awaited: NotRequired[list[str]]


class WayFound(TypedDict):
    """A way to hang a part, and what comes of it in words, metric and US; best: no other is better."""

    up: list[float]
    words: str
    comes_to: dict[Literal["mm", "in"], str]
    best: bool


class WaysDocument(TypedDict):
    """The ways to hang a part, the best first."""

    tried: int
    ways: list[WayFound]


class FrameDocument(TypedDict):
    """One depth: rings of points in mm."""

    words: str
    liquid: list[Rings]
    air: list[Rings]


class GoingUnder(TypedDict):
    """An upright cut through a part at each depth."""

    box: Annotated[list[float], Meta(min_length=4, max_length=4)]
    metal: list[Rings]
    frames: list[FrameDocument]


class MeasuredDocument(TypedDict):
    """A sketch's area and outline, or the line that says what is wrong with it."""

    spots_mm: list[Any]
    area_mm2: NotRequired[Interval]
    volume_mm3: NotRequired[float]
    features: NotRequired[list[str]]
    unit_mm: NotRequired[float]
    segments: NotRequired[list[Document]]
    notes: NotRequired[list[str]]
    refused: NotRequired[Line]


class Runs(TypedDict):
    """The runs in the logbook, the latest first."""

    runs: list[LoggedRun]


class RehungDocument(TypedDict):
    """A rack with parts moved: what it is, what stops the run, which rules it breaks; its rods as they hang then."""

    says: str
    strands: list[StrandDocument]
    stops: list[str]
    warns: list[str]


class RealRun(TypedDict):
    """A run that goes on in earnest beside a rehearsal."""

    run: int
    load: str
    when: str


class LostRun(RealRun):
    """A run at the tank whose load cannot be opened any more, so that it can only be ended."""

    why: str


class AtTankDocument(TypedDict):
    """The run at the tank as it is now, None without one; speed is that of a rehearsal's clock, else 1.

    answer: what is to be said of a line that was typed.
    """

    run: RunDocument | None
    lost: LostRun | None
    real: RealRun | None
    speed: float
    answer: NotRequired[str]
