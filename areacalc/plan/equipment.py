"""The equipment under a load: cathodes, rack, tank, and the ways out of a supply that is too small."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from areacalc.bath.course import LimitedBy
from areacalc.fact import Fact
from areacalc.figure import Figure
from areacalc.load.load import Load
from areacalc.plan.area import PartArea
from areacalc.plan.course import RunPlan
from areacalc.plan.current import CurrentPlan
from areacalc.plan.room import judge_room, no_place
from areacalc.plan.time import TimePlan
from areacalc.plant.cathode import cathode_for
from areacalc.plant.cathode_set import CathodeCheck, check_cathodes
from areacalc.plant.rack import RackCheck, check_rack
from areacalc.plant.rule import Judged
from areacalc.plant.supply import Mode, Supply
from areacalc.plant.tank import LOADING
from areacalc.plant.too_small import BuySupply, WaysOut, supply_to_buy, ways_out


@dataclass(frozen=True, slots=True)
class PlantPlan:
    """Every piece of equipment's verdict. cathode_face is the cathode area facing the part [mm2].

    buy is the supply that would do, where none is told; no_place says what the tank cannot hold at all.
    """

    cathode_face: Figure
    cathodes: CathodeCheck | None
    rack: RackCheck | None
    room: tuple[Judged, ...]
    ways_out: WaysOut | None
    buy: BuySupply | None
    no_place: tuple[Fact, ...]

    @property
    def judged(self) -> tuple[Judged, ...]:
        """All verdicts."""
        more = (self.cathodes.judged if self.cathodes else (), self.rack.judged if self.rack else ())
        return (*self.room, *(j for each in more for j in each))


def plan_plant(
    load: Load, parts: Sequence[PartArea], area: Figure, effective: Figure, currents: CurrentPlan,
    rack: RackCheck | None, run: RunPlan, time: TimePlan, most_v: float,
) -> PlantPlan:  # fmt: skip
    """The equipment at an area [mm2], the effective area [mm2] and the current [A].

    most_v is what the top of the window may ask of a supply.
    """
    cathodes = check_cathodes(load.cathodes, area, currents.set, load.ratio) if load.cathodes else None
    ways = None
    if load.supply is not None and (not currents.in_window or short_of_volts(load.supply, run, currents)):
        steady_s = time.charge.estimate.value * 3600.0 / currents.wanted_a
        ways = ways_out(
            load.supply, effective.estimate, load.count, currents.window.least_a_per_dm2,
            currents.wanted_a / (effective.estimate.value * 1e-4), steady_s, currents.most.estimate.high, most_v,
        )  # fmt: skip
        if short_of_volts(load.supply, run, currents):  # no area and no time brings volts that are not there
            ways = WaysOut(None, None, ways.buy)
    buy = supply_to_buy(currents.most.estimate.high, most_v) if load.supply is None else None
    loading = LOADING.judge(currents.set.estimate.value / load.tank.liquid_l)
    room = (*judge_room(load, parts, area), loading)
    return PlantPlan(
        cathode_for(area, load.ratio).figure, cathodes, rack, room, ways, buy, tuple(no_place(load, parts))
    )  # fmt: skip


def short_of_volts(supply: Supply, run: RunPlan, currents: CurrentPlan) -> bool:
    """Whether the supply's volts hold the current down: at its limit, or set to it and never reaching the current."""
    if supply.mode is Mode.VOLTAGE:
        return run.most_v >= supply.limit_v * (1.0 - 1e-9) and run.most_a < currents.set.estimate.value
    return any(by is LimitedBy.VOLTAGE for by, _, _ in run.spans())


def judge_rack(load: Load, area: Figure, current: Figure) -> RackCheck | None:
    """The rack at the current, where the load has one."""
    return check_rack(load.rack, current, load.count, area.estimate) if load.rack else None
