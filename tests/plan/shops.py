"""Simulated shops: runs in which everything that a plan knows only between ends has one hidden value.

The physics is written out anew for scipy's integrator, all shops side by side; none of the plan's own course is called.
"""

from dataclasses import dataclass

import numpy as np
from scipy.integrate import solve_ivp
from scipy.special import wrightomega

from areacalc.plan.plan import Plan
from areacalc.throw.bore_line import bore_line

GAS, ZERO_C = 8.31446261815324, 273.15
STILL, POWER, COLD = 293.0, 1.0 / 1.305, 0.008
REFERENCE_I, REFERENCE_C, REFERENCE_ACID = 1.5, 20.0, 172.5
NAMES = {
    "film": "coating per charge", "volts": "volts at the reference point",
    "energy": "warmth speeds growth (activation energy)",
    "order": "acid strength counts to the power", "v0": "more volts for 2.72 times the current",
    "rise": "rise of volts", "transfer": "heat transfer", "chemical": "chemical term",
    "held": "heat held by the bath",
}  # fmt: skip


@dataclass(frozen=True)
class Shops:
    """The hidden values of many shops, an array (n,) each by the names of NAMES.

    kappa and evening_v: how well the acid in a bore conducts, and the slope that evens the current out there;
    wall_growth and wall_energy: the life of a pore wall.
    """

    hidden: dict[str, np.ndarray]
    kappa: np.ndarray
    evening_v: np.ndarray
    wall_growth: np.ndarray
    wall_energy: np.ndarray
    factor: np.ndarray


def draw(plan: Plan, count: int, seed: int, corners: bool) -> Shops:
    """Shops with each unknown anywhere between its ends, or at either end."""
    rng = np.random.default_rng(seed)

    def one(estimate):
        share = rng.integers(0, 2, count) if corners else rng.random(count)
        return estimate.low + share * (estimate.high - estimate.low)

    found = {}
    for key, name in NAMES.items():
        (figure,) = (f for f in plan.run.inputs if f.name.startswith(name))
        found[key] = one(figure.estimate)
    (area,) = (f for f in plan.run.inputs if f.unit == "mm2")
    found["area"] = one(area.estimate) * 1e-4  # mm2 to dm2
    _, _, _, factor, growth, energy, *_ = plan.figure("ceiling").inputs
    length = plan.figures.get("wagner-length")
    kappa, slope = (each.estimate for each in length.inputs[:2]) if length else (growth.estimate, growth.estimate)
    return Shops(found, one(kappa), one(slope), one(growth.estimate), one(energy.estimate), one(factor.estimate))


def rise_k(flux_w_per_dm2, bath_c, way, transfer):
    """Surface above bath: moved acid by its coefficient, at least as much as still acid's own upward flow carries."""
    flux = 100.0 * flux_w_per_dm2 / (1.0 + COLD * (bath_c - 20.0))
    if way == "still":
        return (flux / transfer) ** POWER
    return np.minimum(flux / transfer, (flux / STILL) ** POWER)


def run(plan: Plan, shops: Shops) -> dict[str, np.ndarray]:
    """What comes out in each shop (n,), by the names of the plan's figures."""
    h, setting, load = shops.hidden, plan.run.course.setting, plan.load
    count, ramp_s, end_s = len(h["area"]), setting.ramp_s, plan.run.set_s
    bath_start, acid = load.bath.temperature_c, load.bath.acid_g_per_l
    cooling, way = load.bath.cooling_w, str(load.bath.agitation)

    def volts_less_log(bath_c, film, flux):
        law_c = bath_c
        if way != "air":
            law_c = bath_c + rise_k(flux, bath_c, way, h["transfer"]) - rise_k(flux, bath_c, "air", 1000.0)
        cold = 1e3 * h["energy"] / GAS * (1.0 / (ZERO_C + law_c) - 1.0 / (ZERO_C + REFERENCE_C))
        weak = h["order"] * np.log(acid / REFERENCE_ACID) + np.log(REFERENCE_I)
        return h["volts"] + h["v0"] * (cold - weak) + h["rise"] * film

    def meters(t, charge, bath_c):
        """Amperes and volts at the tank; the warmth of the surface and the volts are brought into agreement."""
        share = min(1.0, t / ramp_s) if ramp_s else 1.0
        if setting.held_v is None:
            amps, most_v = min(share * setting.current_a, setting.limit_a), setting.limit_v
        else:
            amps, most_v = setting.limit_a, share * min(setting.held_v, setting.limit_v)
        if amps <= 0.0 or share == 0.0:
            return np.zeros(count), np.zeros(count)
        film = h["film"] * charge / 60.0 / h["area"]
        flux = np.zeros(count)
        for _ in range(1 if way == "air" else 25):
            base = volts_less_log(bath_c, film, flux)
            current = np.full(count, amps)
            volts = np.maximum(base + h["v0"] * np.log(current / h["area"]), 0.0)
            over = volts + current * setting.series_ohm > most_v
            if np.isfinite(most_v) and over.any():
                reach = (most_v - base) / h["v0"]
                drop = np.maximum(setting.series_ohm, 1e-12) * h["area"] / h["v0"]
                held = h["area"] * wrightomega(reach + np.log(drop)) / drop
                current = np.where(over, held, current)
                volts = np.where(over, np.maximum(most_v - current * setting.series_ohm, 0.0), volts)
            flux = current * (volts + h["chemical"]) / h["area"]
        return current, volts

    def slopes(t, y):
        charge, _, bath_c = y.reshape(3, count)
        current, volts = meters(t, charge, bath_c)
        heat = current * (volts + h["chemical"])
        net = heat - cooling
        return np.concatenate(
            [current, heat, np.where((bath_c > bath_start) | (net > 0.0), net, 0.0) / h["held"] / 1e3]
        )

    start = np.concatenate([np.zeros(2 * count), np.full(count, float(bath_start))])
    last_s = 12.0 * plan.figure("time").estimate.high
    spans = [(0.0, ramp_s), (ramp_s, end_s), (end_s, last_s)] if 0 < ramp_s < end_s else [(0.0, end_s), (end_s, last_s)]
    times, states = [np.array([0.0])], [start[:, None]]
    for one, two in spans:
        at = np.linspace(one, two, 200)
        made = solve_ivp(
            slopes, (one, two), states[-1][:, -1], t_eval=at, rtol=1e-6, atol=1e-3, max_step=(two - one) / 20
        )
        times.append(at[1:])
        states.append(made.y[:, 1:])
    time = np.concatenate(times)
    charge, heat, bath = np.hstack(states).reshape(3, count, -1)
    return _told(plan, shops, time, charge, heat, bath, meters, way)


