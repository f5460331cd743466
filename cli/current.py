"""`areacalc current`: the current to set on the supply."""

from typing import Annotated

import typer

from . import show as out
from .grouped import grouped
from .options import Json, Quiet, Show, ShowOption, counts, once_or_twice
from .part_options import PartOptions, WettedOptions

Density = Annotated[
    list[str] | None, typer.Option("--density", "-d", metavar="WINDOW", help="small-tank, decorative, conventional, "
                                   "hard, or your own: '12 to 15 A/ft2'."),
]  # fmt: skip


@grouped
def current(
    of: PartOptions, load: WettedOptions, density: Density = None, show: ShowOption = Show.MM,
    quiet: Quiet = False, json: Json = False,
) -> None:  # fmt: skip
    """Find the current to set for the wetted area, with its least and most.

    Example: areacalc current --area "9 in2"
    """
    from areacalc.bath.window import current_a, odd, window
    from areacalc.report.words.tell import tell

    chosen = window(once_or_twice(density, "--density") or "small-tank", "--density")
    wetted_area, parts = load.wetted(of)
    found = current_a(wetted_area, chosen)
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
    units, rows = ("A/ft2", "mA/in2") if inch else ("A/dm2", "A/ft2", "mA/in2"), [
        ("least", found.low_a, chosen.least_a_per_dm2), ("set", found.set_a, found.density_a_per_dm2),
        ("most", found.high_a, chosen.most_a_per_dm2),
    ]  # fmt: skip
    is_one, own = found.low_a == found.high_a, chosen.name == "own"
    out.table(
        "Current at your density" if own else f"Current, {chosen.name} window",
        ("", "current", *units),
        [(name, f"{out.three(amps)} A", *_densities(density)[-len(units):]) for name, amps, density in rows
         if name == "set" or not is_one],
        right=(1, 2, 3, 4),
    )  # fmt: skip
    out.say(f"Current density: {'entered by you' if own else chosen.source}")
    if (far := odd(chosen)) is not None:
        out.say(f"warning: {tell(far, show is Show.IN)}")
    if not found.is_sure:
        out.say("warning: the area is too uncertain for one current to stay inside the window; `area --full` says why")
    if parts:
        from areacalc.plan.throw import counted_whole, spared_mm2
        from areacalc.report.words.bores import counted_sentence

        numbers = counts(load.count, parts)
        bores = [(n, each) for n, part in zip(numbers, parts, strict=True)
                 for each in counted_whole(part, found.density_a_per_dm2)]  # fmt: skip
        if bores:
            spared = sum(n * spared_mm2(each) for n, each in bores)
            near_a = found.set_a * (1.0 - spared / wetted_area.value)
            out.say(f"note: {counted_sentence(each for _, each in bores)} So set about {out.three(near_a)} A.")
    out.notes_of(parts, show)
    out.short_cautions()


def _densities(a_per_dm2: float) -> tuple[str, str, str]:
    from areacalc.bath.window import a_per_ft2, ma_per_in2

    return out.three(a_per_dm2), out.three(a_per_ft2(a_per_dm2)), out.three(ma_per_in2(a_per_dm2))
