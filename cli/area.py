"""`areacalc area`: the wetted area of part files, feature by feature."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from areacalc.estimate import total
from areacalc.many.part_files import part_files

from . import show as out
from .grouped import grouped
from .options import Count, FilesOrFolders, Full, Json, Quiet, Show, ShowOption, counts, refuse
from .part_options import HangOptions, PartOptions, TableOptions

if TYPE_CHECKING:
    from areacalc.part.part import Part
    from areacalc.surface.air.hanging import Hanging
    from areacalc.surface.skin import Feature
    from areacalc.surface.wetted import WettedArea

_UNIT_FROM = {"declared": "from the file", "given": "as given", "checked": "as given, checked", "assumed": "assumed"}
_AIR = {"airlocked": "air", "air held": "bubble"}  # by the shape, and by surface tension in narrow bores
_LISTED = 5  # pockets, the largest first
_SAME_MM = 0.01
_WIDE = 0.01  # of an area: more wants its reason
_AXES = "xyz"


@grouped
def area(
    files: FilesOrFolders, of: PartOptions, hangs: HangOptions, many: TableOptions, count: Count = None,
    full: Full = False, show: ShowOption = Show.MM, quiet: Quiet = False, json: Json = False,
) -> None:  # fmt: skip
    """Find the area that the acid touches, with every bore named.

    Example: areacalc area knob.stl --unit mm --plug bore-1
    """
    hangs.by()
    paths = part_files(files)
    if many.table is not None:
        paths = list(dict.fromkeys(paths))  # a row a file
    numbers = counts(count, paths)
    if many.table is not None:
        what = "cannot be used with --out, whose table has all figures in mm"
        refuse({"--json": json or None}, what, "leave it out; name the table .jsonl for JSON")
        refuse({"--quiet": quiet or None, "--show in": show is Show.IN or None}, what, "leave it out")
        from .many import make_table

        make_table(paths, numbers, of, hangs, many)
        return
    only = {"--jobs": many.jobs, "--cluster": many.cluster, "--send": many.send or None}
    refuse(only, "needs a table", "add --out table.csv, or leave it out")
    parts = hangs.hung(of.open([str(path) for path in paths]))
    wetted = [part.wetted() for part in parts]
    if json:
        from areacalc.report.documents import area_document

        out.json_out(area_document(parts, wetted, numbers))
        return
    over_all = total(w.value.scaled(n) for w, n in zip(wetted, numbers, strict=True))
    if quiet:
        out.say(out.area_text(over_all.value, show, 5))
        return
    if full or len(parts) == 1:
        for part, found, number in zip(parts, wetted, numbers, strict=True):
            print_part(part, found, number, show, full)
    if len(parts) > 1 and not full:
        _print_load(parts, wetted, numbers, show)
    if numbers != [1]:
        out.say(f"All {sum(numbers)} parts: {out.whole_area(over_all, show)} wetted")
    if len(parts) > 1 and not full:
        for part in parts:
            out.left_dry(part, show)
            if part.hanging is not None and part.hanging.air.pockets:
                print_hanging(part, part.hanging, show)
        out.notes_of(parts, show)
    if not full and (len(parts) > 1 or any(row.feature.stepped for row in wetted[0].rows)):
        out.say("Features and steps of bores: --full" if len(parts) > 1 else "Each step of the bores: --full")


def _print_load(parts: Sequence[Part], wetted: Sequence[WettedArea], numbers: Sequence[int], show: Show) -> None:
    areas = (f"each [{show.value}2]", "least to most", f"all [{show.value}2]")
    rows = [
        (f"{n}", name, _size(part, show), out.area_text(found.value.value, show).split()[0],
         out.bounds_text(found.value, show).rsplit(" ", 1)[0],
         out.area_text(n * found.value.value, show).split()[0])
        for part, name, found, n in zip(parts, _told_apart(parts), wetted, numbers, strict=True)
    ]  # fmt: skip
    out.table("Wetted area", ("count", "part", f"size [{show.value}]", *areas), rows, right=(0, 3, 4, 5))


def _told_apart(parts: Sequence[Part]) -> list[str]:
    """The names of the parts; where two are the same, the names of their files."""
    names = [part.name for part in parts]
    return [part.body.source if names.count(part.name) > 1 else part.name for part in parts]


def _size(part: Part, show: Show) -> str:
    return " x ".join(_bare(side, show) for side in part.body.size_mm)


def print_part(part: Part, wetted: WettedArea, number: int, show: Show, full: bool = False) -> None:
    """One part, a row a feature; with `full` the steps of its bores, and least and most of each feature."""
    body = part.body
    times = f"{number} x " if number > 1 else ""
    state = "no gaps" if body.closed else "with gaps"
    unit = f"file unit {body.unit.name} ({_UNIT_FROM[body.unit.how.value]})"
    bodies = out.counted(body.bodies, "body")
    out.say(f"{times}{part.name}: {_size(part, show)} {show.value}, {bodies}, {state}, {unit}")
    across, depth = f"across [{show.value}]", f"depth [{show.value}]"
    heads = ("feature", "state", across, depth, "opens", f"area [{show.value}2]", "least to most")
    rows = _rows(wetted, show)
    columns = len(heads) if full else len(heads) - 1
    out.table("", heads[:columns], [row[:columns] for row in rows], right=(2, 3, 5, 6))
    from areacalc.report.words.telling import joined

    if stepped := list(dict.fromkeys(row.feature.name for row in wetted.rows if row.feature.stepped)):
        more = [f"{len(stepped) - _LISTED} more"] if len(stepped) > _LISTED else []
        named, has = joined([*stepped[:_LISTED], *more]), "has" if len(stepped) == 1 else "have"
        out.say(f"{named} {has} several diameters; the table shows the smallest, and the area of all steps.")
    steps = list(dict.fromkeys(row.feature.name for row in wetted.rows if len(row.feature.steps) > 1)) if full else []
    if steps:
        of_steps = ("step", "kind", across, f"begins [{show.value}]", f"length [{show.value}]")
        out.table("", of_steps, _steps(part, steps, show), right=(2, 3, 4))
    _tell_places(list(dict.fromkeys(row.feature for row in wetted.rows)), show, full)
    out.say(f"Wetted area: {out.whole_area(wetted.value, show)}")
    unsaid = part.hanging is None and wetted.value.width > _WIDE * wetted.value.value
    if (full or unsaid) and wetted.value.because and out.bounds_text(wetted.value, show):
        out.say(f"Why least and most differ: {'; '.join(wetted.value.because)}")
    if part.hanging is not None:
        print_hanging(part, part.hanging, show)
    out.notes(wetted.notes, show, full=full)


def _tell_places(features: Sequence[Feature], show: Show, full: bool) -> None:
    """Which way the sides named lie, and where features of the same size open."""
    from areacalc.surface.sides import named_sides, opens_words

    if sides := named_sides(features):
        out.say(f"Sides: {', '.join(f'{side} is {axis}' for side, axis in sides)}.")
    alike: dict[tuple[str, ...], list[Feature]] = {}
    for each in features:
        if each.mouths:
            size = (_across(each, show), out.three(each.depth_mm or 0.0), opens_words(each))
            alike.setdefault(size, []).append(each)
    groups = [group for group in alike.values() if len(group) > 1]
    if told := [_apart(group, show) for group in (groups if full else groups[:_LISTED])]:
        out.say(f"Same size, told apart by place: {'; '.join(told)}.")


def _apart(group: Sequence[Feature], show: Show) -> str:
    """Where features alike open, by the axes along which that differs."""
    at = [each.mouths[0] for each in group]
    differ = [i for i in range(3) if max(p[i] for p in at) - min(p[i] for p in at) > _SAME_MM]
    listed = [f"{each.name} at {' '.join(f'{_AXES[i]} {_bare(each.mouths[0][i], show)}' for i in differ)}"
              for each in group[:_LISTED]]  # fmt: skip
    more = f" and {len(group) - _LISTED} more" if len(group) > _LISTED else ""
    return f"{', '.join(listed)} {show.value}{more}"


def print_hanging(part: Part, hung: Hanging, show: Show) -> None:
    from areacalc.report.words.hung import LEAST_CARRIED_MM3, air_words, carried_words, place_words

    inch = show is Show.IN
    air, liquid = hung.air, hung.liquid
    if hung.skin.open:
        out.say("Trapped air and carried liquid cannot be computed: the mesh has holes.")
        return
    for pocket in air.pockets[:_LISTED]:
        volume, where = air_words(pocket.volume_mm3, inch), place_words(pocket.escapes_at, part.skin)
        out.say(f"Trapped air: {volume}; the rest escapes at {where}.")
    if len(air.pockets) > _LISTED:
        out.say(f"and {len(air.pockets) - _LISTED} smaller pockets of air")
    cups = [cup for cup in liquid.pockets if cup.volume_mm3 >= LEAST_CARRIED_MM3]
    for cup in cups[:_LISTED]:
        carried, where = carried_words(cup.volume_mm3, inch), place_words(cup.escapes_at, part.skin)
        out.say(f"Liquid: {carried}, running over at {where}.")
    if len(cups) > _LISTED:
        out.say(f"and {len(cups) - _LISTED} smaller cups")
    if not cups:
        out.say("Carried out: nothing in bores or cups.")
    if hung.accuracy_deg > 0.0 and out.bounds_text(part.wetted().value, show):
        out.say(f"Least and most cover a tilt of {out.counted(hung.accuracy_deg, 'degree')} to any side.")


def _across(feature: Feature, show: Show) -> str:
    if feature.width_mm is None:
        return _bare(feature.diameter_mm, show)
    if feature.diameter_mm is not None:
        return f"{_bare(feature.width_mm, show)} x dia {_bare(feature.diameter_mm, show)}"
    return f"{_bare(feature.width_mm, show)} x {_bare(feature.length_mm, show)}"


def _bare(length_mm: float | None, show: Show) -> str:
    return out.length_text(length_mm, show).removesuffix(f" {show.value}")


def _steps(part: Part, names: Sequence[str], show: Show) -> Sequence[Sequence[str]]:
    """The steps of bores by name; `begins` counts from the first mouth."""
    return [
        (
            f"{name} step {number}",
            step.kind.value,
            *(_bare(mm, show) for mm in (step.diameter_mm, step.at_mm, step.depth_mm)),
        )
        for name in names[:_LISTED]
        for number, step in enumerate(part.skin.named(name).steps, 1)
    ]


def _rows(wetted: WettedArea, show: Show) -> Sequence[Sequence[str]]:
    from areacalc.surface.sides import opens_words

    least_mm2 = out.LEAST_AREA_MM2 if wetted.value.value >= out.LEAST_AREA_MM2 else 0.0  # else nothing would be shown
    return [
        (row.feature.name, _AIR.get(row.state.value, row.state.value), _across(row.feature, show),
         _bare(row.feature.depth_mm, show),
         opens_words(row.feature), out.area_text(row.area_mm2.value, show).split()[0],
         out.bounds_text(row.area_mm2, show).rsplit(" ", 1)[0])
        for row in wetted.rows if row.area_mm2.value >= least_mm2
    ]  # fmt: skip
