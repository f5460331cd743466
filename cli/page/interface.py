"""What the page is asked over HTTP and what it answers: the types, and a table of the routes.

`openapi.json` beside this file is written from it: python tests/cli/page/make_openapi.py
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any, Literal, NotRequired, TypedDict

from msgspec import UNSET, Meta, Struct, UnsetType

from areacalc.logbook.records import Run
from areacalc.quantity import MOST_COUNT
from areacalc.report.documents import Interval
from areacalc.report.figure_document import FigureDocument, LinkDocument
from areacalc.report.hang_document import WayDocument

from .bench import Settings

Document = dict[str, Any]
Text = Annotated[str, Meta(max_length=300)]
Texts = Annotated[list[Text], Meta(max_length=100)]
Name = Annotated[str, Meta(max_length=200)]
Share = Annotated[float, Meta(ge=0.0, le=1.0)]
Rings = list[list[list[float]]]


class Asked(Struct, forbid_unknown_fields=True):
    """What a request says; no other key is taken."""


class Step(Asked):
    """A step of a bore, as cells."""

    across: Text
    deep: Text
    thread: Text


class Bore(Asked):
    """A bore, as cells."""

    side: Text
    end: Text
    angle: Text
    chamfer: Text
    steps: Annotated[list[Step], Meta(max_length=300)]


class Row(Asked):
    """A point of the outline, as cells."""

    at: Text
    across: Text
    corner: Text
    size: Text
    line: Text
    detail: Text


class Sketch(Asked):
    """A sketched part: points in words, or rows of cells in their place, and then the bores are cells too."""

    name: Name = ""
    unit: Name = ""
    measure: Name = ""
    outside: Annotated[list[Text], Meta(max_length=500, description="'position diameter' and what is said of it")] = []
    bores: Annotated[list[Text | Bore], Meta(max_length=500)] = []
    rows: Annotated[list[Row], Meta(max_length=500)] = []


class Choices(Asked):
    """What is chosen on a part."""

    plug: Texts | UnsetType = UNSET
    mask: Texts | UnsetType = UNSET
    wet_only: Texts | UnsetType = UNSET
    contact: Texts | UnsetType = UNSET
    add: Texts | UnsetType = UNSET


class PartChange(Asked):
    """What is to change of a part; the rest stays. checked: stations where the person said that it is well as it is."""

    name: Text | UnsetType | None = UNSET
    count: Annotated[int, Meta(ge=1, le=MOST_COUNT)] | UnsetType = UNSET
    unit: Text | UnsetType | None = UNSET
    up: Text | UnsetType | None = UNSET
    liquid_line: Text | UnsetType | None = UNSET
    alloy: Text | UnsetType | None = UNSET
    choices: Choices | UnsetType = UNSET
    checked: Texts | UnsetType = UNSET


class ChangePart(Asked):
    """A change to a part as the window last saw it."""

    revision: int
    change: PartChange


class SettingsChange(Asked):
    """What is to change of the settings; the rest stays."""

    name: Text | UnsetType | None = UNSET
    density: Text | UnsetType = UNSET
    show: Literal["mm", "in"] | UnsetType = UNSET
    tables: dict[str, Document] | UnsetType = UNSET


class ChangeSettings(Asked):
    """A change to the settings as the window last saw them."""

    revision: int
    change: SettingsChange


class AddSample(Asked):
    """A sample, by its name in the catalogue."""

    name: str


class AddSketch(Asked):
    """A sketch."""

    sketch: Sketch


class Redraw(Asked):
    """Another sketch for a part as the window last saw it."""

    revision: int
    sketch: Sketch


class Keep(Asked):
    """A bath or a tank of the shop under a name; without values it is forgotten."""

    table: Literal["bath", "tank"]
    name: Annotated[str, Meta(min_length=1, max_length=300, description="what the shop calls it")]
    values: Annotated[Document | None, Meta(description="the table as a load file has it")]


class OpenLoad(Asked):
    """The text of a load file."""

    text: str


class LogRun(Asked):
    """A remark on the run that is written down."""

    remark: Text


class Nothing(Asked):
    """An empty object."""


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

    chain: list[LinkDocument]


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


class PartDocument(TypedDict):
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
    """What stands in a field: the number and its unit; a length in mm too."""

    number: str
    unit: str
    mm: NotRequired[float | None]
    wrong: NotRequired[str]


class HistoryDocument(TypedDict):
    """What undo and redo would do next."""

    undo: str | None
    redo: str | None


class BenchDocument(TypedDict):
    """The bench, the work under way and the answer. fields: by 'bath acid'. shop: its baths and tanks by name."""

    revision: int
    parts: list[PartDocument]
    settings: Settings
    answer: Answer
    awaited: list[str]
    running: list[Running]
    removed: list[RemovedDocument]
    fields: dict[str, FieldDocument]
    shop: dict[str, Document]
    history: HistoryDocument
    notice: str


class Stale(TypedDict):
    """Another window's change came first: the bench as it is now."""

    error: Line
    bench: BenchDocument


class Added(TypedDict):
    """The part on the rack."""

    id: str


class Changed(TypedDict):
    """The part, and the revision it is at now."""

    id: str
    revision: int


class Awaited(TypedDict):
    """Files of the load that are still wanted."""

    awaited: list[str]


class Taken(TypedDict):
    """The part on the rack; or, of a load, the files that are still wanted."""

    id: NotRequired[str]
    awaited: NotRequired[list[str]]


class Ways(TypedDict):
    """The ways to hang a part, the best first."""

    tried: int
    ways: list[WayDocument]


