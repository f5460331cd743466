"""What the page can offer: samples, density windows, tables of a load, states of skin; and sketches measured."""

import tomllib
from collections.abc import Mapping
from dataclasses import asdict, dataclass
from pathlib import Path
from typing import Any

import msgspec

from areacalc.bath.dye import SHADES
from areacalc.bath.window import WINDOWS
from areacalc.errors import AreacalcError, BadInput, UnknownName
from areacalc.load.keys import TABLE_HELP, TABLES
from areacalc.report.words.hung import ASKED
from areacalc.report.words.notes import note_words
from areacalc.shape.profile.profile import flattened
from areacalc.shape.profile.sketch import Sketch
from areacalc.shape.profile.turn import profile_of
from areacalc.shape.read import FORMATS

from ..palette import STATE_STYLES
from .asked import SketchCells
from .desk import error_document
from .fields import units
from .sketch_cells import sketch_table, spots

Document = dict[str, Any]
SAMPLES = {
    "pen body": "pen-body.toml", "pen cap": "pen-cap.toml", "lamp knob, turned": "lamp-knob.toml",
    "cleat": "cleat.stl", "napkin ring": "ring.stl", "lamp knob, STEP": "lamp-knob.step",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Sample:
    """A part of the workshop: the bytes of its file, and the sketch that they hold where it is one."""

    name: str
    suffix: str
    content: bytes
    sketch: Document | None


_FROM_RUNS = ("measured_", "half_", "bore_slope", "drag_out")
_ASKED_FIRST = {
    "finish": ("thickness", "dye"),
    "tank": ("volume",),
}  # in sight on the page, though a new load file leaves them out


def document() -> Document:
    """Everything that does not change while the page runs."""
    return {
        "samples": list(SAMPLES),
        "suffixes": [suffix for suffix in FORMATS if suffix != ".gltf"],
        "windows": [
            {"name": w.name, "least": w.least_a_per_dm2, "most": w.most_a_per_dm2, "use": w.use,
             "source": str(w.source)}
            for w in WINDOWS.values()
        ],
        "tables": {
            name: {
                "help": TABLE_HELP[name],
                "keys": [
                    {"name": k.name, "label": k.called, "example": k.example.strip('"'), "help": k.help,
                     "needed": k.needed, "number": not k.example.startswith('"'), "among": list(k.among),
                     "common": k.written or k.name in _ASKED_FIRST.get(name, ()),
                     "from_runs": k.name.startswith(_FROM_RUNS) or k.name.endswith("_within"), "units": units(k)}
                    for k in keys
                ],
            }
            for name, keys in TABLES.items()
        },
        "states": {state.value: asdict(style) for state, style in STATE_STYLES.items()},
        "hanging": ASKED,
        "example": _example(),
        "shades": {name: film.value for name, film in SHADES.items()},
    }  # fmt: skip


def sample_folder() -> Path:
    """Where the samples stand: beside the command in a checkout, inside the package once installed."""
    here = Path(__file__).parent.parent
    installed = here / "sample_models"
    return installed if installed.is_dir() else here.parent / "sample_models"


def _example() -> Document:
    """The tables of the workshop's own load, for a person who wants to see a plan first."""
    load = tomllib.loads((sample_folder() / "desk-set.toml").read_text("utf-8"))
    return {name: table for name, table in load.items() if isinstance(table, dict)}


def sample(name: str) -> Sample:
    """The sample of that name. Raises UnknownName."""
    file = sample_folder() / UnknownName.pick("sample", name, SAMPLES)
    content = file.read_bytes()
    if file.suffix != ".toml":
        return Sample(file.name, file.suffix, content, None)
    sketch = sketch_from(_cells_of(tomllib.loads(content.decode()), name))
    return Sample(name, file.suffix, sketch_toml(sketch), sketch)


def suffix_of(name: str) -> str:
    """The ending of a file's name, where a reader has it. Raises BadInput."""
    suffix = Path(name).suffix.lower()
    if suffix not in FORMATS:
        raise BadInput(name or "the file", f"no '{suffix}' file can be read" if suffix else "the name has no ending",
                       f"export as one of {' '.join(FORMATS)}")  # fmt: skip
    return suffix


def sketch_from(said: SketchCells) -> Document:
    """A sketch from the page, kept even where it does not make a part yet. Raises BadInput where it is no sketch."""
    return Sketch.from_dict(sketch_table(said), "sketch").to_dict()


def sketch_or_none(table: Mapping[str, Any], name: str) -> Document | None:
    """The sketch in a profile's tables, to be drawn on; None where they hold none."""
    try:
        return sketch_from(_cells_of(table, name)) if "outside" in table else None
    except (BadInput, msgspec.ValidationError):
        return None


def _cells_of(table: Mapping[str, Any], name: str) -> SketchCells:
    return msgspec.convert({**table, "name": name}, SketchCells)


def sketch_toml(sketch: Mapping[str, Any]) -> bytes:
    """The file of a sketch, as the command line reads it."""
    return Sketch.from_dict(sketch).to_toml().encode()


def measured(said: SketchCells) -> Document:
    """A sketch's area and outline, or the line that says what is wrong and where. Raises BadInput."""
    clean = sketch_from(said)
    where = {"spots_mm": spots(clean, said.rows or clean["outside"])}
    try:
        profile = profile_of(Sketch.from_dict(clean), "sketch")
    except AreacalcError as bad:
        return where | {"refused": error_document(bad)}
    fine_mm = 0.0003 * max(profile.largest_radius_mm, profile.span_mm[1] - profile.span_mm[0])
    area = profile.area_mm2
    return where | {
        "area_mm2": {"value": area.value, "low": area.low, "high": area.high},
        "volume_mm3": profile.volume_mm3,
        "features": list(profile.features),
        "unit_mm": profile.unit.mm,
        "segments": [
            {"name": s.name, "feature": s.feature, "place": s.place, "area_mm2": s.area_mm2.value,
             "dressed": s.dress is not None, "points": [[float(x), float(r)] for x, r in flattened(s, fine_mm)]}
            for s in profile.segments
        ],
        "notes": [note_words(n.fact) for n in profile.notes],
    }  # fmt: skip
