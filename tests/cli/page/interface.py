"""What each route of the page does and answers: openapi.json is written from this table by make_openapi.py."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Annotated, Any, Literal

from areacalc_cli.page.answered import (
    AddedDocument,
    AtTankDocument,
    Awaited,
    BenchDocument,
    Changed,
    GoingUnder,
    MeasuredDocument,
    RehungDocument,
    Runs,
    TakenDocument,
    WaysDocument,
)
from msgspec import Meta

Document = dict[str, Any]


@dataclass(frozen=True, slots=True)
class Does:
    """What a route does, and what it answers when all is well: a type as JSON, a media type, or nothing.

    file: the media type of a body that is no JSON; what JSON holds, the endpoint's `said` tells. query: what its
    address may say. also: what else it may answer.
    """

    summary: str
    words: str
    answer: Any = None
    status: int = 200
    file: str | None = None
    query: tuple[Query, ...] = ()
    also: tuple[int, ...] = ()


@dataclass(frozen=True, slots=True)
class Query:
    """A word of the address."""

    name: str
    type: Any
    words: str
    needed: bool = False


KIND = Query("kind", Literal["svg", "png", "pdf"], "of the picture, svg unless told")
UNCHANGED, MISSING, STALE, REFUSED = 204, 404, 409, 422
_FOUND, _FOLLOWS = "On the rack; its area is being found", "Changed; what follows from it is being found"
ROUTES: dict[tuple[str, str], Does] = {
    ("get", "/api/catalogue"): Does(
        "Samples, density windows, keys of a load, states of surface", "What does not change while the page runs",
        Document),
    ("get", "/api/bench"): Does(
        "The bench, the work under way and the answer", "As it is", BenchDocument, also=(UNCHANGED, REFUSED),
        query=(Query("after", int, "wait until the revision is another than this"),
               Query("wait", float, "how long to wait [s], no longer than 30 s"))),
    ("patch", "/api/settings"): Does(
        "Change density window, unit shown, name, or the load's tables", "Changed", BenchDocument,
        also=(STALE, REFUSED)),
    ("post", "/api/undo"): Does("Take back the last change that a person made", "The bench as it is now",
                                BenchDocument, also=(REFUSED,)),
    ("post", "/api/redo"): Does("Make the change again that was taken back last", "The bench as it is now",
                                BenchDocument, also=(REFUSED,)),
    ("put", "/api/shop"): Does("Keep a bath or a tank of the shop under a name, or forget it", "Kept", status=204,
                               also=(REFUSED,)),
    ("post", "/api/parts"): Does(
        "Put a part file on the rack, or open a load: a load file, or a zip of one with its part files",
        "On the rack, its area is being found; or a load is open, and these files are still wanted", TakenDocument,
        202, "application/octet-stream", also=(REFUSED,),
        query=(Query("name", Annotated[str, Meta(min_length=1, max_length=300)],
                     "the file's name; only its ending decides how it is read, and it is never opened", True),
               Query("unit", Annotated[str, Meta(max_length=20)], "of the file's numbers"))),
    ("patch", "/api/parts/{id}"): Does("Change a part: count, name, unit, choices, hanging, alloy", _FOLLOWS, Changed,
                                       202, also=(MISSING, STALE, REFUSED)),
    ("delete", "/api/parts/{id}"): Does("Take a part off the rack, and stop the work on it", "Off", status=204,
                                        also=(MISSING,)),
    ("get", "/api/parts/{id}/ways"): Does("Try the ways to hang a part", "The best first", WaysDocument,
                                          also=(MISSING, REFUSED)),
    ("get", "/api/parts/{id}/going-under"): Does("A part going under as it hangs", "An upright cut at each depth",
                                                 GoingUnder, also=(MISSING, REFUSED)),
    ("post", "/api/samples"): Does("Put a sample on the rack", _FOUND, AddedDocument, 202, also=(REFUSED,)),
    ("post", "/api/sketches"): Does("Put a sketched part on the rack", _FOUND, AddedDocument, 202, also=(REFUSED,)),
    ("put", "/api/sketches/{id}"): Does("Give a sketched part another sketch", _FOLLOWS, Changed, 202,
                                        also=(MISSING, STALE, REFUSED)),
    ("post", "/api/measure"): Does("A sketch's area and outline, kept nowhere",
                                   "Measured, or the line that says what is wrong with it", MeasuredDocument,
                                   also=(REFUSED,)),
    ("post", "/api/removed/{id}"): Does("Put back a part that was taken off", "Back", AddedDocument,
                                        also=(MISSING, REFUSED)),
    ("get", "/api/views/{name}"): Does(
        "The picture of a part's surface as bytes",
        "uint32 length of the head, the head (JSON), float32 points, uint32 corners, float32 lines",
        "application/octet-stream", also=(MISSING,)),
    ("get", "/api/plan"): Does("The plan of what lies on the bench", "The plan document, every figure with its chain",
                               Document, also=(REFUSED,)),
    ("post", "/api/rack"): Does("Judge the rack with parts hung elsewhere, kept nowhere", "What the rules say of it",
                                RehungDocument, also=(REFUSED,)),
    ("get", "/api/sheet"): Does("The run sheet", "One side to print", "application/pdf", also=(REFUSED,)),
    ("get", "/api/logbook"): Does("The runs in the logbook, the latest first", "The runs", Runs, also=(REFUSED,)),
    ("post", "/api/logbook"): Does("Write the run as planned into the logbook", "Written", Runs, 201,
                                   also=(REFUSED,)),
    ("get", "/api/run"): Does("The run at the tank", "As it is now", AtTankDocument, also=(REFUSED,)),
    ("put", "/api/run"): Does("Write down that the current of this load was switched on", "Begun", AtTankDocument, 201,
                              also=(REFUSED,)),
    ("post", "/api/run"): Does("Take a line typed at the tank: a reading, a remark, a step that is done", "Taken",
                               AtTankDocument, also=(REFUSED,)),
    ("patch", "/api/runs/{number}"): Does(
        "Keep what came out of a run and a remark, strike it out or put it back", "The runs", Runs, also=(REFUSED,),
    ),
    ("get", "/api/runs/{number}/picture"): Does(
        "A run of the logbook on one page", "What was read on what was planned", "image/svg+xml", also=(REFUSED,),
        query=(KIND,)),
    ("get", "/api/months/{figure}"): Does(
        "One figure of all runs over the months", "A curve for each load", "image/svg+xml", also=(REFUSED,),
        query=(KIND,)),
    ("get", "/api/load.toml"): Does("The bench as a load file", "TOML, as the command line reads it",
                                    "application/toml"),
    ("get", "/api/load.zip"): Does("The load file with the part files, in one zip",
                                   "load.toml and the files that it names", "application/zip"),
    ("post", "/api/load"): Does("Take over a load file", "Taken over; files still wanted", Awaited,
                                also=(REFUSED,)),
}  # fmt: skip
"""By method and path."""
