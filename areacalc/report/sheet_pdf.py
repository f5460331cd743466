"""The run sheet as PDF: one side of A4 or Letter to work from, rack and sources on request. Safe in grey."""

import io
from collections.abc import Sequence
from typing import Any
from xml.sax.saxutils import escape

from reportlab.lib import colors
from reportlab.lib.pagesizes import A4, LETTER
from reportlab.lib.styles import ParagraphStyle
from reportlab.lib.units import mm
from reportlab.platypus import Flowable, KeepInFrame, PageBreak, Paragraph, SimpleDocTemplate, Table

from areacalc.report.drawing_pdf import drawing_pdf
from areacalc.report.explain import Link
from areacalc.report.pdf_letters import face, in_face
from areacalc.report.sheet import Sheet

_MARGIN_MM = 11.0
_LONGEST = 60  # letters of a name
_SMALLEST = 2.0  # times a side is shrunk at most before it is squeezed


def sheet_pdf(sheet: Sheet, letter: bool = False, back: bool = False) -> bytes:
    """The sheet as PDF bytes: one page, shrunk to it where a load says much; `back` adds rack and sources."""
    size, margin = LETTER if letter else A4, _MARGIN_MM * mm
    out = io.BytesIO()
    document = SimpleDocTemplate(
        out, pagesize=size, leftMargin=margin, rightMargin=margin, topMargin=margin, bottomMargin=margin,
        title=f"Run sheet: {sheet.name}", author="areacalc", initialFontName=face(),
    )  # fmt: skip
    wide, high = size[0] - 2 * margin - 12, size[1] - 2 * margin - 12  # the frame keeps 6 points on each side
    story: list[Flowable] = [KeepInFrame(wide, high, _fitting(sheet, wide, high), mode="shrink")]
    if back:
        story.append(PageBreak())
        if sheet.drawing is not None:
            story.append(drawing_pdf(sheet.drawing))  # to scale, so never shrunk
        story += _back(sheet, wide)
    document.build(story)
    return out.getvalue()


def _fitting(sheet: Sheet, wide: float, high: float) -> list[Flowable]:
    """The front as wide as it must be to fit the page when it is shrunk to the page's width."""
    times = 1.0
    while True:
        made = _front(sheet, times * wide)
        if times > _SMALLEST or sum(each.wrap(times * wide, 1e6)[1] for each in made) <= times * high:
            return made
        times += 0.03


def _front(sheet: Sheet, wide: float) -> list[Flowable]:
    if not sheet.can_run:
        return [_head(sheet, wide), _stamp(wide), *_faults(sheet, 12.0, wide)]
    return [
        _head(sheet, wide), _settings(sheet, wide), *_parts(sheet, wide), *_faults(sheet, 8.5, wide),
        *_cautions(sheet, wide), *_steps(sheet, wide), *_readings(sheet, wide),
    ]  # fmt: skip


def _text(text: str, size: float = 9.0, bold: bool = False, align: int = 0) -> Flowable:
    style = ParagraphStyle("", fontName=face(bold), fontSize=size, leading=1.18 * size, alignment=align)
    return Paragraph(escape(in_face(text)), style)


def _title(text: str) -> Flowable:
    return _table([[_text(text, 9.5, bold=True)]], [None], [("LINEBELOW", (0, 0), (-1, -1), 1.2, "black")])


def _table(
    rows: Sequence[Sequence[object]], widths: Sequence[float | None], style: Sequence[tuple[Any, ...]]
) -> Flowable:
    plain: list[tuple[Any, ...]] = [
        ("VALIGN", (0, 0), (-1, -1), "TOP"), ("FONTNAME", (0, 0), (-1, -1), face()),
        ("LEFTPADDING", (0, 0), (-1, -1), 2), ("RIGHTPADDING", (0, 0), (-1, -1), 4),
        ("TOPPADDING", (0, 0), (-1, -1), 1.5), ("BOTTOMPADDING", (0, 0), (-1, -1), 1.5),
    ]  # fmt: skip
    painted = [(*each[:-1], colors.toColor(each[-1])) if isinstance(each[-1], str) and each[0] != "VALIGN" else each
               for each in style]  # fmt: skip
    return Table(rows, colWidths=widths, style=[*plain, *painted])


def _head(sheet: Sheet, wide: float) -> Flowable:
    blanks = "date ________________   by ______________"
    large = 18 if len(sheet.name) <= _LONGEST else 11
    title = [_text(sheet.name, large, bold=True), _text(sheet.what, 9)]
    return _table([[title, _text(blanks, 10, align=2)]],
                  [0.5 * wide, 0.5 * wide], [])  # fmt: skip


def _cut(name: str) -> str:
    return name if len(name) <= _LONGEST else f"{name[: _LONGEST - 3]}..."


def _stamp(wide: float) -> Flowable:
    """Across the page of a load that must not run."""
    box = [
        ("BOX", (0, 0), (-1, -1), 3, "black"),
        ("BOTTOMPADDING", (0, 0), (-1, -1), 14),
        ("TOPPADDING", (0, 0), (-1, -1), 10),
    ]
    return _table([[_text("DO NOT RUN THIS AS IT STANDS", 30, bold=True, align=1)]], [wide], box)


