"""A plan reads the run as it happens: each figure beside scipy's integrator, which is given the equations anew."""

import math

import pytest
from loads import BARE, bare, desk_set
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from areacalc.bath.burn import Burning
from areacalc.digits import three
from areacalc.load.read_load import load_of
from areacalc.plan.fault import FaultKind, Weight
from areacalc.plan.plan import plan_of
from areacalc.report.words.tell import tell

R_GAS, ENERGY, CHEMICAL, FILM_A_MIN, RISE, RAMP_S = 8.31446261815324, 53.2e3, 1.413384, 0.305, 0.05, 300.0
HELD = 4045.0  # J/(L K): 3636 J/(kg K) x 1.1121 kg/L at 180 g/L and 20 C


def value(made, name):
    return made.figure(name).estimate.value


def law(density, bath_c, film_um):
    """Volts at 180 g/L, in a bath stirred by air, as the curves were taken in."""
    cold = ENERGY / R_GAS * (1.0 / (273.15 + bath_c) - 1.0 / 293.15)
    return 15.0 + 6.5 * (math.log(density / 1.5) + cold - 0.81 * math.log(180.0 / 172.5)) + RISE * film_um


def by_scipy(end_s, area_dm2, set_a, limit_v, litres=10.0, held_v=None):
    """Charge [C], heat [J], volts, density and bath at the end, and charge and heat as the ramp ends."""

    def state(t, y):
        share, film = min(1.0, t / RAMP_S), FILM_A_MIN * y[0] / 60.0 / area_dm2
        bath = 20.0 + y[1] / HELD / litres
        most_v = limit_v if held_v is None else share * min(held_v, limit_v)
        amps = share * set_a if held_v is None else 3.0
        if amps <= 0.0 or most_v <= 0.0:
            return 0.0, 0.0
        if law(amps / area_dm2, bath, film) > most_v:
            amps = area_dm2 * brentq(lambda i: law(i, bath, film) - most_v, 1e-9, amps / area_dm2)
        return amps, max(law(amps / area_dm2, bath, film), 0.0)

    def slopes(t, y):
        amps, volts = state(t, y)
        return [amps, amps * (volts + CHEMICAL)]

    done = solve_ivp(slopes, (0.0, end_s), [0.0, 0.0], rtol=1e-7, atol=1e-4, max_step=10.0, dense_output=True)
    end, ramp = done.y[:, -1], done.sol(min(RAMP_S, end_s))
    amps, volts = state(end_s, end)
    return {
        "charge": end[0] / 3600.0, "warming": end[1] / HELD / litres, "voltage-end": volts,
        "heat": (end[1] - ramp[1]) / (end_s - RAMP_S), "end-a": amps,
        "density": (end[0] - ramp[0]) / (end_s - RAMP_S) / area_dm2,
    }  # fmt: skip


RUNS = [
    {}, {"supply_voltage": "13 V"}, {"supply_mode": "constant voltage"},
    {"supply_mode": "constant voltage", "supply_voltage": "16 V"}, {"finish_certainty": "50 %"},
]  # fmt: skip


@pytest.mark.parametrize("keys", RUNS, ids=str)
def test_the_figures_of_a_run_are_those_of_its_course(keys):
    made = desk_set(**keys)
    area = value(made, "effective-area") * 1e-4
    limit_v, held_v = made.load.supply.limit_v, None
    if "supply_mode" in keys:
        held_v = law(value(made, "current") / area, 20.0, 0.0)
    expected = by_scipy(value(made, "time"), area, value(made, "current"), limit_v, held_v=held_v)
    for name in ("charge", "warming", "voltage-end", "heat", "density"):
        assert value(made, name) == pytest.approx(expected[name], rel=3e-3), name
    assert made.run.moments()[-1, 1] == pytest.approx(expected["end-a"], rel=3e-3)


