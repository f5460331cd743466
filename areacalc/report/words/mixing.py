"""The steps of mixing a bath or topping one up."""

from __future__ import annotations

from areacalc.bath.mixing import MixStep
from areacalc.report.words.telling import Catalogue

MIXING: Catalogue = {
    MixStep.PROTECT: "Goggles or face shield, acid gloves, apron; water to hand; read the acid's safety data sheet first.",
    MixStep.DRAW_OFF: "Draw {old} of the old bath off into a closed, labelled vessel.",
    MixStep.WATER: "Put {water} of distilled or deionised water into the tank.",
    MixStep.THIN: "Add {water} of distilled or deionised water to the bath; a bath this dilute takes water safely.",
    MixStep.ACID: "Pour {acid} ({mass}) of acid into the tank in a thin stream, stirring, at most {portion:high} at a time; "
    "wait until it is cool before the next. All at once would warm it by up to {warms:high} (from memory).",
    MixStep.ACID_AT_ONCE: "Pour {acid} ({mass}) of acid into the tank in a thin stream, stirring. The bath warms by up to {warms:high} "
    "(from memory).",
    MixStep.CHECK: "Let it cool to {room}, then check it: a hydrometer marked for 60 F shows {hydrometer:number}, or "
    "{baume:number} degrees Baume. That holds while no aluminium is in it; after that titrate.",
}
