"""What a worker does about hanging: try the ways to hang a part, and draw it going under."""

from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

from areacalc.errors import BadInput
from areacalc.part.part import Part
from areacalc.report.words.hung import ASKED, in_words, outcome_words
from areacalc.surface.air.best_hanging import Ranked, best_hanging
from areacalc.surface.air.going_under import strip
from areacalc.surface.air.narrow import LEAST_GAP_MM, wide_ways

from .jobs import Document, PageShelf, PartJob, Stage

_LISTED = 4
_TOLD = 0.02  # share of the ways from one telling to the next


@dataclass(frozen=True, slots=True)
class HangJob:
    """Work on how a part hangs."""

    part: PartJob

    @property
    def name(self) -> str:
        """What the person knows it by."""
        return f"hanging {self.part.name}"

    @property
    def files(self) -> tuple[Path, ...]:
        """The part files it works on."""
        return self.part.files


class WaysJob(HangJob):
    """Try ways to hang a part, its plugs in."""


class UnderJob(HangJob):
    """Draw a part going under as it hangs."""


def ways_result(job: WaysJob, shelf: PageShelf) -> Document:
    """The best ways to hang the part. Raises AreacalcError."""
    part, _ = shelf.opened(replace(job.part, up=None, liquid_line=None))
    skin = part.bath_skin
    words = ASKED["trying"].lower()
    shelf.tell(Stage(words, 0.0))
    told = [0.0]

    def progress(done: int, most: int) -> None:
        if done / most >= told[-1] + _TOLD:
            told.append(done / most)
            shelf.tell(Stage(words, done / most))

    ranked = best_hanging(skin, part.skin, None, wide_ways(skin, LEAST_GAP_MM), progress=progress, filled=part.filled)
    ways = [_way(part.hung(each.up), each) for each in ranked[:_LISTED]]
    for way in ways:
        way["best"] = way["comes_to"] == ways[0]["comes_to"]
    return {"tried": len(ranked), "ways": ways}


def _way(hung: Part, way: Ranked) -> Document:
    said = {show: outcome_words(hung, show == "in") for show in ("mm", "in")}
    return {"up": list(way.up), "words": in_words(way.up, hung.skin), "comes_to": said}


def under_result(job: UnderJob, shelf: PageShelf) -> Document:
    """An upright cut through the part, and the liquid and the air at each depth: rings of points in mm, y up."""
    part, _ = shelf.opened(shelf.usable(job.part)[0])
    if part.up is None:
        raise BadInput(job.part.name, "hangs no particular way yet", "say first which way points up")
    assert part.hanging is not None
    made = strip(part.hanging, part.skin)
    return {
        "box": list(made.box),
        "metal": _rings(made.metal),
        "frames": [{"words": f.moment.value, "liquid": _rings(f.liquid), "air": _rings(f.air)} for f in made.frames],
    }


def _rings(shape: Any) -> list[list[list[float]]]:
    import shapely

    parts = [p for p in shapely.get_parts(shape) if p.geom_type == "Polygon" and not p.is_empty]
    return [
        [[round(float(x), 4), round(float(y), 4)] for x, y in ring.coords]
        for part in parts
        for ring in (part.exterior, *part.interiors)
    ]