def _settings(sheet: Sheet, wide: float) -> Flowable:
    cells = [[_text(s.label, 9), _text(s.value, 19, bold=True), _text(s.bounds, 8)] for s in sheet.settings]
    bath = [_text("bath", 9), _text(sheet.bath, 11, bold=True), *(_text(each, 8) for each in sheet.tank)]
    each = wide / (len(cells) + 1)
    return _table([[*cells, bath]], [each] * (len(cells) + 1), [("GRID", (0, 0), (-1, -1), 1, "black")])


def _parts(sheet: Sheet, wide: float) -> list[Flowable]:
    rows = [[_text(f"{count} x {_cut(name)}", 10, bold=True),
             _text("; ".join(covered) or "nothing plugged or masked", 9)]
            for count, name, covered in sheet.parts]  # fmt: skip
    title = _title("What hangs, which way up (blue: its mouths), and what is plugged or masked")
    if sheet.glance is None:
        return [title, _table(rows, [0.28 * wide, 0.72 * wide], [])]
    listed = _table([[each] for each in rows], [0.36 * wide], [])
    seen = [each for each in (sheet.closeup, sheet.glance) if each is not None]
    share = 0.64 * wide / sum(each.wide_mm for each in seen)
    widths = [0.36 * wide, *(share * each.wide_mm for each in seen)]
    return [title, _table([[listed, *map(drawing_pdf, seen)]], widths, [])]


def _cautions(sheet: Sheet, wide: float) -> list[Flowable]:
    whole = sum(map(len, sheet.cautions))
    half = next((n for n in range(len(sheet.cautions)) if 2 * sum(map(len, sheet.cautions[:n])) >= whole), 0)
    columns = [[_text(f"- {each}", 6.8) for each in part] for part in (sheet.cautions[:half], sheet.cautions[half:])]
    return [_title("Cautions"), _table([columns], [0.5 * wide] * 2, [("BOX", (0, 0), (-1, -1), 1.2, "black")])]


def _steps(sheet: Sheet, wide: float) -> list[Flowable]:
    rows = [
        [_text("[  ]", 11), _text(f"{n}", 10), _text(s.name, 10, bold=True),
         _text(f"{s.minutes} min" if s.minutes else "", 9), _text(f"{s.does} Look for: {s.look_for}.", 8),
         _text("from ____ to ____", 8, align=2)]
        for n, s in enumerate(sheet.steps, 1)
    ]  # fmt: skip
    widths = [0.05 * wide, 0.035 * wide, 0.1 * wide, 0.13 * wide, 0.525 * wide, 0.16 * wide]
    return [_title("Steps"), _table(rows, widths, [("LINEBELOW", (0, 0), (-1, -1), 0.3, "grey")])]


def _readings(sheet: Sheet, wide: float) -> list[Flowable]:
    head = [_text(word, 8) for word in ("after", "expected current", "expected volts", *sheet.blanks)]
    rows = [head, *([_text(r.at, 9), _text(r.current, 9), _text(r.volts, 9), "", "", ""] for r in sheet.readings)]
    grid = [
        ("GRID", (0, 0), (-1, -1), 0.6, "black"),
        ("BOTTOMPADDING", (0, 1), (-1, -1), 4),
        ("TOPPADDING", (0, 1), (-1, -1), 4),
    ]
    return [_title("Read the meters"), _table(rows, [0.1 * wide, 0.17 * wide, 0.19 * wide, *[0.18 * wide] * 3], grid)]


def _faults(sheet: Sheet, size: float, wide: float) -> list[Flowable]:
    lines = [f"{words}: {text}" for _, words, text in sheet.faults] or ["no faults were found"]
    made = [_title("Faults, worst first"), _list([f"{n}. {line}" for n, line in enumerate(lines, 1)], size, wide)]
    if sheet.ways_out:
        made += [_title("Ways out"), _list([f"- {way}" for way in sheet.ways_out], size, wide)]
    return made


def _list(lines: Sequence[str], size: float, wide: float) -> Flowable:
    return _table([[_text(line, size)] for line in lines], [wide], [])


def _back(sheet: Sheet, wide: float) -> list[Flowable]:
    """What to expect, how it was worked out, and the sources, in letters that are read without a glass."""
    half = [[_text(s.label, 8.5), _text(s.value, 8.5, bold=True), _text(s.bounds, 8.5)] for s in sheet.expected]
    made: list[Flowable] = [_title("Expect"), _table(half, [0.34 * wide, 0.16 * wide, 0.5 * wide], [])]
    made += [_text(note, 8.5) for note in sheet.notes]
    made += [_title("How this was worked out; explain prints the whole chain"), *map(_link, sheet.derived)]
    return [*made, _title("Sources of faults and cautions"), *(_text(source, 8.0) for source in sheet.sources)]


def _link(link: Link) -> Flowable:
    return _text(f"{'. ' * link.depth}{link.name} = {link.value}: {link.how}", 8.0)
