"""What a load does to its baths: the etch; gas given off, aluminium left, acid used and dragged out, rinse water."""

from areacalc.bath.dissolved import acid_used, aluminium_dissolved, aluminium_rise, charge_until_renewal
from areacalc.bath.etch import Etch, etch_warms, etched, lost_by_weight, lost_in, rate
from areacalc.bath.gas import air_changes, hydrogen, hydrogen_in_closed_room
from areacalc.digits import three
from areacalc.errors import CannotRun
from areacalc.estimate import total
from areacalc.figure import NOT_GIVEN, Figure, constant, given, worked
from areacalc.load.load import Load, SurfaceFinish
from areacalc.plan.area import carried_by
from areacalc.plan.share_out import Sharing
from areacalc.plant.air import air_for
from areacalc.sources import Constant, Kind, Source
from areacalc.surface.air.drag_out import FILM_ML_PER_M2, RINSE

_AREA = Source(Kind.DERIVED, "drag-out is in proportion to the surface")
_RUNS = Source(Kind.DERIVED, "charge left until renewal over the charge of this run")


def plan_bath(
    of: Sharing, current: Figure, charge: Figure, per_ah: Figure, limit: Constant
) -> dict[str, Figure | None]:  # fmt: skip
    """What a current [A] and its charge [Ah] do to the bath, by the names that `explain` takes.

    per_ah: aluminium that each Ah leaves in it [g/Ah]; limit: the most that it may hold [g/L].
    """
    tank, room_m3, area = of.load.tank, of.load.room_m3, of.area
    dissolved, volume = aluminium_dissolved(charge, per_ah), given("liquid", tank.liquid_l, "L", tank.source)
    drag = worked("drag-out on the surface", "mL", "area x drag-out per area", _AREA, lambda a, d: a * 1e-6 * d, area,
                  constant("drag-out per area", of.load.bath.drag_out or FILM_ML_PER_M2))  # fmt: skip
    if carried := carried_by(of.parts):
        whole = total((drag.estimate, *(c.estimate for c in carried)))
        drag = Figure("drag-out", whole, "mL", "on the surface + held in bores and pockets", _AREA, (drag, *carried))
    dragged = worked(
        "acid dragged out", "g", "drag-out x acid", _AREA, lambda v, c: v * 1e-3 * c, drag, of.measured.acid
    )
    rinse = worked("rinse water for each rinse", "L", "drag-out x 600", RINSE.source, lambda v, n: v * 1e-3 * n, drag,
                   constant("rinse water over drag-out", RINSE))  # fmt: skip
    left = charge_until_renewal(of.measured.aluminium, volume, limit, per_ah)
    gas, air = hydrogen(charge), air_for(current, tank.length_mm, tank.width_mm)
    named: dict[str, Figure | None] = {
        "hydrogen": gas, "exhaust": air.exhaust, "air": air.for_hydrogen, "air-thin": air.by_share,
        "aluminium": dissolved, "aluminium-rise": aluminium_rise(dissolved, volume), "acid-used": acid_used(dissolved),
        "drag-out": drag, "acid-dragged": dragged, "rinse": rinse,
    }  # fmt: skip
    if charge.estimate.low > 0.0:  # a supply that may give nothing leaves it open
        named["runs-left"] = worked("runs until the bath is renewed", "", "charge until renewal / charge", _RUNS,
                                    lambda w, q: w / q, left, charge)  # fmt: skip
    if room_m3:
        named |= {"air-changes": air_changes(air.for_hydrogen, room_m3),
                  "hydrogen-in-room": hydrogen_in_closed_room(gas, room_m3)}  # fmt: skip
    return named


MOST_LOST_UM = 1000.0
"""Chosen: a matte etch takes micrometres to tens of them; a millimetre off every face is no finish."""


def plan_etch(load: Load, area: Figure) -> Etch | None:
    """What the etch takes off the wet area [mm2]; None for a load that is left glossy.

    Raises CannotRun for an etch that eats the parts.
    """
    etching = load.finish.etching
    if load.finish.surface is not SurfaceFinish.MATTE:
        return None
    if etching.trial_loss_g is not None and etching.trial_area_mm2 is not None:
        lost = lost_by_weight(etching.trial_loss_g, etching.trial_area_mm2)
    else:
        caustic, warm, time = (None if key in load.finish.told else NOT_GIVEN
                               for key in ("etch_caustic", "etch_temperature", "etch"))  # fmt: skip
        speed = rate(given("caustic soda", etching.caustic_g_per_l, "g/L", caustic),
                     given("etch", etching.temperature_c, "C", warm))  # fmt: skip
        lost = lost_in(speed, given("time in the etch", etching.minutes * 60.0, "s", time))
    if lost.estimate.low > MOST_LOST_UM:
        said = f"the etch takes {three(lost.estimate.value / 1000.0)} mm off every face"
        raise CannotRun(load.source or load.name, said, "etch for minutes, or weigh the trial piece again")
    return etched(lost, area)


def etch_figures(load: Load, etch: Etch) -> dict[str, Figure]:
    """The figures of an etch by the names that `explain` takes; how its bath warms where its volume is told."""
    bath_l = load.finish.etching.bath_l
    warms = {"etch-warming": etch_warms(etch.heat, given("etch bath", bath_l, "L"))} if bath_l else {}
    return {"etch-lost": etch.lost, "etch-caustic": etch.caustic_used, "etch-hydrogen": etch.hydrogen,
            "etch-heat": etch.heat, **warms}  # fmt: skip
