"""What can hurt in one load, by the work at which it stands."""

from __future__ import annotations

from areacalc.bath.cautions import Caution, Hazard, Work, caution, cautions_at, shock
from areacalc.bath.etch import HOT_FROM_C
from areacalc.fact import quantity
from areacalc.figure import given
from areacalc.load.load import Load, SurfaceFinish
from areacalc.plan.stages import Stages

Care = dict[Work, tuple[Caution, ...]]


def care_of(made: Stages) -> Care:
    """The cautions of each piece of work that the load has.

    A power supply puts its highest volts on the bars as soon as a contact is lost, so its limit is what can shock.
    """
    load, strips = made.load, made.load.cathodes
    most = given("volts of the power supply", load.supply.limit_v, "V") if load.supply else made.volts.at_supply
    care: Care = {
        Work.TANK: cautions_at(Work.TANK),
        Work.ANODISE: (*shock(most), *cautions_at(Work.ANODISE)),
        Work.CATHODES: cautions_at(Work.CATHODES, *((Hazard.LEAD,) if strips and strips.metal == "lead" else ())),
        Work.WASTE: cautions_at(Work.WASTE),
    }
    if load.finish.surface is SurfaceFinish.MATTE:
        care |= {Work.ETCH: _at_the_etch(load), Work.DESMUT: cautions_at(Work.DESMUT)}
    if made.seal is not None:
        care[Work.SEAL] = cautions_at(Work.SEAL, *made.seal.hazards)
    if load.finish.is_dyed:
        care[Work.DYE] = cautions_at(Work.DYE)
    if load.rack is None or load.rack.wire_metal.stripped:
        care[Work.STRIP] = cautions_at(Work.STRIP)
    return care


def _at_the_etch(load: Load) -> tuple[Caution, ...]:
    etch_c = load.finish.etching.temperature_c
    if etch_c < HOT_FROM_C.value:
        return cautions_at(Work.ETCH)
    return (caution(Hazard.HOT_CAUSTIC, Work.ETCH, etch=quantity(etch_c, "C")), *cautions_at(Work.ETCH))
