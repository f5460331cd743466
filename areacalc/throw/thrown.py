"""What a bore takes of the current, with bounds: at its mouth, over its skin, where it is least."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

from areacalc.bath.voltage import Polarisation
from areacalc.estimate import Estimate
from areacalc.figure import Figure, constant, given, worked
from areacalc.sources import Kind, Source
from areacalc.throw.bore import Bore
from areacalc.throw.bore_line import AT_A_THIN_END, IN_A_FACE, LINE, Line, bore_line

WAGNER = Source(
    Kind.DERIVED,
    "kappa d(eta)/d(j), the Wagner number times its length (IUPAC Gold Book C01456); the law's slope is V0 / density",
)
_SHARE = Source(Kind.DERIVED, "share of the outside times what the outside gets")
_FORMULA = "exp(w), w along the bore from L S w'' = p exp(w), L the Wagner length"
_CAUSE = "slope of the law of volts, conductivity, how the mouth spreads"


@dataclass(frozen=True, slots=True)
class Thrown:
    """A bore's density [A/dm2] at its mouth, over its skin and where it is least; each as a share of the outside's.

    The film goes with the charge, so a share of the density is a share of the film. least_at_mm is from the first
    mouth; where names the bore in its figures.
    """

    mouth: Figure
    mean: Figure
    least: Figure
    mouth_share: Figure
    mean_share: Figure
    least_share: Figure
    least_at_mm: float
    where: str = ""

    def least_film(self, outside: Figure) -> Figure:
        """The film where it is thinnest, from the film outside [um]."""
        return _times(f"film where it is thinnest{self.where}", outside, self.least_share)


def wagner_length(law: Polarisation, kappa: Figure, density: Figure) -> Figure:
    """The Wagner length [mm] of a bath of conductivity kappa [S/m] at the outside's density [A/dm2].

    >>> from areacalc.figure import given
    >>> length = wagner_length(Polarisation(), given("kappa", 60.0, "S/m"), given("density", 1.5, "A/dm2"))
    >>> [round(x) for x in (length.estimate.low, length.estimate.value, length.estimate.high)]
    [1960, 2600, 3480]
    """
    slope = constant("volts per e-fold of current", law.evening)
    return worked("Wagner length", "mm", "conductivity x V0 / density outside", WAGNER,
                  lambda k, v, i: 10.0 * k * v / i, kappa, slope, density)  # fmt: skip


def down_the_bore(bore: Bore, wagner: Figure, density: Figure, name: str = "") -> Thrown:
    """The density down a bore from the Wagner length [mm] and the density on the outside [A/dm2]; name is told with it.

    Every share rises with the Wagner length and falls with what a mouth resists, so the ends of both bound it.
    """
    e = wagner.estimate
    lines = bore_line(bore, e.value), bore_line(bore, e.low), bore_line(bore, e.high, AT_A_THIN_END)
    where = f" in {name}" if name else ""
    mouths = "both mouths open" if bore.first_open and bore.last_open else "one mouth open"
    inputs = (
        wagner, given("depth of the bore", bore.depth_mm, "mm", Source(Kind.DERIVED, f"from the part; {mouths}")),
        given("skin in the bore", bore.skin_mm2, "mm2", Source(Kind.DERIVED, "from the part")),
        constant("mouth in a face", IN_A_FACE), constant("mouth at a thin end", AT_A_THIN_END),
    )  # fmt: skip

    def share(name: str, what: Callable[[Line], float]) -> Figure:
        value, low, high = (what(line) for line in lines)
        made = Estimate(value, low, high, _CAUSE)
        return Figure(f"share of the outside {name}{where}", made, "", _FORMULA, LINE, inputs)

    mouth, mean = share("at the mouth", lambda line: line.mouth), share("over the bore", lambda line: line.mean)
    least = share("where it is least", lambda line: line.least)
    return Thrown(
        _times(f"density at the mouth{where}", density, mouth), _times(f"density over the bore{where}", density, mean),
        _times(f"density where it is least{where}", density, least), mouth, mean, least, lines[0].least_at_mm, where,
    )  # fmt: skip


def _times(name: str, outside: Figure, share: Figure) -> Figure:
    return worked(name, outside.unit, "outside x share", _SHARE, lambda a, s: a * s, outside, share)
