"""`areacalc cathode`: how much cathode to hang."""

from dataclasses import dataclass

from areacalc.errors import BadInput
from areacalc.estimate import Estimate
from areacalc.plant.cathode import Cathode, cathode_for, ratio_fact
from areacalc.plant.cathode import ratio as ratio_of
from areacalc.quantity import Dimension

from . import show as out
from .grouped import grouped, option
from .options import Json, Quiet, Show, ShowOption, maybe
from .part_options import HangOptions, PartOptions, WettedOptions


@dataclass(frozen=True)
class StripOptions:
    """How much cathode, and the strips that it is."""

    ratio: str = option(
        "Cathode over part area: small-tank (2), one-third, equal, 3 ...", default="small-tank", metavar="NAME|NUMBER"
    )
    strip: str | None = option("Width of a strip: '50 mm', '2 in'.", metavar="LENGTH")
    depth: str | None = option("Depth of the liquid at the strips.", metavar="LENGTH")
    faces: int = option("Working faces of a strip: 1 at the wall, 2 hung clear of the wall.", default=1)

    def for_area(self, wetted: Estimate) -> Cathode:
        """The cathode for a wetted area. Raises BadInput."""
        if (self.strip is None) != (self.depth is None):
            raise BadInput("--strip", "a strip needs both its width and the liquid's depth", "give --strip and --depth")
        width_mm = maybe(self.strip, Dimension.LENGTH, "--strip")
        depth_mm = maybe(self.depth, Dimension.LENGTH, "--depth")
        return cathode_for(wetted, ratio_of(self.ratio), width_mm, depth_mm, self.faces)


@grouped
def cathode(
    of: PartOptions, hangs: HangOptions, load: WettedOptions, strips: StripOptions, show: ShowOption = Show.MM,
    quiet: Quiet = False, json: Json = False,
) -> None:  # fmt: skip
    """Find the cathode area facing the part, and how many strips that is.

    Example: areacalc cathode --area "9 in2" --strip "1 in" --depth "8 in"
    """
    from areacalc.bath.cautions import Hazard
    from areacalc.report.words.tell import tell

    wetted_area, parts = load.wetted(of, hangs)
    found = strips.for_area(wetted_area)
    if json:
        from areacalc.report.documents import cathode_document

        out.json_out(cathode_document(wetted_area, found))
        return
    if quiet:
        out.say(out.area_text(found.area_mm2.value, show, 5))
        return
    out.say(f"Wetted area: {out.whole_area(wetted_area, show)}")
    for part in parts:
        out.left_dry(part, show)
    out.say(f"Cathode area facing the part: {out.whole_area(found.area_mm2, show)}")
    source = "entered by you" if found.ratio.name == "own" else found.ratio.source
    out.say(f"Cathode over part area: {out.three(found.ratio.cathode_per_area)} to 1, {source}")
    if (said := ratio_fact(found.ratio)) is not None and found.ratio.name == "own":
        out.say(f"note: {tell(said, show is Show.IN)}")
    out.say(f"Counted: {found.counted}.")
    if found.strips:
        s = found.strips
        width, immersed = out.length_text(s.width_mm, show).split()[0], out.length_text(s.immersed_mm, show)
        face = out.area_text(s.count * s.width_mm * s.immersed_mm * strips.faces, show)
        out.say(
            f"Strips: {s.count} of {width} x {immersed} immersed, {s.per_side} on each side of the part: {face} in all."
        )
    out.notes_of(parts, show)
    out.short_cautions(Hazard.LEAD)
