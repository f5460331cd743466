"""A new tank drawn to scale as SVG: plan and front view, with dimensions in mm."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from xml.sax.saxutils import escape

from areacalc.plant.new_tank import TankDesign

_SCALES = (1.0, 2.0, 5.0, 10.0, 20.0, 50.0, 100.0)
_PAGE_MM = (190.0, 270.0)  # what a sheet of A4 upright leaves inside its margins
_MARGIN_MM, _BETWEEN_MM, _TITLE_MM = 22.0, 20.0, 26.0
_STYLE = (
    "text{font:3.2px sans-serif;fill:#2b2b2b}.t{font-size:4.6px;font-weight:bold}"
    ".tub{fill:#f4efe6;stroke:#8a7a5c}.wall{fill:#dfe3e0;stroke:#59615c}.acid{fill:#dcebe7;stroke:none}"
    ".cathode{fill:#9aa0a6;stroke:#4b5054}.load{fill:#e8b58a;stroke:#8c5426}.bar{fill:#c78a52;stroke:#6d4520}"
    ".level{stroke:#2d7d6f;stroke-dasharray:3 1.5;fill:none}.dim{stroke:#2b2b2b;fill:none}"
    "rect,line,path{stroke-width:.25px;vector-effect:none}"
)


@dataclass
class _Sheet:
    """Drawing marks on paper, in mm of paper; `scale` is mm of tank to one mm of paper."""

    scale: float
    marks: list[str] = field(default_factory=list)

    def box(self, kind: str, x: float, y: float, wide: float, high: float, name: str = "") -> None:
        """A rectangle: x, y on paper [mm], wide and high of the real thing [mm]."""
        s = self.scale
        label = f"<title>{escape(name)}</title>" if name else ""
        place = f'x="{x:.3f}" y="{y:.3f}" width="{wide / s:.3f}" height="{high / s:.3f}"'
        self.marks.append(f'<rect class="{kind}" {place}>{label}</rect>')

    def words(self, x: float, y: float, text: str, kind: str = "", anchor: str = "start", turn: bool = False) -> None:
        """Text at a place on paper."""
        turned = f' transform="rotate(-90 {x:.3f} {y:.3f})"' if turn else ""
        self.marks.append(
            f'<text class="{kind}" x="{x:.3f}" y="{y:.3f}" text-anchor="{anchor}"{turned}>{escape(text)}</text>'
        )

    def across(self, x: float, y: float, real_mm: float) -> None:
        """A dimension to the right from x, y."""
        end = x + real_mm / self.scale
        self.marks.append(
            f'<path class="dim" d="M{x:.3f} {y - 1.5:.3f}v3M{end:.3f} {y - 1.5:.3f}v3M{x:.3f} {y:.3f}H{end:.3f}"/>'
        )
        self.words(0.5 * (x + end), y - 0.8, f"{real_mm:.4g}", anchor="middle")

    def down(self, x: float, y: float, real_mm: float) -> None:
        """A dimension downward from x, y."""
        end = y + real_mm / self.scale
        self.marks.append(
            f'<path class="dim" d="M{x - 1.5:.3f} {y:.3f}h3M{x - 1.5:.3f} {end:.3f}h3M{x:.3f} {y:.3f}V{end:.3f}"/>'
        )
        self.words(x - 0.8, 0.5 * (y + end), f"{real_mm:.4g}", anchor="middle", turn=True)


def tank_svg(design: TankDesign) -> str:
    """The drawing as one SVG document, sized in mm so that it prints to the scale it names."""
    tank, tub = design.tank, design.tub
    assert tank.depth_mm is not None
    walls_mm = tank.depth_mm + (tank.freeboard_mm or 0.0)
    real = (tub.length_mm, tub.width_mm + walls_mm + 2.0 * design.choices.wall_mm)
    room = (_PAGE_MM[0] - 2.0 * _MARGIN_MM, _PAGE_MM[1] - 2.0 * _MARGIN_MM - _BETWEEN_MM - _TITLE_MM)
    scale = next((s for s in _SCALES if real[0] / s <= room[0] and real[1] / s <= room[1]), _SCALES[-1])
    sheet = _Sheet(scale)
    top = _MARGIN_MM + _TITLE_MM
    sheet.words(_MARGIN_MM, 14.0, f"Anodising tank, {tank.liquid_l:.4g} L of bath", "t")
    sheet.words(
        _MARGIN_MM, 20.0, f"Scale 1 : {scale:g} on paper; dimensions in mm. Load: {design.load.words or 'as given'}"
    )
    strips = design.cathodes
    sheet.words(
        _MARGIN_MM, 25.0,
        f"Cathodes: {strips.count} x {strips.width_mm:g} mm, {strips.immersed_mm:g} mm immersed, {strips.metal}",
    )  # fmt: skip
    _plan(sheet, design, _MARGIN_MM, top)
    front_top = top + tub.width_mm / scale + _BETWEEN_MM
    bottom = _front(sheet, design, _MARGIN_MM, front_top)
    wide, high = tub.length_mm / scale + 2.0 * _MARGIN_MM, bottom + 14.0
    wide = max(wide, 150.0)
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{wide:.1f}mm" height="{high:.1f}mm" '
        f'viewBox="0 0 {wide:.1f} {high:.1f}"><title>Anodising tank to scale</title><style>{_STYLE}</style>'
        + "".join(sheet.marks)
        + "</svg>\n"
    )


def _plan(sheet: _Sheet, design: TankDesign, left: float, top: float) -> None:
    """Looking down: tub, tank, two rows of cathodes, the load and the bar over it."""
    tank, tub, strips, load, s = design.tank, design.tub, design.cathodes, design.load, sheet.scale
    assert tank.length_mm is not None
    assert tank.width_mm is not None
    wall = design.choices.wall_mm
    sheet.words(left, top - 8.0, "Plan")
    sheet.box("tub", left, top, tub.length_mm, tub.width_mm, "outer tub")
    x = left + 0.5 * (tub.length_mm - tank.length_mm) / s
    y = top + 0.5 * (tub.width_mm - tank.width_mm) / s
    sheet.box("wall", x - wall / s, y - wall / s, tank.length_mm + 2 * wall, tank.width_mm + 2 * wall, "tank wall")
    sheet.box("acid", x, y, tank.length_mm, tank.width_mm, "bath")
    middle = y + 0.5 * tank.width_mm / s
    off_mm = 0.5 * load.thickness_mm + (strips.distance_mm or 0.0)
    for i in range(strips.count // 2):
        at = x + (design.pitch_mm * (i + 0.5) - 0.5 * strips.width_mm) / s
        sheet.box("cathode", at, middle - (off_mm + strips.thickness_mm) / s, strips.width_mm, strips.thickness_mm)
        sheet.box("cathode", at, middle + off_mm / s, strips.width_mm, strips.thickness_mm)
    load_x = x + 0.5 * (tank.length_mm - load.length_mm) / s
    sheet.box("load", load_x, middle - 0.5 * load.thickness_mm / s, load.length_mm, load.thickness_mm, "load")
    sheet.across(x, y - 2.0 - wall / s, tank.length_mm)
    sheet.across(load_x, middle + (0.5 * load.thickness_mm) / s + 5.0, load.length_mm)
    sheet.down(left - 4.0, y, tank.width_mm)
    sheet.down(x + tank.length_mm / s - 3.0, middle + 0.5 * load.thickness_mm / s, strips.distance_mm or 0.0)
    sheet.across(left, top + tub.width_mm / s + 5.0, tub.length_mm)
    sheet.down(left + tub.length_mm / s + 6.0, top, tub.width_mm)


def _front(sheet: _Sheet, design: TankDesign, left: float, top: float) -> float:
    """From the front: levels, the load with one row of cathodes behind it. Returns the lowest mark on paper [mm]."""
    tank, tub, strips, load, s = design.tank, design.tub, design.cathodes, design.load, sheet.scale
    assert tank.length_mm is not None
    assert tank.depth_mm is not None
    wall, freeboard = design.choices.wall_mm, tank.freeboard_mm or 0.0
    height = tank.depth_mm + freeboard
    floor = top + height / s
    x = left + 0.5 * (tub.length_mm - tank.length_mm) / s
    sheet.words(left, top - 8.0, "Front")
    sheet.box("tub", left, floor + (wall - tub.height_mm) / s, tub.length_mm, tub.height_mm, "outer tub")
    sheet.box("wall", x - wall / s, top, tank.length_mm + 2 * wall, height + wall, "tank wall")
    sheet.box("acid", x, top + freeboard / s, tank.length_mm, tank.depth_mm, "bath")
    level = top + freeboard / s
    for i in range(strips.count // 2):
        at = x + (design.pitch_mm * (i + 0.5) - 0.5 * strips.width_mm) / s
        above = strips.whole_length_mm - strips.immersed_mm
        sheet.box("cathode", at, level - above / s, strips.width_mm, strips.whole_length_mm)
    load_x, load_y = x + 0.5 * (tank.length_mm - load.length_mm) / s, level + design.above_mm / s
    sheet.box("bar", x - (wall + 50.0) / s, top - 12.0 / s, design.bar.length_mm, 10.0, "anode bar")
    sheet.box("load", load_x, load_y, load.length_mm, load.height_mm, "load")
    end = x + tank.length_mm / s
    sheet.marks.append(f'<path class="level" d="M{x:.3f} {level:.3f}H{end:.3f}"/>')
    sheet.down(left - 4.0, level, tank.depth_mm)
    sheet.down(left - 10.0, top, height)
    sheet.down(end - 3.0, level, strips.immersed_mm)
    sheet.down(load_x + 4.0, load_y, load.height_mm)
    under = tank.depth_mm - design.above_mm - load.height_mm
    sheet.down(load_x + 4.0, load_y + load.height_mm / s, under)
    sheet.down(left + tub.length_mm / s + 6.0, floor + (wall - tub.height_mm) / s, tub.height_mm)
    if strips.count > 2:
        first = x + 0.5 * design.pitch_mm / s
        sheet.across(first, floor + wall / s + 6.0, design.pitch_mm)
    return math.ceil(floor + wall / s + 8.0)
