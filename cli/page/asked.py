"""What the page is asked over HTTP: the types of what requests say."""

from typing import Annotated, Any, Literal

from msgspec import UNSET, Meta, Struct, UnsetType

from areacalc.quantity import MOST_COUNT

Document = dict[str, Any]
Text = Annotated[str, Meta(max_length=300)]
Texts = Annotated[list[Text], Meta(max_length=100)]
Name = Annotated[str, Meta(max_length=200)]


class RequestBody(Struct, forbid_unknown_fields=True, omit_defaults=True):
    """What a request says; no other key is taken."""


class StepCells(RequestBody):
    """A step of a bore, as cells."""

    across: Text
    deep: Text
    thread: Text


class BoreCells(RequestBody):
    """A bore, as cells."""

    side: Text
    end: Text
    angle: Text
    chamfer: Text
    steps: Annotated[list[StepCells], Meta(max_length=300)]


class PointCells(RequestBody):
    """A point of the outline, as cells."""

    at: Text
    across: Text
    corner: Text
    size: Text
    line: Text
    detail: Text


class SketchCells(RequestBody):
    """A sketched part: points in words, or rows of cells in their place, and then the bores are cells too."""

    name: Name = ""
    unit: Name = ""
    measure: Name = ""
    outside: Annotated[list[Text], Meta(max_length=500, description="'position diameter' and what is said of it")] = []
    bores: Annotated[list[Text | BoreCells], Meta(max_length=500)] = []
    rows: Annotated[list[PointCells], Meta(max_length=500)] = []


class ChoicesChange(RequestBody):
    """What is chosen on a part."""

    plug: Texts | UnsetType = UNSET
    mask: Texts | UnsetType = UNSET
    wet_only: Texts | UnsetType = UNSET
    contact: Texts | UnsetType = UNSET
    add: Texts | UnsetType = UNSET
    fill: Texts | UnsetType = UNSET


class PartChange(RequestBody):
    """What is to change of a part; the rest stays. checked: stations where the person said that it is well as it is."""

    name: Text | UnsetType | None = UNSET
    count: Annotated[int, Meta(ge=1, le=MOST_COUNT)] | UnsetType = UNSET
    unit: Text | UnsetType | None = UNSET
    up: Text | UnsetType | None = UNSET
    liquid_line: Text | UnsetType | None = UNSET
    alloy: Text | UnsetType | None = UNSET
    choices: ChoicesChange | UnsetType = UNSET
    checked: Texts | UnsetType = UNSET


class ChangePart(RequestBody):
    """A change to a part as the window last saw it."""

    revision: int
    change: PartChange


class SettingsChange(RequestBody):
    """What is to change of the settings; the rest stays."""

    name: Text | UnsetType | None = UNSET
    density: Text | UnsetType = UNSET
    show: Literal["mm", "in"] | UnsetType = UNSET
    tables: dict[str, Document] | UnsetType = UNSET


class ChangeSettings(RequestBody):
    """A change to the settings as the window last saw them."""

    revision: int
    change: SettingsChange


class AddSample(RequestBody):
    """A sample, by its name in the catalogue."""

    name: str


class AddSketch(RequestBody):
    """A sketch."""

    sketch: SketchCells


class Redraw(RequestBody):
    """Another sketch for a part as the window last saw it."""

    revision: int
    sketch: SketchCells


class Keep(RequestBody):
    """A bath or a tank of the shop under a name; without values it is forgotten."""

    table: Literal["bath", "tank"]
    name: Annotated[str, Meta(min_length=1, max_length=300, description="what the shop calls it")]
    values: Annotated[Document | None, Meta(description="the table as a load file has it")]


class OpenLoad(RequestBody):
    """The text of a load file."""

    text: str


class Rehang(RequestBody):
    """Parts of the rack hung elsewhere, as the key `moved` of the load has them."""

    moved: Annotated[str, Meta(max_length=6000)]


class LogRun(RequestBody):
    """A remark on the run that is written down."""

    remark: Text


class ChangeRun(RequestBody):
    """What is to change of a run in the logbook: its remark, whether it is struck out, and what came out of it."""

    remark: Text | UnsetType = UNSET
    struck: bool | UnsetType = UNSET
    coating: Text = ""
    colour: Text = ""
    judged: Literal["", "good", "bad"] = ""


class TankLine(RequestBody):
    """A line that was typed at the tank; sure: the page has asked whether it is meant."""

    line: Text
    sure: bool = False


class Nothing(RequestBody):
    """An empty object."""
