"""Sentences about a file, its surface and how it hangs: what was odd, and what was decided in measuring it."""

from __future__ import annotations

from areacalc.fact import Fact
from areacalc.part.part import PartNote
from areacalc.report.words.telling import Catalogue, Telling, joined
from areacalc.shape.kinds import FileNote
from areacalc.surface.notes import SurfaceNote


def note_words(told: Fact, inch: bool = False) -> str:
    """The sentence of a note, in metric or US units.

    >>> from areacalc.fact import fact, quantity
    >>> note_words(fact(FileNote.REVOLVED, flats=68, within=quantity(0.01, "mm")))
    'drawn with 68 flats round the axis, within 0.01 mm; areas are exact'
    """
    return Telling(told, inch).tell(NOTES[told.kind])


def _overruled(t: Telling) -> str:
    times = t(", so its lengths are {times} times what the file says") if "times" in t else ""
    return (
        t("the file says its unit is {file}; {taken} was taken, as given")
        + times
        + ". Give no unit to believe the file"
    )


def _implausible(t: Telling) -> str:
    cure = t("perhaps its unit is {fits}") if "fits" in t else "check the unit"
    return t("in {unit} the part is {length} long, which is odd for a part; ") + cure


def _columns(t: Telling) -> str:
    one, two = ("{first!r} " if t.fact["first"] else "", "{second!r} " if t.fact["second"] else "")
    return t(f"columns read: the first {one}as {{is_first}}, the second {two}as {{is_second}}")


def _open(t: Telling) -> str:
    places = [t(f"at ({{place{n}}}) mm") for n in range(3) if f"place{n}" in t]
    more = t.count("count") - len(places)
    where = joined([*places, *([f"{more} more"] if more else [])])
    sheets = "it may be a sheet that is wet on both sides, or lack faces"
    reading = sheets if t.count("sheets") else "single faces are lost"
    drawing = "; or it is a drawing plane beside the piece: up to {less} may come off"
    told = t("the surface is open along {length}, ") + where + f": {reading}. " + t("Up to {more} may come on")
    return told + (t(drawing) if t.quantity("less").value else "")


def _flats(t: Telling) -> str:
    told = t("{flats:flat} on a circle of {across} were read as flats, as drawn")
    if t.count("closer"):
        return f"{told}: the file draws its round surfaces far closer"
    return f"{told}; should they be a round wall drawn coarsely, the bounds hold that too"


_FILES: Catalogue = {
    FileNote.UNIT_ASSUMED: "the file states no unit: mm was taken; give the unit if it is another",
    FileNote.UNIT_IMPLAUSIBLE: _implausible,
    FileNote.UNIT_OVERRULED: _overruled,
    FileNote.UNIT_MIXED: "the file mixes units ({units}); each part was read in its own",
    FileNote.POINTS_MERGED: "{count:point} nearer than the file's own rounding ({rounding}) made one",
    FileNote.DEGENERATE_DROPPED: "{count:triangle} with two equal corners dropped",
    FileNote.DUPLICATES_DROPPED: "{count:triangle} repeated in the file, counted once ({off} taken off)",
    FileNote.MIXED_NORMALS: "some triangles face the other way than their neighbours; the area is the same",
    FileNote.CRACKS: "{length} of edges meet other edges without sharing corners; they lie close and no area is lost",
    FileNote.OPEN: _open,
    FileNote.CROSSINGS_NOT_SEARCHED: "too many long triangles lie across each other to search for ones that pass "
    "through others; where the surface passes through itself, what lies inside is counted",
    FileNote.SELF_CROSSING: "{count:triangle} pass through others of the same surface: {inside} or more of it lie "
    "inside, and up to {less} may have to come off",
    FileNote.DOUBLED_FACES: "{count:triangle} back to back, as a sheet without thickness: both sides count, of which "
    "{less} may have to come off",
    FileNote.CROWDED_EDGES: "on {count:edge} more than two faces meet and bound no solid; every face counts once, and "
    "up to {less} may have to come off",
    FileNote.SLIVERS: "{count:triangle} thinner than the file's rounding: {area} not sure",
    FileNote.SPECKS: "{count:shell} under a thousandth of the part's size: {area} may be no surface",
    FileNote.FACES_NOT_FLAT: "{count:face} of more than three corners not flat: cut the other way the area differs by "
    "{area}",
    FileNote.REVOLVED: "drawn with {flats:flat} round the axis, within {within}; areas are exact",
    FileNote.COLUMNS_READ: _columns,
    FileNote.THREAD_SIZE: "{length}: {thread} wants a {on} near {wanted}, the length is {across}",
    FileNote.LEFT_OUT: "{file}: {what} left out, since they are no outline",
    FileNote.FREE_FORM_LEFT_OUT: "{count:statement} of free-form curves or surfaces not read; only flat faces count",
    FileNote.COLOURS_MISSING: "the colours in '{file}' were not read: no such file beside the part",
    FileNote.BUILD_EMPTY: "the file's build is empty: every object of its own was taken",
    FileNote.OBJECT_LEFT_OUT: "objects of type '{type}' are no part of the surface and were left out",
    FileNote.TRAILING_BYTES: "{count:byte} after the last triangle that the header counts; not read",
    FileNote.POSED: "a skeleton bends a part of this scene; the shape was taken as stored, unbent",
    FileNote.MAY_CHANGE_SHAPE: "a mesh can change shape; it was taken as stored",
    FileNote.LINES_LEFT_OUT: "lines or points in the scene have no surface and were left out",
    FileNote.FACES_CLOSE: "the file holds loose faces and no solid; they close to a surface, and are taken for one",
    FileNote.PART_EMPTY: "{count:part} of the assembly without a shape in the file",
    FileNote.WIRES_LEFT_OUT: "{count} loose lines and points have no area and were left out",
    FileNote.FACES_LEFT_OUT: "{count:loose face} ({area}) beside the solids left out as construction or drawing "
    "planes; if they are part of the piece, export it as one solid",
    FileNote.OPEN_SURFACES: "the part is {count:open face} and no solid: what lies behind is not known",
    FileNote.STORED_TWICE: "{part} is stored as exact faces and again as triangles; it was counted once, exactly",
    FileNote.MESHED: "areas are exact, from the file's own surfaces",
    FileNote.TESSELLATED: "the file holds triangles without exact surfaces; they are measured as a mesh",
    FileNote.MESH_DIFFERS: "the CAD kernel could not mesh {count:face} well: the triangles miss the exact areas by "
    "{area}, which is in the bounds",
    FileNote.MESH_OPEN: "{count:body} whose faces do not meet along all their edges; measured as the file gives them",
    FileNote.ANNOTATION_DAMAGED: "{count:entity} outside the geometry (notes, views, dimensions) damaged and not read; "
    "no area is lost",
    FileNote.SURFACES_UNUSED: "{count:surface} of no part left out",
}