class Frame(TypedDict):
    """One depth: rings of points in mm."""

    words: str
    liquid: list[Rings]
    air: list[Rings]


class GoingUnder(TypedDict):
    """An upright cut through a part at each depth."""

    box: Annotated[list[float], Meta(min_length=4, max_length=4)]
    metal: list[Rings]
    frames: list[Frame]


class Measured(TypedDict):
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

    runs: list[Run]


@dataclass(frozen=True, slots=True)
class Does:
    """What a route does, and what it answers when all is well: a type as JSON, a media type, or nothing.

    body: what it asks, a type or a media type. query: what its address may say. also: what else it may answer.
    """

    summary: str
    words: str
    answer: Any = None
    status: int = 200
    body: Any = None
    query: tuple[Query, ...] = ()
    also: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Query:
    """A word of the address."""

    name: str
    type: Any
    words: str
    needed: bool = False


UNCHANGED, MISSING, STALE, REFUSED = 204, 404, 409, 422
_FOUND, _FOLLOWS = "On the rack; its area is being found", "Changed; what follows from it is being found"
ROUTES: dict[tuple[str, str], Does] = {
    ("get", "/api/catalogue"): Does(
        "Samples, density windows, keys of a load, states of surface", "What does not change while the page runs",
        Document),
    ("get", "/api/bench"): Does(
        "The bench, the work under way and the answer", "As it is", BenchDocument, also=(UNCHANGED, REFUSED),
        query=(Query("after", int, "wait until the revision is another than this"),
               Query("wait", float, "how long to wait [s], no longer than 30 s"))),
    ("patch", "/api/settings"): Does(
        "Change density window, unit shown, name, or the load's tables", "Changed", BenchDocument,
        body=ChangeSettings, also=(STALE, REFUSED)),
    ("post", "/api/undo"): Does("Take back the last change that a person made", "The bench as it is now",
                                BenchDocument, body=Nothing, also=(REFUSED,)),
    ("post", "/api/redo"): Does("Make the change again that was taken back last", "The bench as it is now",
                                BenchDocument, body=Nothing, also=(REFUSED,)),
    ("put", "/api/shop"): Does("Keep a bath or a tank of the shop under a name, or forget it", "Kept", status=204,
                               body=Keep, also=(REFUSED,)),
    ("post", "/api/parts"): Does(
        "Put a part file on the rack, or open a load: a load file, or a zip of one with its part files",
        "On the rack, its area is being found; or a load is open, and these files are still wanted", Taken,
        202, "application/octet-stream", also=(REFUSED,),
        query=(Query("name", Annotated[str, Meta(min_length=1, max_length=300)],
                     "the file's name; only its ending decides how it is read, and it is never opened", True),
               Query("unit", Annotated[str, Meta(max_length=20)], "of the file's numbers"))),
    ("patch", "/api/parts/{id}"): Does("Change a part: count, name, unit, choices, hanging, alloy", _FOLLOWS, Changed,
                                       202, ChangePart, also=(MISSING, STALE, REFUSED)),
    ("delete", "/api/parts/{id}"): Does("Take a part off the rack, and stop the work on it", "Off", status=204,
                                        also=(MISSING,)),
    ("get", "/api/parts/{id}/ways"): Does("Try the ways to hang a part", "The best first", Ways,
                                          also=(MISSING, REFUSED)),
    ("get", "/api/parts/{id}/going-under"): Does("A part going under as it hangs", "An upright cut at each depth",
                                                 GoingUnder, also=(MISSING, REFUSED)),
    ("post", "/api/samples"): Does("Put a sample on the rack", _FOUND, Added, 202, AddSample, also=(REFUSED,)),
    ("post", "/api/sketches"): Does("Put a sketched part on the rack", _FOUND, Added, 202, AddSketch, also=(REFUSED,)),
    ("put", "/api/sketches/{id}"): Does("Give a sketched part another sketch", _FOLLOWS, Changed, 202, Redraw,
                                        also=(MISSING, STALE, REFUSED)),
    ("post", "/api/measure"): Does("A sketch's area and outline, kept nowhere",
                                   "Measured, or the line that says what is wrong with it", Measured, body=AddSketch,
                                   also=(REFUSED,)),
    ("post", "/api/removed/{id}"): Does("Put back a part that was taken off", "Back", Added, also=(MISSING,)),
    ("get", "/api/views/{name}"): Does(
        "The picture of a part's surface as bytes",
        "uint32 length of the head, the head (JSON), float32 points, uint32 corners, float32 lines",
        "application/octet-stream", also=(MISSING,)),
    ("get", "/api/plan"): Does("The plan of what lies on the bench", "The plan document, every figure with its chain",
                               Document, also=(REFUSED,)),
    ("get", "/api/sheet"): Does("The run sheet", "To print", "text/html", also=(REFUSED,)),
    ("get", "/api/logbook"): Does("The runs in the logbook, the latest first", "The runs", Runs, also=(REFUSED,)),
    ("post", "/api/logbook"): Does("Write the run as planned into the logbook", "Written", Runs, 201, LogRun,
                                   also=(REFUSED,)),
    ("get", "/api/load.toml"): Does("The bench as a load file", "TOML, as the command line reads it",
                                    "application/toml"),
    ("get", "/api/load.zip"): Does("The load file with the part files, in one zip",
                                   "load.toml and the files that it names", "application/zip"),
    ("post", "/api/load"): Does("Take over a load file", "Taken over; files still wanted", Awaited, body=OpenLoad,
                                also=(REFUSED,)),
}  # fmt: skip
"""By method and path."""
