"""Screw threads by their designation, and the developed area of their helical basic profile."""

import math
import re
from dataclasses import dataclass
from fractions import Fraction

from areacalc.errors import BadInput
from areacalc.sources import Constant, Kind, Source

COARSE_PITCH_MM = {
    1.6: 0.35, 2.0: 0.4, 2.5: 0.45, 3.0: 0.5, 3.5: 0.6, 4.0: 0.7, 5.0: 0.8, 6.0: 1.0, 7.0: 1.0, 8.0: 1.25, 10.0: 1.5,
    12.0: 1.75, 14.0: 2.0, 16.0: 2.0, 18.0: 2.5, 20.0: 2.5, 22.0: 2.5, 24.0: 3.0, 27.0: 3.0, 30.0: 3.5, 33.0: 3.5,
    36.0: 4.0,
}  # fmt: skip
"""Coarse pitches, ISO 261 (M2 to M20 checked against published tables, the rest from memory)."""

COARSE_TPI = {
    "#4": 40, "#5": 40, "#6": 32, "#8": 32, "#10": 24, "#12": 24, "1/4": 20, "5/16": 18, "3/8": 16, "7/16": 14,
    "1/2": 13, "9/16": 12, "5/8": 11, "3/4": 10, "7/8": 9, "1": 8,
}  # fmt: skip
"""UNC threads an inch, ASME B1.1 (from memory; give the pitch, as in 3/8-16, to be sure)."""

ISO_PROFILE = Source(
    Kind.PUBLISHED, "ISO 68-1 basic profile: 60 degrees, H = P sqrt(3)/2, d1 = d - 5H/4, d2 = d - 3H/4"
)
HEIGHT_PER_PITCH = Constant(math.sqrt(3) / 2, "mm/mm", ISO_PROFILE)
_METRIC = re.compile(r"M\s*(?P<d>\d{1,4}(?:[.,]\d{1,6})?)(?:\s*[x×*-]\s*(?P<p>\d{1,4}(?:[.,]\d{1,6})?))?$", re.I)
_PART = r"\d{1,3}/[1-9]\d{0,2}"
_INCH = re.compile(
    rf"(?P<d>#\d{{1,2}}|\d{{1,3}}[- ]{_PART}|{_PART}|\d{{1,3}}(?:\.\d{{1,6}})?)\"?(?:\s*-\s*(?P<tpi>\d{{1,4}}))?"
    r"(?:\s*(?P<series>UNC|UNF|UNEF|UN))?$",
    re.I,
)


@dataclass(frozen=True, slots=True)
class Thread:
    """A single-start 60 degree thread: what it is called, nominal diameter and pitch [mm]."""

    name: str
    major_mm: float
    pitch_mm: float

    @property
    def minor_mm(self) -> float:
        return self.major_mm - 1.25 * HEIGHT_PER_PITCH.value * self.pitch_mm

    @property
    def area_per_length_mm(self) -> float:
        """Developed area of the basic profile for each mm of length [mm2/mm].

        Two helicoid flanks z = r tan(30 deg) + P theta / 2 pi between d1 and d, a crest flat P/8 wide at d and a root
        flat P/4 wide at d1, all for one turn, over P. Derived; the flank integral in closed form.

        >>> round(Thread("M6", 6.0, 1.0).area_per_length_mm, 4)
        27.6822
        """
        pitch = self.pitch_mm
        flank = 2 * math.pi * (_flank(self.major_mm / 2, pitch) - _flank(self.minor_mm / 2, pitch))
        flats = math.pi * (self.major_mm * pitch / 8 + self.minor_mm * pitch / 4)
        return (2 * flank + flats) / pitch


def _flank(radius_mm: float, pitch_mm: float) -> float:
    """Antiderivative of the helicoid's area element over radius, for one radian [mm2]."""
    a = 4.0 / 3.0  # 1 + tan^2 30 deg
    b = pitch_mm / (2 * math.pi)
    root = math.sqrt(a)
    return 0.5 * radius_mm * math.sqrt(a * radius_mm**2 + b * b) + b * b / (2 * root) * math.asinh(root * radius_mm / b)


def parse_thread(text: str, where: str = "thread") -> Thread:
    """The thread of a designation: "M10x1.5", "M10" (coarse), "3/8-16", "1/4-20 UNC", "#10-32". Raises BadInput.

    >>> parse_thread("M10")
    Thread(name='M10x1.5', major_mm=10.0, pitch_mm=1.5)
    >>> parse_thread("3/8-16 UNC").major_mm
    9.525
    """
    words = text.strip()
    made = _metric(words, where) or _inch(words, where)
    if made is None:
        raise BadInput(where, f"'{text}' is not a thread that is known", "write it like M10x1.5 or 3/8-16")
    if not 0.0 < made.pitch_mm < 0.35 * made.major_mm:
        what = f"'{text}' has a pitch of {made.pitch_mm:.4g} mm on {made.major_mm:.4g} mm"
        raise BadInput(where, what, "check diameter and pitch")
    return made


def _metric(words: str, where: str) -> Thread | None:
    found = _METRIC.match(words)
    if not found:
        return None
    major = float(found["d"].replace(",", "."))
    if found["p"]:
        pitch = float(found["p"].replace(",", "."))
    elif major in COARSE_PITCH_MM:
        pitch = COARSE_PITCH_MM[major]
    else:
        raise BadInput(where, f"M{major:g} has no coarse pitch in the table", f"give the pitch, as in M{major:g}x1")
    return Thread(f"M{major:g}x{pitch:g}", major, pitch)


def _inch(words: str, where: str) -> Thread | None:
    found = _INCH.match(words)
    if not found or (not found["tpi"] and not found["series"]):
        return None
    size = found["d"]
    coarse = COARSE_TPI.get(size) if (found["series"] or "").upper() == "UNC" else None
    tpi = int(found["tpi"]) if found["tpi"] else coarse
    if not tpi:
        raise BadInput(where, f"'{words}' gives no threads per inch", f"write it like {size}-16")
    return Thread(f"{size}-{tpi}", float(_inches(size) * Fraction(254, 10)), 25.4 / tpi)


def _inches(size: str) -> Fraction:
    if size.startswith("#"):
        return Fraction(60 + 13 * int(size[1:]), 1000)  # numbered sizes, ASME B1.1
    return sum((Fraction(part) for part in size.replace("-", " ").split()), Fraction(0))
