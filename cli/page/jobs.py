"""What a worker process does: open a part and find its wetted area and picture, or plan a load."""

import hashlib
import json
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from pathlib import Path
from typing import Any

import msgspec

from areacalc.errors import AreacalcError, BadInput, Field, said_of, shortened
from areacalc.load.load import PartLine
from areacalc.load.read_load import data_of, load_from
from areacalc.logbook.logbook import Logbook, now
from areacalc.part.part import Part, Shelf, open_part
from areacalc.plan.entry import run_of
from areacalc.plan.plan import plan_of
from areacalc.plan.rack_drawing import outlines
from areacalc.plan.throw import counted_whole
from areacalc.plant.stock import sold
from areacalc.report.documents import note_documents, part_document
from areacalc.report.explain import rows_of
from areacalc.report.figures import bounds_text, value_text
from areacalc.report.plan_document import plan_document
from areacalc.report.sheet import sheet_of
from areacalc.report.words.hung import in_words, outcome_words, pocket_words
from areacalc.report.words.places import Keys, named_as
from areacalc.report.words.tell import tell
from areacalc.shape.body import Body
from areacalc.shape.file_unit import makes_too_large, units_that_fit
from areacalc.shape.kinds import UnitBasis, UnitHow
from areacalc.shape.profile.revolve import revolve
from areacalc.shape.profile.turn import profile_of
from areacalc.surface.choice import Choices
from areacalc.surface.covering import cover
from areacalc.surface.picture import picture
from areacalc.surface.wetted import WettedArea
from areacalc.whole_file import write_whole

from .bench import CHOICES, UNNAMED
from .view_file import look_bytes, view_bytes

Document = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Stage:
    """How far a job is, in words, and its share of the whole where that is known."""

    words: str
    share: float | None = None


Tell = Callable[[Stage | Document], None]
"""Told how far a job is; or a first look at its part."""
_LARGE = 5_000  # triangles: over this the first look comes before the skin is found
_HELD = 6  # opened parts that a worker keeps


@dataclass(frozen=True, slots=True)
class PartJob:
    """Open the part `name` in folder/file and lay the choices on it; the picture goes into `views`."""

    folder: str
    file: str
    views: str
    name: str = field(compare=False)
    unit: str | None = None
    choices: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    up: str | None = None
    liquid_line: str | None = None
    density_a_per_dm2: float = 0.0  # for what long bores take of it

    @property
    def files(self) -> tuple[Path, ...]:
        """The part files it works on."""
        return (Path(self.folder) / self.file,)

    @property
    def line(self) -> PartLine:
        """As a line of a load."""
        choices = Choices(*(tuple(self.choices.get(key, ())) for key in CHOICES))
        return PartLine(self.name, 1, self.file, None, self.unit, choices, self.up, self.liquid_line)


@dataclass(frozen=True, slots=True)
class PlanJob:
    """Plan the load in a text whose part files stand in a folder; `names` are those the person knows them by.

    inch: in US units, sentences and sheet too.
    """

    folder: str
    text: str
    names: Mapping[str, str]
    inch: bool = False
    name: str = "the plan"

    @property
    def files(self) -> tuple[Path, ...]:
        """The part files it works on."""
        return tuple(Path(self.folder) / file for file in self.names)


