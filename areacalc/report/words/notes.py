"""Sentences about a file, its surface and how it hangs: what was odd, and what was decided in measuring it."""

from areacalc.digits import rounded
from areacalc.fact import Fact
from areacalc.part.part import PartNote
from areacalc.report.words.places import typed_at
from areacalc.report.words.telling import Catalogue, Telling, joined
from areacalc.shape.file_unit import PLAUSIBLE_SIZE
from areacalc.shape.kinds import FileNote
from areacalc.surface.air.narrow_mouths import Help
from areacalc.surface.notes import SurfaceNote

_NAMED = 6  # bores named one by one


def note_words(told: Fact, inch: bool = False) -> str:
    """The sentence of a note, in metric or US units.

    >>> from areacalc.fact import fact, quantity
    >>> note_words(fact(FileNote.REVOLVED, flats=68, within=quantity(0.01, "mm")))
    'the file has 68 flats round the axis, within 0.01 mm; the areas above are exact'
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


def _columns(t: Telling) -> str:
    one, two = ("{first!r} " if t.fact["first"] else "", "{second!r} " if t.fact["second"] else "")
    return t(f"columns read: the first {one}as {{is_first}}, the second {two}as {{is_second}}")


def _open(t: Telling) -> str:
    places = [t(f"at ({{place{n}}}) mm") for n in range(3) if f"place{n}" in t]
    more = t.count("count") - len(places)
    where = joined([*places, *([f"{more} more"] if more else [])])
    sheets = "it may be a sheet that is wet on both sides, or lack faces"
    reading = sheets if t.count("sheets") else "single faces are lost"
    drawing = "; if it is a drawing plane beside the part, up to {less} smaller"
    told = (
        t("the surface is open along {length}, ")
        + where
        + f": {reading}. "
        + t("The true area may be up to {more} larger")
    )
    return told + (t(drawing) if t.quantity("less").value else "")


def _flats(t: Telling) -> str:
    told = t("{flats:flat} on a circle of {across} are measured as flats")
    if t.count("closer"):
        return f"{told}, such as a hexagon's: the round surfaces of this file have many more"
    return f"{told}; least and most also cover a round wall drawn coarsely"


def _bands(t: Telling) -> str:
    read, other = "as one curved wall", "straight, they"
    if t.fact.kind is SurfaceNote.READ_AS_CONES:
        read, other = "as straight", "as one curved wall they"
    more = "more" if t.count("more") else "less"
    return t(f"{{bands:band}} measured {read}; {other} would have {{apart:small}} {more}. Least and most cover both")


_FILES: Catalogue = {
    FileNote.UNIT_ASSUMED: "no unit is stated; areacalc took mm. Give the unit if it is another",
    FileNote.UNIT_IMPLAUSIBLE: _implausible,
    FileNote.UNIT_OVERRULED: _overruled,
    FileNote.UNIT_MIXED: "the file mixes units ({units}); areacalc read each part in its own unit",
    FileNote.POINTS_MERGED: "{count:point} nearer to another than the file's rounding ({rounding}) merged with it",
    FileNote.DEGENERATE_DROPPED: "{count:triangle} with two equal corners dropped",
    FileNote.DUPLICATES_DROPPED: "{count:triangle} repeated in the file and counted once ({off} less)",
    FileNote.MIXED_NORMALS: "some triangles face the wrong way; the area is the same",
    FileNote.CRACKS: "along {length} of edges the triangles share no corners; the cracks are closed, and no area is lost",
    FileNote.OPEN: _open,
    FileNote.CROSSINGS_NOT_SEARCHED: "too many long triangles overlap to search for ones that cross; where the surface "
    "crosses itself, surface inside the part is counted too",
    FileNote.SELF_CROSSING: "{count:triangle} cross others of the same surface: at least {inside} lies inside the part; the "
    "true area may be up to {less} smaller",
    FileNote.DOUBLED_FACES: "{count:triangle} back to back, a sheet without thickness: both sides count; the true area may "
    "be up to {less} smaller",
    FileNote.CROWDED_EDGES: "more than two faces meet at {count:edge} and bound no solid; every face counts once, and the "
    "true area may be up to {less} smaller",
    FileNote.SLIVERS: "{count:triangle} thinner than the file's rounding: {area} is uncertain",
    FileNote.SPECKS: "{count:shell} under a thousandth of the part's size: {area} may be dirt in the file",
    FileNote.FACES_NOT_FLAT: "{count:face} of more than three corners not flat; split the other way, the area differs "
    "by {area}",
    FileNote.REVOLVED: "the file has {flats:flat} round the axis, within {within}; the areas above are exact",
    FileNote.COLUMNS_READ: _columns,
    FileNote.THREAD_SIZE: "{length}: {thread} needs a {on} near {wanted}, the length is {across}",
    FileNote.LEFT_OUT: "{file}: {what} left out; they are not part of the outline",
    FileNote.FREE_FORM_LEFT_OUT: "{count:statement} of free-form curves or surfaces not read; only flat faces count",
    FileNote.COLOURS_MISSING: "the colours in '{file}' were not read: no such file beside the part",
    FileNote.BUILD_EMPTY: "the file's build is empty; areacalc took every object",
    FileNote.OBJECT_LEFT_OUT: "objects of type '{type}' left out; they are not surface",
    FileNote.TRAILING_BYTES: "{count:byte} after the last triangle that the header counts; not read",
    FileNote.POSED: "a skeleton bends a part of this scene; areacalc measured it unbent",
    FileNote.MAY_CHANGE_SHAPE: "a mesh can change shape; areacalc measured it as stored",
    FileNote.LINES_LEFT_OUT: "lines and points in the scene left out; they have no surface",
    FileNote.FACES_CLOSE: "the file holds loose faces and no solid; they close, and count as one solid",
    FileNote.PART_EMPTY: "{count:part} of the assembly without a shape in the file",
    FileNote.WIRES_LEFT_OUT: "{count} loose lines and points left out; they have no area",
    FileNote.FACES_LEFT_OUT: "{count:loose face} ({area}) beside the solids left out as construction planes; if they "
    "belong to the part, export it as one solid",
    FileNote.OPEN_SURFACES: "the part is {count:open face} and no solid; areacalc cannot tell inside from outside",
    FileNote.STORED_TWICE: "the file holds {part} as exact faces and again as triangles; it counts once, exactly",
    FileNote.MESHED: "areas are exact, from the file's own surfaces",
    FileNote.TESSELLATED: "the file holds triangles without exact surfaces; they are measured as a mesh",
    FileNote.MESH_DIFFERS: "the CAD kernel meshed {count:face} badly: the triangles miss the exact areas by {area}; "
    "least and most cover that",
    FileNote.MESH_OPEN: "{count:body} with faces that do not meet along every edge, measured as they are in the file; "
    "least and most cover the gaps ({area})",
    FileNote.ANNOTATION_DAMAGED: "the whole shape was read; {count:entity} that are no surface (notes, views, dimensions) were left out",
    FileNote.SURFACES_UNUSED: "{count:surface} that belong to no part left out",
}


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
_SURFACES: Catalogue = {
    SurfaceNote.THREAD_SURFACE: "{feature}: the {thread} thread has {surface:small} of surface; a plain wall would have {plain:small}",
    SurfaceNote.ALL_DRY: "the acid touches no surface of this part",
    SurfaceNote.FLIPPED: "{count:triangle} facing inward flipped; the area is the same either way",
    SurfaceNote.NOT_A_BORE: "{features}: not round enough to be a bore; pick the faces to plug in the picture",
    SurfaceNote.READ_AS_FLATS: _flats,
    SurfaceNote.READ_AS_ROUND: "the file draws curves as flats (up to {apart} apart); areacalc measured them as curves. "
    "`area --as-drawn` measures the flats",
    SurfaceNote.READ_AS_CURVE: _bands,
    SurfaceNote.READ_AS_CONES: _bands,
    SurfaceNote.THREAD_ADDED: "{on} has {thread}: {times} times the area of a plain wall (ISO 68-1 basic profile)",
    SurfaceNote.KNURL_ADDED: "{on} has a {pitch} knurl: 1 to {most} times the area of a smooth surface",
    SurfaceNote.TEXTURE_ADDED: "{on} counts {times} times its smooth area, as you entered",
    SurfaceNote.NOT_UNITED: "{count:body} touch but could not be joined ({problem}); each is counted in full",
    SurfaceNote.OPEN_NOT_UNITED: "{count:open shell} near other bodies; surface hidden between them is "
    "counted, and the true area may be up to {less} smaller",
    SurfaceNote.UNITED: "{count:body} touch and count as one: {touch} is face to face, and {inside} inside another body",
    SurfaceNote.GAP_CLOSED: "{area} lie within {reach} of another body and count as touching; least and most "
    "cover both cases",
    SurfaceNote.LOOSE_BODIES: "{count:body} in this file do not touch; each needs a contact of its own. Save each in a "
    "file of its own",
    SurfaceNote.SHUT_BY_CONTACT: "{area} stays dry only if bodies that just touch seal; least and most cover both "
    "cases",
    SurfaceNote.SMALL_POCKETS: "pockets too small to count touch {area:small}; they count as wet",
    SurfaceNote.NARROW_VENTS: "gaps under {gap} may hold air (`hang --least-gap` sets another limit)",
    SurfaceNote.WATER_TRAP: "air may escape through a vent that dips before liquid closes the dip; the air counts "
    "as trapped, and least and most cover both cases",
    SurfaceNote.AIR_HELD: _held,
    SurfaceNote.AIR_MAY_BE_HELD: _held,
    SurfaceNote.AIR_PRESSED: "{depth} of liquid over the part's top compresses the trapped air, at standard air "
    "pressure",
    SurfaceNote.LINE_BELOW_PART: "the liquid line lies below the part: the whole part is dry",
    SurfaceNote.LINE_ABOVE_PART: "the liquid line lies above the part: the part is fully submerged",
    SurfaceNote.OPEN_MESH_AIR: "the mesh has holes, so trapped air cannot be computed and is not counted; export the part "
    "as a closed solid",
    SurfaceNote.LEAKS_SHUT: "the mesh leaks; its holes ({holes}) count as closed for trapped air",
}

_PARTS: Catalogue = {
    PartNote.HANGING_NOT_GIVEN: "trapped air is not counted until you give {key:up}",
    PartNote.NOT_ON_THIS_PART: "{where}: {what} on {part}",
    PartNote.CHOICES_FILE: "plugs and masks taken from {file}",
}

NOTES: Catalogue = {**_FILES, **_SURFACES, **_PARTS}

CHANGE_NOTHING = frozenset({
    FileNote.REVOLVED, FileNote.MESHED, FileNote.MIXED_NORMALS, FileNote.CRACKS, FileNote.POINTS_MERGED,
    FileNote.DEGENERATE_DROPPED, FileNote.ANNOTATION_DAMAGED, FileNote.LINES_LEFT_OUT, FileNote.WIRES_LEFT_OUT,
    FileNote.SURFACES_UNUSED, SurfaceNote.FLIPPED,
})  # fmt: skip
"""Notes that leave the area as it is: short answers leave them out."""
