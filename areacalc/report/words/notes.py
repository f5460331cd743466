"""Sentences about a file, its surface and how it hangs: what was odd, and what was decided in measuring it."""

from areacalc.digits import rounded
from areacalc.fact import Fact
from areacalc.part.part import PartNote
from areacalc.report.words.places import typed_at
from areacalc.report.words.telling import Catalogue, Telling, joined, sentences
from areacalc.shape.file_unit import PLAUSIBLE_SIZE
from areacalc.shape.kinds import FileNote
from areacalc.surface.air.narrow_mouths import Help
from areacalc.surface.notes import SurfaceNote

_NAMED = 6  # bores named one by one


def note_words(told: Fact, inch: bool = False) -> str:
    """The sentence of a note, in metric or US units.

    >>> from areacalc.fact import fact
    >>> note_words(fact(SurfaceNote.ALL_DRY))
    'the acid touches no surface of this part'
    """
    return Telling(told, inch).tell(NOTES[told.kind])


def _overruled(t: Telling) -> str:
    times = rounded(t.quantity("times").value, 4)
    return t(f"the file says its unit is {{file}}; in '{{taken}}', as given, it is {times} times as long. Leave the unit "
             "out to use the file's")  # fmt: skip


def _implausible(t: Telling) -> str:
    fits = t.fact["fits"] if "fits" in t else ()
    assert isinstance(fits, tuple)
    which = f" {str(fits[0]).split()[0]}" if len(fits) == 1 and typed_at("options") else ""
    cure = t(f"if its unit is {' or '.join(map(str, fits))}, give {{key:unit}}{which}") if fits else "check the unit"
    odd = "too small for any part" if t.quantity("length").value < PLAUSIBLE_SIZE.low else "too large for any tank"
    wide = " with a surface of {area}" if "area" in t else ""
    return t(f"in '{{unit}}' the part is {t.figures('length', 4)} long{wide}, {odd}; ") + cure


def _open(t: Telling) -> str:
    places = [t(f"at ({{place{n}}}) mm") for n in range(3) if f"place{n}" in t]
    more = t.count("count") - len(places)
    where = joined([*places, *([f"{more} more"] if more else [])])
    sheets = "it may be a sheet that is wet on both sides, or lack faces"
    reading = sheets if t.count("sheets") else "single faces are lost"
    drawing = "; if it is a drawing plane beside the part, up to {less} smaller"
    along, larger = t("the surface is open along {length}"), t("The true area may be up to {more} larger")
    return f"{along}, {where}: {reading}. {larger}" + (t(drawing) if t.quantity("less").value else "")


def bores_named(names: tuple[str, ...]) -> str:
    """Bores that are alike by name: all of a few, of more the first and how many.

    >>> bores_named(("bore-1", "bore-2")), bores_named(tuple("abcdefg"))
    ('bore-1 and bore-2', 'a and 6 like it')
    """
    return joined(list(names)) if len(names) <= _NAMED else f"{names[0]} and {len(names) - 1} like it"


def _held(t: Telling) -> str:
    names, helps = t.fact["features"], t.fact["helps"] if "helps" in t else ()
    assert isinstance(names, tuple)
    assert isinstance(helps, tuple)
    several, sure = len(names) > 1 and not t.count("chamber"), t.fact.kind is SurfaceNote.AIR_HELD
    which = ("the chamber in " if t.count("chamber") else "") + bores_named(tuple(map(str, names)))
    keeps = ("keep" if several else "keeps") if sure else "may keep"
    under, most = (t.figures(end, 2) for end in ("under", "upto"))
    up_to = "" if sure else f", and one up to {most} may"
    holds = t(f"{which} ({{across}}{' mouth' if t.count('chamber') else ''}) {keeps} a bubble")
    counts = t(f"{{area:small}} counts as {'bare' if t.count('stays') else 'wet'}")
    if not helps:  # an earlier note gave reason and advice
        return f"{holds}; {counts}"
    return (
        f"{holds}: by surface tension a blind bore under {under} keeps one{up_to}. {counts}; least and most cover both "
        "cases. What helps: "
    ) + t("; ".join(_HELPS[Help(str(each))] for each in helps))


_HELPS = {
    Help.SYRINGE: "fill it with a syringe (say so with {key:fill})", Help.SECOND_HOLE: "drill a second hole",
    Help.TILT: "raise one end", Help.AGITATE: "move the part under the liquid",
    Help.MOUTH_UP: "first turn the mouth up",
}  # fmt: skip
NOTES: Catalogue = {
    **sentences(FileNote, SurfaceNote, PartNote),
    FileNote.UNIT_IMPLAUSIBLE: _implausible,
    FileNote.UNIT_OVERRULED: _overruled,
    FileNote.OPEN: _open,
    SurfaceNote.AIR_HELD: _held,
    SurfaceNote.AIR_MAY_BE_HELD: _held,
}
CHANGE_NOTHING = frozenset({
    FileNote.REVOLVED, FileNote.MESHED, FileNote.MIXED_NORMALS, FileNote.CRACKS, FileNote.POINTS_MERGED,
    FileNote.DEGENERATE_DROPPED, FileNote.ANNOTATION_DAMAGED, FileNote.LINES_LEFT_OUT, FileNote.WIRES_LEFT_OUT,
    FileNote.SURFACES_UNUSED, SurfaceNote.FLIPPED,
})  # fmt: skip
"""Notes that leave the area as it is: short answers leave them out."""