class PageShelf(Shelf):
    """A shelf that calls parts by the names people know, tells how far it is, and lets old ones go."""

    def __init__(self, tell: Tell) -> None:
        super().__init__()
        self.tell = tell
        self.names: dict[Path, str] = {}
        self.views = Path()  # where pictures go

    def _part(self, path: Path, unit: str | None) -> Part:
        key = (path, unit)
        if key not in self._opened:
            shown = self.names.get(path, path.name)
            self.tell(Stage("reading the file", 0.05))
            _check_whole(path, shown)
            try:
                opened = open_part(path, unit, Choices())
            except AreacalcError as bad:
                words = (bad.where, bad.what, bad.remedy)
                raise BadInput(*(each.replace(path.name, shown) for each in words)) from None
            body = replace(opened.body, name=Path(shown).stem or shown, source=shown)
            opened = replace(opened, body=body)
            if body.profile is None and len(body.triangles) > _LARGE:
                self.tell({"area_mm2": body.facet_area_mm2, "triangles": len(body.triangles), "view": self._look(body)})
            self.tell(Stage(f"measuring {len(body.triangles):,} triangles", 0.2))
            _ = opened.skin
            self.tell(Stage("adding up the wetted area", 0.8))
            for old in list(self._opened)[: max(0, len(self._opened) + 1 - _HELD)]:
                self._forget(old)
            self._opened[key] = opened
        return self._opened[key]

    def _look(self, body: Body) -> str | None:
        """The name of a picture of the part before its features are found; None where there is no room for it."""
        content = look_bytes(body)
        name = hashlib.sha256(content).hexdigest()[:32]
        try:
            write_whole(self.views / name, lambda file: file.write(content), private=True)
        except BadInput:
            return None
        return name

    def opened(self, job: PartJob) -> tuple[Part, WettedArea]:
        """The part of a job, covered and hung, and its wetted area. Raises BadInput, UnknownName."""
        self.names[Path(job.folder) / job.file] = job.name
        self.views = Path(job.views)
        return self.wetted(job.folder, job.line)

    def usable(self, job: PartJob) -> tuple[PartJob, list[Document]]:
        """The job without the sentences that do not fit the part, and those with the line that says why.

        Raises AreacalcError where the part itself is refused.
        """
        try:
            self.opened(job)
            return job, []
        except AreacalcError:
            bare = replace(job, choices={}, up=None, liquid_line=None)
            self.opened(bare)
        unused: list[Document] = []
        told = [(key, words) for key in CHOICES for words in job.choices.get(key, ())]
        told += [(key, words) for key in ("up", "liquid_line") if (words := getattr(job, key)) is not None]
        for key, words in told:
            if key == "liquid_line" and bare.up is None:
                continue
            change: Document = {key: words}
            if key in CHOICES:
                change = {"choices": {**bare.choices, key: (*bare.choices.get(key, ()), words)}}
            more = replace(bare, **change)
            try:
                self.opened(more)
                bare = more
            except AreacalcError as bad:
                with named_as("page"):
                    where = f"{Keys():{bad.where}}" if isinstance(bad.where, Field) else bad.where
                line = f"{said_of(where, shortened(bad.what))}; {bad.remedy}"
                unused.append({"key": key, "words": words, "line": line})
        return bare, unused

    def _forget(self, old: tuple[Path, str | None]) -> None:
        del self._opened[old]
        for key in [k for k in self._wetted if k[:2] == old]:
            del self._wetted[key]


