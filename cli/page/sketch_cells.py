"""A sketch as the cells of the page's tables, and back into the words of its file."""

import re
from collections.abc import Mapping, Sequence
from typing import Any

import msgspec

from areacalc.errors import AreacalcError, BadInput
from areacalc.shape.profile.sketch import Sketch, reading

from .asked import BoreCells, PointCells, SketchCells, StepCells

Cells = dict[str, Any]
_ROW: Cells = {"at": "", "across": "", "corner": "", "size": "", "line": "", "detail": ""}
_BORE: Cells = {"side": "left", "end": "point", "angle": "118", "chamfer": ""}
_CORNERS = {"fillet": "r", "chamfer": "c"}
_MORE = {  # what may follow the size of a line
    "arc": re.compile(r"in|out|large|small|cw|ccw", re.I),
    "thread": re.compile(r"UNC|UNF|UNEF|UN", re.I),
    "knurl": re.compile(r"(?!)"),
}
_TAIL = re.compile(r"\s+(flat|drill\s+\S+|chamfer\s+\S+|c[\d./]\S*)$", re.I)
_STEP = re.compile(r"(\S+?)\s*(?:[x×]\s*(\S+))?(?:\s+thread\s+(.+))?$", re.I)
_HEAD = re.compile(r"(through\s+(?:left|right)|through|left|right)\b\s*", re.I)


def cells(sketch: Mapping[str, Any]) -> Cells:
    """The rows and the bores of a sketch, each as the cells that a person fills in."""
    made = {"rows": [row_cells(w) for w in sketch["outside"]], "bores": [bore_cells(w) for w in sketch["bores"]]}
    plain: Cells = msgspec.to_builtins(made)
    return plain


def row_cells(words: str) -> PointCells:
    """A point of the outside.

    >>> row_cells("40 12 r1 arc r20 in")
    PointCells(at='40', across='12', corner='r', size='1', line='arc', detail='r20 in')
    """
    at, across, *rest = [*words.split(), "", ""][: max(2, len(words.split()))]
    row = _ROW | {"at": at, "across": across}
    while rest:
        word = rest.pop(0)
        low = word.lower()
        if re.match(r"[rc][\d.,]", low):
            row |= {"corner": low[0], "size": word[1:]}
        elif low in _CORNERS:
            row |= {"corner": _CORNERS[low], "size": rest.pop(0) if rest else ""}
        elif low in _MORE:
            centre = low == "arc" and rest and rest[0].lower() in ("centre", "center")
            detail = [rest.pop(0) for _ in range(min(3 if centre else 1, len(rest)))]
            while rest and _MORE[low].fullmatch(rest[0]):
                detail.append(rest.pop(0))
            row |= {"line": low, "detail": " ".join(detail)}
        else:
            row["detail"] = f"{row['detail']} {word}".strip()
    return PointCells(**row)


def bore_cells(words: str) -> BoreCells:
    """A bore: where it opens, its steps, its end.

    >>> bore_cells("left 8 x 30, 6 x 50 drill 90").steps[1]
    StepCells(across='6', deep='50', thread='')
    """
    text = words.strip()
    head = _HEAD.match(text)
    bore = _BORE | {"side": " ".join(head[1].lower().split()) if head else "left"}
    text = f" {text[head.end() if head else 0 :]}"
    while tail := _TAIL.search(text):
        text = text[: tail.start()]
        word, _, value = tail[1].lower().partition(" ")
        if word == "flat":
            bore["end"] = "flat"
        elif word == "drill":
            bore["angle"] = value.strip().replace("°", "")
        else:
            bore["chamfer"] = value.strip() or word[1:]
    steps = []
    for part in filter(None, (p.strip() for p in text.split(","))):
        found = _STEP.fullmatch(part)
        across, deep, thread = found.groups("") if found else (part, "", "")
        steps.append(StepCells(across, deep, thread))
    return BoreCells(**bore, steps=steps or [StepCells("", "", "")])


def sketch_table(said: SketchCells) -> dict[str, Any]:
    """A sketch in words, as its file has it. Raises BadInput."""
    if said.rows and said.outside:
        raise BadInput("sketch", "holds its points twice", "send rows or outside")
    made: dict[str, Any] = {key: words for key in ("name", "unit", "measure") if (words := getattr(said, key))}
    made["outside"] = said.outside or [words for row in said.rows if (words := row_words(row))]
    made["bores"] = [bore if isinstance(bore, str) else bore_words(bore) for bore in said.bores]
    return made


def row_words(row: PointCells) -> str:
    """The words of a point; "" where nothing is filled in yet.

    >>> row_words(row_cells("40 12 r1 arc r20 in"))
    '40 12 r1 arc r20 in'
    """
    spot = [_close(row.at), _close(row.across)]
    if not any(spot):
        return ""
    corner = [row.corner + _close(row.size)] if row.corner and row.size.strip() else []
    line = [row.line, row.detail.strip()] if row.line and row.detail.strip() else []
    return " ".join(filter(None, [*spot, *corner, *line]))


def bore_words(bore: BoreCells) -> str:
    """The words of a bore.

    >>> bore_words(bore_cells("left 8 x 30, 6 x 50 flat chamfer 0.5"))
    'left 8 x 30, 6 x 50 flat chamfer 0.5'
    """
    steps = []
    for step in bore.steps:
        across, deep, thread = _close(step.across), _close(step.deep), step.thread.strip()
        if across or deep:
            steps.append(" ".join(filter(None, [across, deep and f"x {deep}", thread and f"thread {thread}"])))
    angle = bore.angle.strip()
    end = "" if bore.side.startswith("through") else "flat" if bore.end == "flat" else angle and f"drill {angle}"
    chamfer = _close(bore.chamfer)
    return " ".join(filter(None, [bore.side, ", ".join(steps), end, chamfer and f"chamfer {chamfer}"]))


def _close(number: str) -> str:
    """A number with a fraction or a unit as one word, since a space parts the numbers of a point.

    >>> _close("12 1/2 in")
    '12-1/2in'
    """
    return re.sub(r"\s+", "", re.sub(r"(\d)\s+(?=\d+/)", r"\1-", number.strip()))


def spots(sketch: Mapping[str, Any], rows: Sequence[str | PointCells]) -> list[list[float] | None]:
    """Where each row's point lies, position and radius [mm]; None where its numbers make no sense yet."""
    try:
        read = reading(Sketch.from_dict(sketch), "sketch")
    except AreacalcError:
        return [None] * len(rows)

    def spot(row: str | PointCells) -> list[float] | None:
        cell = row_cells(row) if isinstance(row, str) else row
        try:
            return [read.length(_close(cell.at), "point"), read.radius(_close(cell.across), "point")]
        except AreacalcError:
            return None

    return [spot(row) for row in rows]
