"""What a bore takes of the current, with bounds: at its mouth, over its skin, where it is least."""

from collections.abc import Callable
from dataclasses import dataclass, replace

from areacalc.bath.voltage import Polarisation
from areacalc.estimate import Estimate
from areacalc.figure import Figure, constant, given, worked
from areacalc.sources import Constant, Kind, Source
from areacalc.throw.bore_line import AT_A_THIN_END, IN_A_FACE, LINE, Bore, BoreLine, bore_line

WAGNER = Source(
    Kind.DERIVED, "the longer, the more evenly the current spreads: the Wagner number times its length (IUPAC Gold "
    "Book C01456), conductivity times how fast the volts rise with the density",
)  # fmt: skip
FILM = Source(
    Kind.FROM_MEMORY, "the rise of volts with the coating taken as the coating's own resistance, half of it in the "
    "mean of the run",
)  # fmt: skip
_SHARE = Source(Kind.DERIVED, "share of the outside times what the outside gets")
_FORMULA = (
    "deeper in, the acid in the bore takes volts and less current flows; the share s at each spot follows from "
    "d/dx (S d/dx (L ln s + F s^2)) = p s, with S the bore's section, p its girth, L and F the two reaches"
)
_CAUSES = (
    "how fast the volts rise with the current", "how fast they rise with the coating", "conductivity",
    "how the current spreads at the mouth",
)  # fmt: skip
_OPEN = ("what comes in along its side",)
CATCHES_UP = 1.05


@dataclass(frozen=True, slots=True)
class Thrown:
    """A bore's density [A/dm2] at its mouth, over its skin and where it is least; each as a share of the outside's.

    The film goes with the charge, so a share of the density is a share of the film. least_at_mm is from the first
    mouth, or from the end of what plugs it; where names the bore in its figures. twice_share is the least share in a
    run for twice the film.
    """

    mouth: Figure
    mean: Figure
    least: Figure
    mouth_share: Figure
    mean_share: Figure
    least_share: Figure
    least_at_mm: float
    where: str = ""
    twice_share: float = 0.0

    @property
    def catches_up(self) -> bool:
        """Whether a longer run evens it out: twice the film brings the least share up by a twentieth."""
        return self.twice_share > CATCHES_UP * self.least_share.estimate.value

    def least_film(self, outside: Figure) -> Figure:
        """The film where it is thinnest, from the film outside [um]."""
        return _times(f"coating where it is thinnest{self.where}", outside, self.least_share)


@dataclass(frozen=True, slots=True)
class Evening:
    """What evens the current out: the bath's conductivity [S/m], the law of volts, the film's own resistance.

    film is the film at the end of the run [um], rise how the volts climb with it at steady current [V/um].
    """

    kappa: Figure
    law: Polarisation
    film: Figure
    rise: Constant

    def wagner_length(self, density: Figure, where: str = "down the bores") -> Figure:
        """The Wagner length [mm] at the outside's density [A/dm2]; where names it.

        >>> from areacalc.bath.voltage import RISE_WARM
        >>> bath = Evening(given("kappa", 60.0, "S/m"), Polarisation(), given("coating", 12.0, "um"), RISE_WARM)
        >>> lengths = bath.wagner_length(given("i", 1.5, "A/dm2")), bath.film_length(given("i", 1.5, "A/dm2"))
        >>> [(round(e.low), round(e.value), round(e.high)) for e in (each.estimate for each in lengths)]
        [(1960, 2600, 3480), (0, 120, 240)]
        """
        slope = constant("more volts for 2.72 times the current, at any density", self.law.evening)
        return worked(f"reach of the current {where} (Wagner length)", "mm",
                      "conductivity x more volts for 2.72 times the current / density outside", WAGNER,
                      lambda k, v, i: 10.0 * k * v / i, self.kappa, slope, density)  # fmt: skip

    def film_length(self, density: Figure) -> Figure:
        """The film length [mm] at the outside's density [A/dm2]: what half the film resists, the mean of the run."""
        rise = constant("rise of volts", self.rise)
        return worked("reach that the coating adds (coating length)", "mm",
                      "conductivity x rise x half the coating / density outside", FILM,
                      lambda k, r, h, i: 5.0 * k * r * h / i, self.kappa, rise, self.film, density)  # fmt: skip


def down_the_bore(bore: Bore, evening: Evening, density: Figure, name: str = "") -> Thrown:
    """The density down a bore in a bath at a density on the outside [A/dm2]; name is told with the figures.

    Every share rises with both lengths and falls with what a mouth resists, so their ends bound it. One open along its
    side takes no less than if it were closed, and no more than the outside.
    """
    wagner, film = evening.wagner_length(density), evening.film_length(density)
    w, f = wagner.estimate, film.estimate
    lines = (
        bore_line(bore, w.value, f.value),
        bore_line(replace(bore, side=0.0), w.low, f.low),
        bore_line(bore, w.high, f.high, AT_A_THIN_END),
    )
    where = f" in {name}" if name else ""
    set_ = "" if density.estimate.width else ", in the likeliest run"
    mouths = "both mouths open" if bore.first_open and bore.last_open else "one mouth open"
    inputs = (
        wagner, film, given("depth of the bore", bore.depth_mm, "mm", Source(Kind.DERIVED, f"from the part; {mouths}")),
        given("surface in the bore", bore.skin_mm2, "mm2", Source(Kind.DERIVED, "from the part")),
        constant("mouth in a face", IN_A_FACE), constant("mouth at a thin end", AT_A_THIN_END),
    )  # fmt: skip

    def share(name: str, what: Callable[[BoreLine], float]) -> Figure:
        value, low, high = (what(line) for line in lines)
        made = Estimate(value, low, 1.0 if bore.side else high, _CAUSES + _OPEN * (bore.side > 0.0))
        return Figure(f"share of the outside {name}{where}{set_}", made, "", _FORMULA, LINE, inputs)

    mouth, mean = share("at the mouth", lambda line: line.mouth), share("over the bore", lambda line: line.mean)
    least = share("where it is least", lambda line: line.least)
    return Thrown(
        _times(f"density at the mouth{where}", density, mouth), _times(f"density over the bore{where}", density, mean),
        _times(f"density where it is least{where}", density, least), mouth, mean, least, lines[0].least_at_mm, where,
        bore_line(bore, w.value, 2.0 * f.value).least,
    )  # fmt: skip


def _times(name: str, outside: Figure, share: Figure) -> Figure:
    return worked(name, outside.unit, "outside x share", _SHARE, lambda a, s: a * s, outside, share)