def part_result(job: PartJob, shelf: PageShelf) -> Document:
    """The part's area document and the name of its picture. Raises AreacalcError."""
    job, unused = shelf.usable(job)
    part, wetted = shelf.opened(job)
    with named_as("page"):
        document: Document = {**part_document(part, wetted, 1), "because": list(wetted.value.because), "unused": unused,
                              "long_bores": []}  # fmt: skip
        for note, us in zip(document["notes"], note_documents(wetted.notes, inch=True), strict=True):
            note["us"] = us["text"]
    if part.hanging is not None:
        document["hung"] = in_words(part.hanging.up, part.skin)
        document["comes_to"] = {show: outcome_words(part, show == "in") for show in ("mm", "in")}
        widths = zip(part.hanging.air.pockets, part.hanging.vent_widths_mm, strict=True)
        document["air"] = [{show: pocket_words(*each, show == "in") for show in ("mm", "in")} for each in widths]
    if any(note["warns"] and note["code"] in ("unit-implausible", "unit-overruled") for note in document["notes"]):
        taken = part.body.unit
        numbers = max(part.body.size_mm) / taken.mm, part.body.facet_area_mm2 / taken.mm**2
        document["unit_fits"] = [u for u in units_that_fit(*numbers) if u != taken.name]
    document["too_large"] = makes_too_large(part.body.notes) is not None
    if density_a_per_dm2 := job.density_a_per_dm2:
        told = counted_whole(part, density_a_per_dm2)
        document["long_bores"] = [{"mm": tell(fact), "in": tell(fact, inch=True)} for fact in told]
    key = json.dumps([job.file, job.unit, job.choices, job.up, job.liquid_line], sort_keys=True)
    name = hashlib.sha256(key.encode()).hexdigest()[:32]
    target = Path(job.views) / name
    if not target.exists():
        shelf.tell(Stage("drawing it", 0.9))
        drawn = picture(part.skin, cover(part.skin, part.choices), part.hanging.dry_shares if part.hanging else ())
        content = view_bytes(part.skin, drawn)
        try:
            write_whole(target, lambda file: file.write(content), private=True)
        except BadInput as trouble:
            document["notes"].append({"code": "no-picture", "warns": True, "text": f"its picture {trouble.what}"})
            return {"result": document, "view": None}
    return {"result": document, "view": name}


def _check_whole(path: Path, shown: str) -> None:
    """Refuse a stored file that is not there or not as it was kept: it stands in a folder named for its content."""
    try:
        with path.open("rb") as file:
            digest = hashlib.file_digest(file, "sha256").hexdigest()
    except OSError as trouble:
        raise BadInput(shown, f"cannot be read: {trouble.strerror}", "take it off and drop it again") from None
    if not digest.startswith(path.parent.name):
        raise BadInput(shown, "has changed since it was dropped", "take it off and drop it again")


def plan_result(job: PlanJob, shelf: PageShelf) -> Document:
    """The plan's document, the chain behind every figure, the sheet and the run to log. Raises AreacalcError."""
    shelf.names.update({Path(job.folder) / file: name for file, name in job.names.items()})
    data = data_of(job.text, "the load")
    load = replace(load_from(data, job.text, "the load", job.folder), stock=sold(job.inch))
    repeated = came = None
    if load.finish.repeat:
        with Logbook() as book:
            repeated, came = book.to_repeat(load.finish.repeat, alloy=load.parts[0].alloy)
    made = plan_of(load, repeated, shelf, came)
    with named_as("page"):
        sheet = sheet_of(made, job.inch)
        if sheet.name == UNNAMED:
            sheet = replace(sheet, name=sheet.what, what="")
        document: Document = {**plan_document(made, job.inch), "sheet": sheet}
    for name, figure in made.figures.items():
        document["figures"][name] |= {
            "text": value_text(figure, job.inch),
            "bounds": bounds_text(figure, job.inch),
            "chain": rows_of(figure, job.inch),
        }
    if (layout := made.plant.room.layout) is not None:
        seen = outlines([each.part for each in made.parts if each.part is not None], layout.ways)
        document["rack"]["outlines_mm"] = [[each.front, each.side, each.plan] for each in seen]
    document["run"] = msgspec.to_builtins(run_of(made, now(), data=data))
    for each in document["run"]["parts"]:
        each["file"] = job.names.get(each["file"], each["file"])
    return document


_EVERYTHING = "0 18 r1, 6 18, 6 14 r0.6, 22 14, 26 8 arc r6; bore left 5 x 15 chamfer 0.6"  # cylinder to torus


def warm() -> None:
    """Load what every part needs, so that the first one does not wait for it: by a knob with every kind of surface."""
    knob = revolve(profile_of(_EVERYTHING), 0.05)
    part = Part(Body("warm", "warm", knob.vertices, knob.triangles, UnitBasis("mm", UnitHow.GIVEN)))
    part.wetted()
    picture(part.skin, cover(part.skin, part.choices))