def _told(plan, shops, time, charge, heat, bath, meters, way):
    h, load, ramp_s, end_s = shops.hidden, plan.load, plan.run.ramp_s, plan.run.set_s
    per = [meters(t, charge[:, k], bath[:, k]) for k, t in enumerate(time)]
    amps, volts = (np.array(rows).T for rows in zip(*per, strict=True))
    end, ramp = int(np.searchsorted(time, end_s)), int(np.searchsorted(time, ramp_s))
    flux = amps * (volts + h["chemical"][:, None]) / h["area"][:, None]
    above = np.array([rise_k(flux[:, k], bath[:, k], way, h["transfer"]) for k in range(len(time))]).T
    film = h["film"] * charge[:, end] / 60.0 / h["area"]
    wanted = plan.figure("coating-wanted").estimate.value * 60.0 * h["area"] / h["film"]
    held = np.maximum(end_s - ramp_s, 1e-9)
    density = (charge[:, end] - charge[:, ramp]) / held / h["area"]
    over = slice(ramp, end + 1)
    surface = np.trapezoid((bath + above)[:, over], time[over], axis=1) / held
    life = shops.wall_growth * shops.factor * density * np.exp(
        1e3 * shops.wall_energy / GAS * (1.0 / (ZERO_C + surface) - 1.0 / (ZERO_C + 22.1)))  # fmt: skip
    band_c = load.bath.temperature_c + load.bath.band_k
    return {
        "charge": charge[:, end] / 3600.0, "charge-wanted": wanted / 3600.0, "coating": film, "density": density,
        "time": _when(time, charge, wanted), "time-in-band": _when(time, bath, np.full(len(film), band_c)),
        "voltage-start": volts[:, ramp], "voltage-end": volts[:, end],
        "voltage-supply-start": volts[:, ramp] + amps[:, ramp] * plan.run.course.setting.series_ohm,
        "voltage-supply": volts[:, end] + amps[:, end] * plan.run.course.setting.series_ohm,
        "heat": (heat[:, end] - heat[:, ramp]) / held, "heat-on-surface": flux[:, : end + 1].max(axis=1),
        "surface-rise": above[:, : end + 1].max(axis=1), "surface": surface,
        "warming": bath[:, end] - load.bath.temperature_c, "bath-end": bath[:, end],
        "ceiling": life * (175.0 / load.bath.acid_g_per_l) ** 0.81, **_down_the_bores(plan, shops, density, film),
        "growth-inward": 0.20722 * charge[:, end] / 60.0 / h["area"],
    }  # fmt: skip


def _down_the_bores(plan, shops, density, film):
    """The line down each bore told, itself held elsewhere against closed forms and finite elements."""
    made = {}
    for told in plan.bores:
        bore = next(
            b.bore
            for part in plan.throw.parts
            for b, _ in part.bores
            if (part.name, b.names) == (told.part, told.names)
        )
        wagner = 10.0 * shops.kappa * shops.evening_v / density
        lag = 5.0 * shops.kappa * shops.hidden["rise"] * film / density
        lines = [bore_line(bore, *lengths) for lengths in zip(wagner.tolist(), lag.tolist(), strict=True)]
        for name in ("mouth", "mean", "least"):
            made[f"{told.key}.{name}"] = density * np.array([getattr(line, name) for line in lines])
        made[f"{told.key}.coating"] = film * np.array([line.least for line in lines])
    return made


def _when(time, rows, wanted):
    """When each row first passes its mark; never: infinity."""
    out = np.full(len(rows), np.inf)
    for k, row in enumerate(rows):
        if row[-1] >= wanted[k]:
            after = int(np.searchsorted(row, wanted[k]))
            out[k] = np.interp(wanted[k], row[max(after - 1, 0) : after + 1], time[max(after - 1, 0) : after + 1])
    return out