def test_the_time_in_the_band_counts_the_ramp_as_it_is():
    """The same run with a bath so large that it hardly warms, but for its band."""
    made = desk_set()
    area, end_s = value(made, "effective-area") * 1e-4, value(made, "time-in-band")
    assert by_scipy(end_s, area, 3.0, 30.0)["warming"] == pytest.approx(2.0, rel=5e-3)


def test_volts_that_hold_the_current_down_are_seen_in_every_figure():
    """13 V drive the desk set at 1.05 to 1.2 A/dm2: half the heat, no ice, a low ceiling, the bore nearly caught up."""
    full, held = desk_set(), desk_set(supply_voltage="13 V")
    assert 1.0 < value(held, "density") < 1.2
    assert value(held, "warming") < 0.7 * value(full, "warming") * value(held, "time") / value(full, "time")
    assert "ice" not in held.figures
    assert held.figure("cooling").estimate.value == 0.0
    assert value(held, "ceiling") == pytest.approx(21.0, abs=0.5)
    shares = [made.figure("bores-1.coating").estimate.value / value(made, "coating") for made in (full, held)]
    assert shares[1] > 1.25 * shares[0]
    assert held.bores[0].film.estimate.value > full.bores[0].film.estimate.value
    assert {FaultKind.VOLTS_HOLD_DOWN, FaultKind.VOLTS_TOO_LOW} <= {f.kind for f in held.faults}


def test_a_density_above_the_windows_in_a_warm_bath_is_no_hard_coating():
    made = bare(litres=200, amps=3, density="2.8 A/dm2")
    assert not made.is_hard
    assert value(made, "warming") < 0.1
    assert bare(bath=0, density="2.8 A/dm2", litres=200).is_hard
    assert bare(density="hard", litres=200).is_hard


def test_a_hard_coating_in_a_warm_bath_is_a_fault():
    cold, warm = (bare(bath=bath, density="hard", litres=500) for bath in (0, 20))
    told = [{fault.kind: fault.weight for fault in made.faults} for made in (cold, warm)]
    assert FaultKind.TOO_WARM_FOR_HARD not in told[0]
    assert told[1][FaultKind.TOO_WARM_FOR_HARD] is Weight.WATCH  # its limit is from memory


def test_hard_coating_is_stopped_by_a_bath_that_warms_and_by_nothing_else():
    small, large, cooled = (bare(bath=0, density="hard", film=50, agitation="pump", **tank) for tank in (
        {}, {"litres": 500}, {"cooling": "400 W"}))  # fmt: skip
    assert FaultKind.HARD_BATH_WARMS in {f.kind for f in small.faults if f.weight is Weight.STOPS}
    assert large.can_run
    assert cooled.can_run


def test_a_bath_that_warms_is_told_with_the_likely_cooling_and_the_one_to_be_sure():
    made = bare(litres=5)
    rise, cooling = (made.figures[name].estimate for name in ("warming", "cooling"))
    (said,) = (tell(fault.fact) for fault in made.faults if fault.kind is FaultKind.BATH_WARMS)
    assert f"warms by {three(rise.value)} C ({three(rise.low)} to {three(rise.high)})" in said
    assert f"Cool it by {three(cooling.value)} W, by {three(cooling.high)} W to be sure" in said


@pytest.mark.parametrize(("agitation", "rise"), [("still", 8.2), ("air", 4.9), ("pump", 2.6)])
def test_the_surface_stands_above_the_bath_as_it_is_stirred(agitation, rise):
    """2.48 A/dm2 at some 18 V make 48 W/dm2; heat transfer 1000 and 2000 W/(m2 K), still acid by natural convection."""
    made = bare(agitation=agitation, litres=500)
    assert value(made, "surface-rise") == pytest.approx(rise, abs=0.15)


