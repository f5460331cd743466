"""The steps of mixing a bath or topping one up."""

from areacalc.bath.mixing import MixStep
from areacalc.report.words.telling import Catalogue

MIXING: Catalogue = {
    MixStep.PROTECT: "Read the acid's safety data sheet. Goggles or face shield, acid gloves, apron; running water at hand.",
    MixStep.DRAW_OFF: "Draw {old} of the old bath off into a closed, labelled vessel.",
    MixStep.WATER: "Put {water} of distilled or deionised water into the tank.",
    MixStep.THIN: "Add {water} of distilled or deionised water to the bath; a bath this dilute takes water safely.",
    MixStep.ACID: "Pour {acid} ({mass}) of acid into the tank in a thin stream, stirring, at most {portion:high} at a time; "
    "let the bath cool before the next. All at once would warm the bath by up to {warms:high} (from memory).",
    MixStep.ACID_AT_ONCE: "Pour {acid} ({mass}) of acid into the tank in a thin stream, stirring. The bath warms by up to {warms:high} "
    "(from memory).",
    MixStep.NOTHING: "The bath is {volume} at {acid} already: add nothing.",
    MixStep.CHECK: "Mixing shrinks the bath to {volume}. Let the bath cool to {room}: there a hydrometer marked for 60 F reads {hydrometer:number}, or "
    "{baume:number} degrees Baume, a little less than at 60 F. Once aluminium has dissolved in the bath, titrate instead.",
}
