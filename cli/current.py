"""`areacalc current`: the current to set on the supply."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Annotated

from typer import Option

from areacalc.bath.window import a_per_ft2, current_a, ma_per_in2, odd, window
from areacalc.estimate import Estimate
from areacalc.fact import Fact

from . import show as out
from .grouped import grouped
from .options import Json, Quiet, Show, ShowOption, counts, once_or_twice
from .part_options import HangOptions, PartOptions, WettedOptions

if TYPE_CHECKING:
    from areacalc.part.part import Part

Density = Annotated[
    list[str] | None, Option("--density", "-d", metavar="WINDOW", help="small-tank (default), decorative, "
                             "conventional, hard, or your own: '12 to 15 A/ft2'."),
]  # fmt: skip


@grouped
def current(
    of: PartOptions, hangs: HangOptions, load: WettedOptions, density: Density = None, show: ShowOption = Show.MM,
    quiet: Quiet = False, json: Json = False,
) -> None:  # fmt: skip
    """Find the current to set for the wetted area, with its least and most.

    Example: areacalc current --area "9 in2"
    """
    from areacalc.report.words.tell import tell

    chosen = window(once_or_twice(density, "--density") or "small-tank", "--density")
    wetted_area, parts = load.wetted(of, hangs)
    numbers = counts(load.count, parts) if parts else []
    bores, takes = _bores(parts, numbers, chosen.middle_a_per_dm2, wetted_area)
    found = current_a(wetted_area.scaled(takes), chosen)
    if json:
        from areacalc.report.documents import current_document

        out.json_out(current_document(wetted_area, found))
        return
    if quiet:
        out.say(f"{out.five(found.set_a)} A")
        return
    out.say(f"Wetted area: {out.whole_area(wetted_area, show)}")
    for part in parts:
        if len(parts) > 1:
            out.say(f"  {part.name}: {out.area_text(part.wetted().value.value, show)} each")
        out.left_dry(part, show)
    inch = show is Show.IN
    units: dict[str, Callable[[float], float]] = {"A/dm2": float, "A/ft2": a_per_ft2, "mA/in2": ma_per_in2}
    if inch:
        del units["A/dm2"]
    is_one, own = found.low_a == found.high_a, chosen.name == "own"
    least, most = ("least", found.low_a, chosen.least_a_per_dm2), ("most", found.high_a, chosen.most_a_per_dm2)
    at = ("set", found.set_a, found.density_a_per_dm2)
    out.table(
        f"Current at {'your' if own else f'the {chosen.name}'} density",
        ("", "current", *units),
        [(name, f"{out.three(amps)} A", *(out.three(to(density)) for to in units.values()))
         for name, amps, density in ((at,) if is_one else (least, at, most))],
        right=(1, 2, 3, 4),
    )  # fmt: skip
    if (far := odd(chosen)) is not None:
        out.say(f"warning: {tell(far, show is Show.IN)}")
    if not found.is_sure:
        out.say("warning: the area is too uncertain for one current to stay inside the window; `area --full` says why")
    if bores:
        from areacalc.report.words.bores import bores_take

        out.say(f"With bores counted in full it would be {out.three(found.set_a / takes)} A. {bores_take(bores)}")
    out.say("You gave this density." if own else f"Density for {chosen.use} ({chosen.source}).")
    out.notes_of(parts, show)
    out.short_cautions()


def _bores(
    parts: Sequence[Part], numbers: Sequence[int], density_a_per_dm2: float, wetted_area: Estimate
) -> tuple[list[Fact], float]:  # fmt: skip
    """The bores that take less than their area's share, and the share of the area that sets the current."""
    from areacalc.plan.throw import counted_whole, spared_mm2

    told = [(n, each) for n, part in zip(numbers, parts, strict=True)
            for each in counted_whole(part, density_a_per_dm2)]  # fmt: skip
    spared = sum(n * spared_mm2(each) for n, each in told)
    return [each for _, each in told], 1.0 - spared / wetted_area.value
