"""A rack while a person drags a part of it: judged at once, without the plan behind it."""

from dataclasses import replace
from typing import Any

from areacalc.errors import BadInput
from areacalc.plant.hung import RackPart, Way
from areacalc.plant.layout import Layout, Place, Room
from areacalc.plant.spacing import Spacing

from .answered import RehungDocument
from .bench import MOST_MOVED, text
from .desk import Desk
from .load_text import load_text


async def rehang(desk: Desk, moved: str) -> RehungDocument:
    """What the rules say of the rack last planned with parts moved in words. Raises AreacalcError."""
    from areacalc.load.read_load import data_of, load_from
    from areacalc.plan.room import hung_facts, room_of
    from areacalc.plant.moved import moved_in_words, rehung
    from areacalc.plant.rule import judged_fact
    from areacalc.report.rack_document import strands_document
    from areacalc.report.words.rack import rack_sentence
    from areacalc.report.words.tell import tell

    rack = desk.rack or (await desk.plan())["rack"]
    if rack is None:
        raise BadInput("moved", "is of a load that is not laid out", "give the tank's sizes, and what goes into it")
    words, inch, bench = text(moved, "moved", MOST_MOVED), desk.bench.settings.show == "in", load_text(desk.bench)
    load = load_from(data_of(bench, "the load"), bench, "the load")
    hung = rehung(layout_of(rack, room_of(load), load.spacing), moved_in_words(words, "moved"), load.spacing)
    return {
        "says": rack_sentence(hung.layout, inch),
        "strands": strands_document(hung.layout, load.rack.kind if load.rack else None, load.tank.freeboard_mm or 0.0),
        "stops": [tell(each, inch) for each in hung_facts(hung)],
        "warns": [tell(judged_fact(each), inch) for each in hung.layout.judged if not each.kept],
    }


def layout_of(rack: dict[str, Any], room: Room, rules: Spacing) -> Layout:
    """The layout that a rack document tells."""
    sides = [(each["size_mm"], each["tilt_deg"]) for each in rack["hung"]]
    ways = tuple(Way(along, across, high, tilt) for (along, across, high), tilt in sides)
    parts = tuple(
        RackPart(each["part"], each["count"], (way,), each["stands_out"])
        for each, way in zip(rack["hung"], ways, strict=True)
    )
    places = tuple(
        Place(p["kind"] - 1, p["row"] - 1, p["tier"] - 1, p["column"] - 1, *p["at_mm"]) for p in rack["places"]
    )
    return Layout(parts, ways, places, room, replace(rules.usual, between_mm=rack["spacing_mm"]), ())
