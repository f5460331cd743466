"""One catalogue from every kind of fact to its sentence."""

from areacalc.bath.mixing import MixStep
from areacalc.fact import Fact
from areacalc.report.words.at_the_tank import AT_THE_TANK
from areacalc.report.words.bores import BORES
from areacalc.report.words.cautions import CAUTIONS
from areacalc.report.words.equipment import EQUIPMENT
from areacalc.report.words.faults import FAULTS
from areacalc.report.words.notes import NOTES
from areacalc.report.words.telling import Catalogue, Telling, sentences

CATALOGUE: Catalogue = {**FAULTS, **EQUIPMENT, **BORES, **CAUTIONS, **sentences(MixStep), **AT_THE_TANK, **NOTES}


def tell(fact: Fact, inch: bool = False) -> str:
    """The sentence of a fact, in metric or US units.

    >>> from areacalc.bath.dissolved import aluminium_fact
    >>> tell(aluminium_fact(17.0))
    'Dissolved aluminium is 17 g/L; many shops renew the bath from 15 g/L (common practice).'
    """
    return telling(fact, inch).tell(CATALOGUE[fact.kind])


def telling(fact: Fact, inch: bool = False) -> Telling:
    """A fact ready to be told: each fact inside it stands as its sentence."""
    values = ((name, tell(value, inch) if isinstance(value, Fact) else value) for name, value in fact.values)
    return Telling(Fact(fact.kind, tuple(values)), inch)