def test_still_acid_lowers_the_volts_and_the_ceiling():
    still, air, pump = (bare(agitation=way, litres=500) for way in ("still", "air", "pump"))
    volts, tops = ([value(made, name) for made in (still, air, pump)] for name in ("voltage-end", "ceiling"))
    assert volts == sorted(volts)
    assert tops == sorted(tops)
    # 8.0 - 4.7 K warmer than in a bath stirred by air: 6.5 V x 0.0744 a K
    assert volts[1] - volts[0] == pytest.approx(6.5 * 0.0744 * 3.3, rel=0.1)


def burns(made):
    return {cause.kind for cause in made.burn.causes}


def test_ordinary_films_stand_without_stirring_and_hard_coating_does_not():
    plain = bare(agitation="still", density="1.5 A/dm2", litres=500)
    assert Burning.UNSTABLE not in burns(plain)
    # 1.5 A/dm2 x (14.1 + 1.4) V over 13.43 K: the surface is 2.5 K warmer than in a bath stirred by air
    assert value(plain, "least-heat-transfer") == pytest.approx(100.0 * 1.5 * 15.5 / 13.43, rel=0.01)
    hard = {way: bare(agitation=way, bath=0, density="hard", film=50, litres=900) for way in ("still", "pump")}
    assert Burning.UNSTABLE in burns(hard["still"])
    assert Burning.UNSTABLE not in burns(hard["pump"])


def test_what_stirs_the_bath_is_said_where_nothing_was_told():
    told = {f.kind for f in bare().faults}
    left_out = plan_of(load_of(BARE.replace('agitation = "{agitation}"\n', "").format(
        area="130 cm2", bath=20, cooling="0 W", litres=10, amps=10, density="small-tank", film=12)))  # fmt: skip
    assert FaultKind.AGITATION_NOT_GIVEN not in told
    assert FaultKind.AGITATION_NOT_GIVEN in {f.kind for f in left_out.faults}
    assert value(left_out, "surface-rise") == value(bare(), "surface-rise")


@pytest.mark.parametrize(("keys", "mm2"), [
    ({"rack_kind": "", "rack_wires": 4, "rack_wire_surface": "bare", "rack_wet": "100 mm"},
     math.pi * 2.0 * 4 * 100.0),  # 25 cm2
    ({"rack_wire_surface": "insulated"}, 0.0), ({"rack_wire_surface": "bare", "rack_metal": "titanium"}, 0.0),
])  # fmt: skip
def test_bare_aluminium_of_the_rack_is_wetted_area(keys, mm2):
    made, plain = desk_set(**keys, supply_current="6 A"), desk_set(supply_current="6 A")
    assert value(made, "area") - value(plain, "area") == pytest.approx(mm2)
    assert value(made, "current") - value(plain, "current") == pytest.approx(mm2 * 1e-4 * 0.16 / 0.064516, rel=2e-2)
    assert value(made, "density") == pytest.approx(value(plain, "density"), rel=1e-3)
    assert ("rack-area" in made.figures) == (mm2 > 0.0)
    if mm2:
        # 0.20722 um of metal for one A min/dm2, and 4 um more as it is stripped, from both sides
        charge = value(made, "charge") * 60.0 / value(made, "effective-area") * 1e4
        assert value(made, "rack-thinning") == pytest.approx(2e-3 * (0.20722 * charge + 4.0), rel=1e-3)


def test_a_film_of_ones_own_narrows_the_film_and_shortens_the_run():
    loose, own = (
        desk_set(),
        desk_set(bath_measured_coating="12 um", bath_measured_density="2.4 A/dm2", bath_measured_time="16.4 min"),
    )
    assert own.figure("coating").estimate.width < 0.8 * loose.figure("coating").estimate.width
    assert value(own, "time") < value(loose, "time")


@pytest.mark.parametrize("certainty", [50, 80, 95, 99])
def test_a_surer_film_takes_longer(certainty):
    made, surer = (desk_set(finish_certainty=f"{c} %") for c in (certainty, min(certainty + 4, 99)))
    assert value(made, "time") <= value(surer, "time")
    assert value(made, "coating") >= 12.0 * (1 - 1e-9)
