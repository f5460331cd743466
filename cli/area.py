"""`areacalc area`: the wetted area of part files, feature by feature."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from . import show as out
from .options import (
    Accuracy,
    Add,
    AsDrawn,
    ChoicesFile,
    ClusterOption,
    ContactOption,
    Count,
    Deep,
    FilesOrFolders,
    Force,
    Jobs,
    Json,
    LeastGap,
    LiquidLine,
    Mask,
    Plug,
    Quiet,
    Send,
    Show,
    ShowOption,
    TableOption,
    UnitOption,
    Up,
    WetOnly,
    counts,
    hung_by,
    open_parts,
    refuse_with_table,
    refuse_without_table,
)

if TYPE_CHECKING:
    from areacalc.part.part import Part
    from areacalc.surface.air.hanging import Hanging
    from areacalc.surface.wetted import WettedArea

_LISTED = 5  # pockets, the largest first


def area(
    files: FilesOrFolders,
    unit: UnitOption = None,
    plug: Plug = None,
    mask: Mask = None,
    wet_only: WetOnly = None,
    contact: ContactOption = None,
    add: Add = None,
    choices: ChoicesFile = None,
    as_drawn: AsDrawn = False,
    up: Up = None,
    liquid_line: LiquidLine = None,
    accuracy: Accuracy = None,
    least_gap: LeastGap = None,
    deep: Deep = None,
    count: Count = None,
    show: ShowOption = Show.MM,
    quiet: Quiet = False,
    json: Json = False,
    table: TableOption = None,
    jobs: Jobs = None,
    cluster: ClusterOption = None,
    send: Send = False,
    force: Force = False,
) -> None:
    """Find the area that the acid touches, with every bore named.

    Example: areacalc area knob.stl --unit mm --plug bore-1
    """
    from areacalc.errors import BadInput
    from areacalc.many.part_files import part_files

    by = hung_by(accuracy, least_gap, deep) if up is not None else None
    hanging = {"--liquid-line": liquid_line, "--accuracy": accuracy, "--least-gap": least_gap, "--deep": deep}
    for option, given in hanging.items():
        if up is None and given is not None:
            raise BadInput(option, "given without --up", "say what points up, such as --up z+")
    paths = part_files(files)
    numbers = counts(count, paths)
    if table is not None:
        from areacalc.many.asked import asked_of
        from areacalc.surface.choice import read_choices

        from .many import make_table, workers

        refuse_with_table({"--json": json, "--quiet": quiet, "--show in": show is Show.IN})
        beside = read_choices(choices) if choices is not None else None
        asked = asked_of(
            unit, plug or (), mask or (), wet_only or (), contact or (), add or (), as_drawn=as_drawn, choices=beside,
            up=up, line=liquid_line, by=by,
        )  # fmt: skip
        make_table(paths, numbers, asked, table, lambda: workers(jobs, cluster, send, len(paths)), force)
        return
    refuse_without_table({"--jobs": jobs, "--cluster": cluster, "--send": send or None})
    parts = open_parts([str(path) for path in paths], unit, choices, as_drawn, plug, mask, wet_only, contact, add)
    parts = [part.hung(up, liquid_line, by) for part in parts] if up is not None else parts
    wetted = [part.wetted() for part in parts]
    if json:
        from areacalc.report.documents import area_document

        out.json_out(area_document(parts, wetted, numbers))
        return
    from areacalc.estimate import total

    over_all = total(w.value.scaled(n) for w, n in zip(wetted, numbers, strict=True))
    if quiet:
        out.say(out.area_text(over_all.value, show))
        return
    for part, found, number in zip(parts, wetted, numbers, strict=True):
        print_part(part, found, number, show)
    if len(parts) > 1 or numbers != [1] * len(parts):
        out.say(f"All parts: {out.area_text(over_all.value, show)} wetted ({out.bounds_text(over_all, show)})")


def print_part(part: Part, wetted: WettedArea, number: int, show: Show) -> None:
    body = part.body
    times = f"{number} x " if number > 1 else ""
    size = " x ".join(out.length_text(s, show).split()[0] for s in body.size_mm)
    state = "closed" if body.closed else "open"
    plural = "body" if body.bodies == 1 else "bodies"
    unit = f"unit {body.unit.name} ({body.unit.how})"
    out.say(f"{times}{part.name}: {size} {show.value}, {body.bodies} {plural}, {state}, {unit}")
    heads = ("feature", "state", "diameter", "depth", f"area [{show.value}2]", "least to most")
    out.table("", heads, _rows(wetted, show), right=(2, 3, 4, 5))
    if stepped := list(dict.fromkeys(row.feature.name for row in wetted.rows if row.feature.stepped)):
        more = f" and {len(stepped) - _LISTED} more" if len(stepped) > _LISTED else ""
        has = "has" if len(stepped) == 1 else "have"
        out.say(
            f"{', '.join(stepped[:_LISTED])}{more} {has} several diameters; the table shows the smallest, and the "
            "area of all steps."
        )
    bounds = out.bounds_text(wetted.value, show)
    out.say(f"Wetted area: {out.area_text(wetted.value.value, show)} ({bounds})")
    if wetted.value.because and " to " in bounds:
        out.say(f"Uncertain because: {wetted.value.because}")
    if part.hanging is not None:
        print_hanging(part.hanging, show)
    out.notes(wetted.notes, show)


def print_hanging(hung: Hanging, show: Show) -> None:
    from areacalc.report.figures import shown

    inch = show is Show.IN
    air, liquid = hung.air, hung.liquid
    if hung.skin.open:
        out.say("Trapped air and carried liquid cannot be computed: the mesh has holes.")
        return
    for pocket, width in zip(air.pockets[:_LISTED], hung.vent_widths_mm, strict=False):
        way = f", through a way {out.length_text(width, show)} wide" if width is not None else ""
        volume = shown(pocket.volume_mm3 / 1000, "mL", inch)
        out.say(f"Trapped air: {volume}; it would escape at {out.place_text(pocket.escapes_at, show)}{way}.")
    if len(air.pockets) > _LISTED:
        out.say(f"and {len(air.pockets) - _LISTED} smaller pockets of air")
    for cup in liquid.pockets[:_LISTED]:
        volume = shown(cup.volume_mm3 / 1000, "mL", inch)
        out.say(f"Carried out: {volume} of liquid, running over at {out.place_text(cup.escapes_at, show)}.")
    if len(liquid.pockets) > _LISTED:
        out.say(f"and {len(liquid.pockets) - _LISTED} smaller cups")
    if not liquid.pockets:
        out.say("Carried out: nothing in bores or cups.")
    if hung.accuracy_deg > 0.0:
        out.say(f"Least and most cover a tilt of {hung.accuracy_deg:g} degrees to any side.")


def _rows(wetted: WettedArea, show: Show) -> Sequence[Sequence[str]]:
    return [
        (
            row.feature.name,
            row.state.value,
            out.length_text(row.feature.diameter_mm, show),
            out.length_text(row.feature.depth_mm, show),
            out.area_text(row.area_mm2.value, show).split()[0],
            out.bounds_text(row.area_mm2, show).rsplit(" ", 1)[0],
        )
        for row in wetted.rows
    ]
