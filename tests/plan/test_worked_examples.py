"""The two worked examples of the README, every figure followed by hand once in the comments."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from areacalc.load.read_load import load_of
from areacalc.plan.load_book import LoadBook
from areacalc.plan.plan import plan_of
from areacalc.plan.tank_duty import duty_for
from areacalc.plant.largest import largest
from areacalc.plant.new_tank import size_tank
from areacalc.report.figures import bounds_text, value_text
from areacalc.report.tank_document import tank_figures

ROOT = Path(__file__).parents[2]
README = (ROOT / "README.md").read_text("utf-8")


def table(heading):
    """The figures of a section: name -> (figure, least to most)."""
    section = README.split(f"## {heading}\n")[1].split("\n## ")[0]
    rows = [[c.strip() for c in line.strip("|").split("|")] for line in section.splitlines() if line.startswith("|")]
    return {row[0]: (row[-2], row[-1]) for row in rows[2:]}


@pytest.fixture(scope="module")
def plan():
    return LoadBook(ROOT / "sample_models" / "desk-set.toml").plan()


@pytest.fixture(scope="module")
def tank():
    load = largest("a tube of 400 x 30 x 26 mm")
    duty = duty_for(load, 12.0)
    design = size_tank(load, duty)
    return design, tank_figures(design, (duty.current, duty.volts, duty.heat, duty.run))


@pytest.mark.parametrize("name", table("Plan a load"))
def test_the_readme_says_what_the_plan_says(plan, name):
    figure = plan.figures[name]
    assert (value_text(figure), bounds_text(figure)) == table("Plan a load")[name]


@pytest.mark.parametrize("name", table("A new, larger tank"))
def test_the_readme_says_what_the_tank_says(tank, name):
    figure = tank[1][name]
    assert (value_text(figure), bounds_text(figure)) == table("A new, larger tank")[name]


def near(value, rel=2e-3):
    return pytest.approx(value, rel=rel)


def test_the_desk_set_by_hand(plan):
    v = {name: figure.estimate.value for name, figure in plan.figures.items()}
    low, high = ({n: getattr(f.estimate, end) for n, f in plan.figures.items()} for end in ("low", "high"))

    # Pen body. Thread M10.5x0.75 over 16 mm: d = 10.5, d1 = 10.5 - 5/4 x 0.6495 = 9.688, flank (10.5 - 9.688) / 2 /
    # cos 30 = 0.4688; a pitch of skin pi (10.5 x 0.0938 + 9.688 x 0.1875 + 2 x 10.094 x 0.4688) = 38.53, over 0.75:
    # 51.37 a mm, 822. Step pi/4 (12^2 - 10.5^2) = 26.5, less 8.2 for its r0.5. Cone pi x 12.3 x 44.0 = 1700. Arc
    # r700 from 12.6 to 9 over 52 mm: 1871. Cone pi x 7 x 6.32 = 139. Outside 4551. Ends pi/4 (10.5^2 - 9.2^2) =
    # 20.1 and pi/4 (5^2 - 2.6^2) = 14.3. Bore pi x 9.2 x 18 + pi x 8 x 70 + pi
    # x 2.6 x 30 = 2524.6, shoulders pi/4 (9.2^2 - 8^2) + pi/4 (8^2 - 2.6^2) = 61.2: 2586. In all 7171.
    body, cap, knob = (part.each.estimate.value for part in plan.parts)
    assert body == near(822 + 26.5 - 8.2 + 1700 + 1871 + 139 + 20.1 + 14.3 + 2586)

    # Pen cap, its bore plugged. Chamfer pi x 12.6 x 0.566 = 22.4, cone pi x 12.7 x 51.6 = 2058.8, arc r9 from 12.4
    # to 8 over 6 mm, 6.53 long at a mean diameter of 10.9: 224. Ends pi/4 (12.2^2 - 9.7^2) = 43.0, pi/4 8^2 = 50.3.
    assert cap == near(22.4 + 2058.8 + 224 + 43.0 + 50.3)

    # Lamp knob, its bore plugged: outside 1489 (the knurl of 15.4 mm counts 1.207 times its smooth 677, which is 1
    # to 1.414 times), ends 170.9 and 50.3: 1710, from 1570 to 1850.
    assert knob == near(1489 + 170.9 + 50.3)
    assert plan.parts[2].each.estimate.high - plan.parts[2].each.estimate.low == near(0.41421 * 677, 5e-3)

    # 7171 + 2398 + 2 x 1710 = 12990 mm2, 20.13 in2.
    assert v["area"] == near(12990, 1e-4)
    # 58.3 S/m, less 3 % for 5 g/L of aluminium, 56.5 S/m, x 6.5 V / 248 A/m2 = 1.4815 m; x 0.05 V/um x 6 um = 0.0684 m
    # for the film: the pen's open bore takes 0.6535 of the outside in the mean, 0.5235 at the least (scipy's boundary
    # value solver, tests/throw/test_bore_line.py).
    assert v["wagner-length"] == near(1481.5)
    assert v["film-length"] == near(68.4)
    thrown = plan.bores[0].thrown
    assert (thrown.mean_share.estimate.value, thrown.least_share.estimate.value) == near((0.6535, 0.5235))
    # 12990 - 2585.8 x (1 - 0.6535) = 12094 mm2, 18.746 in2; all of 12990 and knurls at most, 13270.
    assert v["effective-area"] == near(12094, 2e-4)
    assert high["effective-area"] == near(13270, 2e-4)
    # 145, 160 and 175 mA/in2 x 18.746 in2 = 2.718, 2.999 and 3.280 A; the supply gives 3 A.
    assert v["current-least"] == near(2.718, 5e-4)
    assert v["current"] == near(2.999, 5e-4)
    assert v["current-most"] == near(3.280, 5e-4)
    # 160 mA/in2 are 2.4800 A/dm2
    assert v["density"] == near(2.4800, 1e-4)

    # 12 um / 0.327741 um per A min/dm2 = 36.614 A min/dm2, x 1.2094 = 44.28 A min = 0.7380 Ah.
    assert v["charge"] == near(0.7380, 2e-4)
    # / 2.999 A = 14.764 min, and half the ramp of 5 min: 17.264 min.
    assert v["time"] / 60.0 == near(17.264, 1e-4)
    # The other charge rule, 3.12 A min a micrometre, and 0.95 of it (6061, recalled): 12 / 0.320513 / 0.95 x 1.3270 dm2
    # (all knurls sharp, the bore as good as the outside) / 2.999 + 2.5 = 19.94 min.
    assert high["time"] / 60.0 == near(19.94, 1e-3)
    # 44.28 A min over 1.2094 dm2 is 12 um again; over 1.3270 by the other rule and 0.95 of it
    # 33.368 x 0.320513 x 0.95 = 10.160.
    assert v["film"] == near(12.0, 1e-9)
    assert low["film"] == near(10.160, 1e-3)
    # 12 x 0.5235 = 6.282 um where it is thinnest
    assert v["bores-1.film"] == near(6.282)

    # 15 + 6.5 (ln(2.48 / 1.5) - 0.81 ln(180 / 172.5)) = 15 + 6.5 (0.50279 - 0.03447) = 18.044 V; 20 C is the
    # reference.
    assert v["voltage-start"] == near(18.044, 1e-4)
    # at most, from 20 V at the reference, strength left out: 2.999 / 1.1624 = 2.580 A/dm2, 20 + 7 x 0.5424 = 23.80
    assert high["voltage-start"] == near(23.80, 5e-4)
    # + 0.05 V/um x 12 um = 18.644 V
    assert v["voltage-end"] == near(18.644, 1e-4)
    # 2.999 A x (18.344 V in the mean + 1.4134 V) = 59.26 W
    assert v["heat"] == near(59.26, 5e-4)
    # 180 g/L are 16.20 wt%: 3636 J/(kg K) x 1.1121 kg/L = 4.045 kJ/(L K), x 10 L (320 x 125 x 250 mm) = 40.45 kJ/K.
    # 59.26 W x 1035.8 s = 61.38 kJ: 1.5175 K.
    assert v["warming"] == near(1.5175, 2e-3)
    # 2 K x 40.45 kJ/K / 59.26 W = 1365 s = 22.75 min
    assert v["time-in-band"] / 60.0 == near(22.75, 2e-3)

    # 4 strips x 40 x 180 mm = 28800 mm2 / 12990 = 2.217, at least 2
    assert v["cathode-over-part"] == near(2.217, 1e-3)
    # 0.7380 Ah x 0.4488 L/Ah (20 C) = 0.3312 L
    assert v["hydrogen"] == near(0.3312, 5e-4)
    # 0.012990 m2 x 81 mL/m2 = 1.052 mL; nothing is held in the plugged bores or the open one
    assert v["drag-out"] == near(1.052, 1e-3)


def test_the_larger_tank_by_hand(tank):
    design, figures = tank
    v = {name: figure.estimate.value for name, figure in figures.items()}
    # pi (30 + 26) x 400 = 70371.7, two ends pi/4 (30^2 - 26^2) = 175.9 each: 70723.5 mm2, 109.62 in2
    assert design.load.area_mm2.value == near(70723.5, 1e-5)
    # 160 mA/in2 x 109.62 = 17.539 A, 145 and 175: 15.895 and 19.184 A
    assert v["current"] == near(17.539, 1e-4)
    assert figures["current"].estimate.high == near(19.184, 1e-4)
    # 2.48 A/dm2: 15 + 6.5 (ln(2.48 / 1.5) - 0.03447) = 18.044 V, + 0.05 x 12 = 18.644 V
    assert v["voltage"] == near(18.644, 1e-4)
    # 17.539 A x (18.344 V in the mean + 1.4134) = 346.5 W
    assert v["heat"] == near(346.5, 2e-4)
    # 36.614 A min/dm2 / 2.48002 A/dm2 = 14.764 min, and half the ramp of 5 min
    assert v["time"] / 60.0 == near(17.264, 1e-4)

    # Length 400 + 2 x 50 at the ends = 500. Width 30 + 2 x (150 to the cathode + 3 of strip + 10 behind) = 356:
    # 360. Cathodes: twice 70723.5, one such face a side; over 500 - 2 x 10 = 480 mm that is 147.3: 150 mm deep.
    # Depth 150 + 75 below = 225: 230. Liquid 0.500 x 0.360 x 0.230 m3 = 41.4 L.
    assert (design.tank.length_mm, design.tank.width_mm, design.tank.depth_mm) == (500.0, 360.0, 230.0)
    assert (design.cathodes.count, design.cathodes.width_mm, design.cathodes.immersed_mm) == (2, 480.0, 150.0)
    assert v["liquid"] == near(41.4, 1e-9)
    assert v["cathode-face-wanted"] == near(141447, 1e-5)
    assert v["cathode-face"] == 2 * 480.0 * 150.0
    # 2 x 480 x 3 x (150 + 75 freeboard + 40) mm3 x 2.70 g/cm3 = 2060.6 g
    assert v["cathode-mass"] == near(2060.6, 1e-4)
    # 346.5 W x 1035.8 s / (4045 J/(L K) x 2 K) = 44.4 L, a little over the 41.4 L: 346.5 - 4045 x 41.4 x 2 / 1035.8
    # = 23.2 W of cooling
    assert v["liquid-by-heat"] == near(44.4, 2e-3)
    assert v["cooling"] == near(23.2, 5e-3)
    # at most: 20 + 7 ln(2.7125 / 1.5) = 24.147, + 0.1 x 12 = 25.347 V; 19.184 A x (24.747 in the mean + 1.834) = 509.9
    # W, less 4045 x 41.4 x 2 / 1055.8 s = 317.2: 192.7 W
    assert figures["voltage"].estimate.high == near(25.347, 1e-4)
    assert figures["cooling"].estimate.high == near(192.7, 1e-3)
    # 17.539 A x 0.42e-3 m3/Ah x 24 x 5 = 0.884 m3/h (EN 50272-3 with one cell)
    assert v["air"] == near(0.884, 1e-3)
    # 19.184 A / 0.8 = 23.98 A. 25.347 V at most + 19.184 A x 4 m of 4 mm2 copper (0.01724 ohm) = 0.331 V + 0.5 V:
    # 26.18 V
    assert design.supply_a == near(23.98, 1e-4)
    assert design.supply_v == near(26.18, 1e-3)
    # Brimful 0.500 x 0.360 x 0.305 = 54.9 L; the tub of 620 x 480 mm holds it round the tank's 10 mm walls.
    assert design.tank.brimful_l == near(54.9, 1e-9)
    # free floor 620 x 480 - (520 x 380 - 500 x 360) = 280000 mm2; 54.9 L / 0.28 m2 = 196 + 2 x 10: 220 mm; holds 58.8 L
    assert (design.tub.length_mm, design.tub.width_mm, design.tub.height_mm) == (620.0, 480.0, 220.0)
    assert design.tub.holds_l == near(58.8, 1e-9)


@pytest.mark.parametrize("film", [2.0, 12.0])  # the thin one is there before the ramp is over
def test_the_tank_and_the_plan_say_the_same_of_one_load(film):
    load = largest("a tube of 400 x 30 x 26 mm")
    duty = duty_for(load, film)
    text = f"""
        [[part]]
        area = "{load.area_mm2.value!r} mm2"
        [bath]
        acid = "180 g/L"
        temperature = "20 C"
        [tank]
        volume = "41.4 L"
        [supply]
        current = "99 A"
        voltage = "60 V"
        ramp = "5 min"
        [finish]
        thickness = "{film} um"
    """
    made = plan_of(load_of(text, "tube.toml"))
    asked = {"current": duty.current, "voltage-end": duty.volts, "heat": duty.heat, "time": duty.run}
    for name, figure in asked.items():
        assert made.figures[name].estimate.value == near(figure.estimate.value, 2e-3), name


def test_the_sizes_in_the_readmes_words_are_those_of_the_tank(tank):
    design = tank[0]
    words = re.sub(r"\s+", " ", README.split("## A new, larger tank")[1].split("\n## ")[0])
    made, strips = design.tank, design.cathodes
    assert f"{made.length_mm:g} x {made.width_mm:g} mm inside with {made.depth_mm:g} mm of liquid" in words
    assert f"sheet of {strips.width_mm:g} mm hangs {strips.immersed_mm:g} mm deep" in words
    assert f"at least {design.supply_a:.3g} A and {design.supply_v:.3g} V" in words