_SURFACES: Catalogue = {
    SurfaceNote.THREAD_SURFACE: "{feature}: its {thread} thread has {surface} of surface, the plain wall would have "
    "{plain}",
    SurfaceNote.ALL_DRY: "nothing of the part is left for the acid to touch",
    SurfaceNote.FLIPPED: "{count:triangle} facing inward flipped; the area is the same either way",
    SurfaceNote.NOT_A_BORE: "{features}: round walls that explain too little of it for a bore; pick what to plug by "
    "the picture",
    SurfaceNote.READ_AS_FLATS: _flats,
    SurfaceNote.READ_AS_ROUND: "the file draws curves as flats (up to {apart} apart), measured here as curves; as "
    "drawn, the flats are measured",
    SurfaceNote.THREAD_ADDED: "{on} carries {thread}: {times} times the surface of its plain wall (ISO 68-1 basic "
    "profile, developed)",
    SurfaceNote.KNURL_ADDED: "{on} carries a {pitch} knurl: 1 to {most} times smooth",
    SurfaceNote.TEXTURE_ADDED: "{on} takes {times} times its smooth area, a factor entered by you",
    SurfaceNote.NOT_UNITED: "{count:body} meet but could not be united ({problem}): each is counted whole",
    SurfaceNote.OPEN_NOT_UNITED: "{count:open shell} near other bodies; what they hide of each other was not taken "
    "off: up to {less} may have to come off",
    SurfaceNote.UNITED: "{count:body} meet: the surface of their union counts; {touch} lie face on face and {inside} "
    "inside one another",
    SurfaceNote.GAP_CLOSED: "{area} of bodies come nearer to each other than {reach} and were taken to touch; the "
    "bounds hold both readings",
    SurfaceNote.SMALL_POCKETS: "pockets too small to count touch {area}; they are taken as wet",
    SurfaceNote.NARROW_VENTS: "slits and holes under {gap} (a chosen limit) were taken as shut to air; the bounds "
    "cover both readings",
    SurfaceNote.WATER_TRAP: "some air may leave by a vent that runs down and then up, before liquid shuts its low "
    "bend; it was taken as shut, and the bounds hold both readings",
    SurfaceNote.AIR_PRESSED: "trapped air was pressed together by {depth} of liquid over the part's top, {density}, "
    "under standard pressure",
    SurfaceNote.LINE_BELOW_PART: "the liquid line lies below the part: none of it is under",
    SurfaceNote.LINE_ABOVE_PART: "the liquid line lies above the part: it hangs wholly under",
    SurfaceNote.OPEN_MESH_AIR: "the mesh is open, so trapped air cannot be told: none is taken off; export the part as "
    "a closed solid",
    SurfaceNote.LEAKS_SHUT: "the mesh leaks; its holes ({holes}) were taken as shut when looking for trapped air",
}

_PARTS: Catalogue = {
    PartNote.HANGING_NOT_GIVEN: "trapped air is not counted; say which way is up to count it",
    PartNote.NOT_ON_THIS_PART: "{where}: {what} on {part}",
    PartNote.CHOICES_FILE: "plugs and masks taken from {file}",
}

NOTES: Catalogue = {**_FILES, **_SURFACES, **_PARTS}
