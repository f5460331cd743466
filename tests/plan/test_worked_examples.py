"""The two worked examples of the documentation, every figure followed by hand once in the comments."""

import re
from pathlib import Path

import pytest

from areacalc.load.read_load import load_of
from areacalc.plan.load_book import LoadBook
from areacalc.plan.plan import plan_of
from areacalc.plan.tank_duty import TankRun, duty_for
from areacalc.plant.largest import largest
from areacalc.plant.new_tank import size_tank
from areacalc.report.figures import bounds_text, value_text
from areacalc.report.tank_document import tank_figures

ROOT = Path(__file__).parents[2]
DOCS = "".join((ROOT / "areacalc/docs" / f"{name}.md").read_text("utf-8") for name in ("planning", "rack_and_tank"))


def table(heading):
    """The figures of a section: name -> (figure, least to most)."""
    section = DOCS.split(f"## {heading}\n")[1].split("\n## ")[0]
    rows = [[c.strip() for c in line.strip("|").split("|")] for line in section.splitlines() if line.startswith("|")]
    return {row[0]: (row[-2], row[-1]) for row in rows[2:]}


@pytest.fixture(scope="module")
def plan():
    return LoadBook(ROOT / "sample_models" / "desk-set.toml").plan()


@pytest.fixture(scope="module")
def tank():
    load = largest("a tube of 400 x 30 x 26 mm")
    duty = duty_for(load)
    design = size_tank(load, duty)
    return design, tank_figures(design, (duty.current, duty.volts, duty.heat, duty.run))


@pytest.mark.parametrize("name", table("Plan a load"))
def test_the_documentation_says_what_the_plan_says(plan, name):
    figure = plan.figures[name]
    assert (value_text(figure), bounds_text(figure)) == table("Plan a load")[name]


@pytest.mark.parametrize("name", table("A new, larger tank"))
def test_the_documentation_says_what_the_tank_says(tank, name):
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

    # 7171 + 2398 + 2 x 1710 = 12990 mm2, 20.13 in2; the rack is insulated.
    assert v["area"] == near(12990, 1e-4)
    assert "rack-area" not in v
    # 3 A over 1.2125 dm2 are 2.474 A/dm2. The acid in the bores stands half way up the surface's 4.8 K, at 22.4 C: 60.2
    # S/m, less 3 % for 5 g/L of aluminium, 58.35 S/m, x 6.5 V / 247.4 A/m2 = 1.533 m; x 0.05 V/um x half of 14.2 um =
    # 0.0837 m for the film: the pen's open bore takes 0.6655 of the outside in the mean, 0.5366 at the least (scipy's
    # boundary value solver, tests/throw/test_bore_line.py).
    assert v["wagner-length"] == near(1533)
    assert v["coating-length"] == near(83.7)
    thrown = plan.bores[0].thrown
    assert (thrown.mean_share.estimate.value, thrown.least_share.estimate.value) == near((0.6655, 0.5366))
    # 12990 - 2585.8 x (1 - 0.6655) = 12125 mm2, 18.794 in2; all of 12990 and knurls at most, 13270.
    assert v["effective-area"] == near(12125, 2e-4)
    assert high["effective-area"] == near(13270, 2e-4)
    # 145, 160 and 175 mA/in2 x 18.794 in2 = 2.725, 3.007 and 3.289 A; the supply gives 3 A: 2.474 A/dm2.
    assert v["current-least"] == near(2.725, 5e-4)
    assert plan.currents.wanted_a == near(3.007, 5e-4)
    assert v["current"] == 3.0
    assert v["current-most"] == near(3.289, 5e-4)
    assert v["density"] == near(2.474, 3e-4)

    # 95 of 100: area over film for a charge, drawn two million times from triangles of 1.1625, 1.2125, 1.3270 dm2 and
    # 0.247 (0.26 x 0.95 for 6061, recalled), 0.305, 0.35 um per A min/dm2, is 4.698 dm2 A min/(dm2 um) or less in 95:
    # 12 um x 4.698 / 3 A = 18.79 min, and half the ramp of 5 min: 21.29 min.
    assert v["time"] / 60.0 == near(21.29, 3e-3)
    # at most 12 / 0.247 x 1.3270 / 3 + 2.5 = 23.99 min
    assert high["time"] / 60.0 == near(23.99, 1e-3)
    # 3 A x 18.79 min = 0.9396 Ah; / 1.2125 dm2 = 46.49 A min/dm2: x 0.305 = 14.18 um; at least, over 1.3270, x 0.247
    # = 10.49, at most, over 1.1625, x 0.35 = 16.97
    assert v["charge"] == near(0.9396)
    assert (low["coating"], v["coating"], high["coating"]) == near((10.49, 14.18, 16.97), 3e-3)
    # 14.18 x 0.5366 = 7.61 um where it is thinnest
    assert v["bores-1.coating"] == near(7.61, 3e-3)

    # As the ramp ends, 1.9 um of film and 0.18 K later: 15 + 6.5 (ln(2.474 / 1.5) - 0.81 ln(180 / 172.5)) + 0.05 x 1.9
    # = 18.12, less 6.5 V x 0.0744 x 0.18 = 18.04 V.
    assert v["voltage-start"] == near(18.04, 5e-4)
    # at the end 14.18 um give 0.71 V and 1.59 K take 0.77 V: 17.97 V
    assert v["voltage-end"] == near(17.97, 5e-4)
    # Followed by scipy's integrator, 3 A x (volts + 1.4134): 7.30 kJ in the ramp, 58.25 W after it
    assert v["heat"] == near(58.25, 1e-3)
    # 180 g/L are 16.20 wt%: 3636 J/(kg K) x 1.1121 kg/L = 4.045 kJ/(L K), x 10 L (320 x 125 x 250 mm) = 40.45 kJ/K.
    # 7.30 kJ + 58.25 W x 977.5 s = 64.24 kJ: 1.588 K.
    assert v["warming"] == near(1.588, 3e-3)
    # 80.9 kJ less 64.24 at 58.2 W: another 4.77 min, 26.07 min
    assert v["time-in-band"] / 60.0 == near(26.07, 2e-3)
    # 2.474 A/dm2 x (18.04 + 1.41) V = 48.1 W/dm2, over 1000 W/(m2 K): 4.8 K, of 8.314 x 293.15^2 / 53200 = 13.43 K
    assert v["heat-on-surface"] == near(48.1)
    assert v["surface-rise"] == near(4.81)
    assert v["stable-rise"] == near(13.43, 1e-3)

    # 4 strips x 40 x 180 mm = 28800 mm2 / 12990 = 2.217, at least 2
    assert v["cathode-over-part"] == near(2.217, 1e-3)
    # 0.9396 Ah x 0.4488 L/Ah (20 C) = 0.4217 L
    assert v["hydrogen"] == near(0.4217)
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
    # 1 / film for a charge is 3.647 or less in 95 of 100 draws from the triangle 0.26, 0.305, 0.35: 12 um x 3.647 /
    # 2.480 A/dm2 = 17.65 min, and half the ramp of 5 min; with all at its value 17.65 x 2.480 x 0.305 = 13.35 um come
    assert v["time"] / 60.0 == near(20.15)
    # 2.48 A/dm2: 15 + 6.5 (ln(2.48 / 1.5) - 0.03447) = 18.044 V, + 0.05 x 13.35 = 18.711 V
    assert v["voltage"] == near(18.711, 2e-4)
    # followed by scipy's integrator, 17.539 A x (volts + 1.4134): 347.96 W after the ramp, 359.0 kJ in all
    assert v["heat"] == near(347.96, 3e-4)

    # Length 400 + 2 x 50 at the ends = 500. Width 30 + 2 x (75 to the cathode + 3 of strip + 10 behind) = 206:
    # 210. Cathodes: twice 70723.5, one such face a side; over 500 - 2 x 10 = 480 mm that is 147.3: 150 mm deep.
    # Depth 150 + 75 below = 225: 230. Liquid 0.500 x 0.210 x 0.230 m3 = 24.15 L.
    assert (design.tank.length_mm, design.tank.width_mm, design.tank.depth_mm) == (500.0, 210.0, 230.0)
    assert (design.cathodes.count, design.cathodes.width_mm, design.cathodes.immersed_mm) == (2, 480.0, 150.0)
    assert v["liquid"] == near(24.15, 1e-9)
    assert v["cathode-face-wanted"] == near(141447, 1e-5)
    assert v["cathode-face"] == 2 * 480.0 * 150.0
    # 2 x 480 x 3 x (150 + 75 freeboard + 40) mm3 x 2.70 g/cm3 = 2060.6 g
    assert v["cathode-mass"] == near(2.0606, 1e-4)
    # 359.0 kJ / (4.045 kJ/(L K) x 2 K) = 44.38 L, far over the 24.15 L: (359.0 - 4.045 x 24.15 x 2) kJ / 908.7 s
    # after the ramp = 180.1 W of cooling
    assert v["liquid-by-heat"] == near(44.38, 2e-3)
    assert v["cooling"] == near(180.1, 2e-3)
    # at most, at 2.7125 A/dm2 from 20 V with 7 V to an e-fold, 0.1 V/um and 1.834 V: 25.679 V, 515.4 W, 486.6 kJ;
    # less 195.4 kJ over 908.7 s: 320.4 W
    assert figures["voltage"].estimate.high == near(25.679, 2e-4)
    assert figures["heat"].estimate.high == near(515.4, 5e-4)
    assert figures["cooling"].estimate.high == near(320.4, 3e-3)
    # 17.539 A x 0.42e-3 m3/Ah x 24 x 5 = 0.884 m3/h (EN 50272-3 with one cell)
    assert v["air"] == near(0.884, 1e-3)
    # 19.184 A / 0.8 = 23.98 A. 25.679 V at most + 19.184 A x 4 m of 4 mm2 copper (0.01724 ohm) = 0.331 V + 0.5 V:
    # 26.51 V; the next ratings up the series of a plan's power supply
    assert (design.supply_a, design.supply_v) == (25, 30)
    # Brimful 0.500 x 0.210 x 0.305 = 32.0 L; the tub of 620 x 330 mm holds it round the tank's 10 mm walls.
    assert design.tank.brimful_l == near(32.025, 1e-9)
    # free floor 620 x 330 - (520 x 230 - 500 x 210) = 190000 mm2; 32.0 L / 0.19 m2 = 169 + 2 x 10: 190 mm; holds 34.2 L
    assert (design.tub.length_mm, design.tub.width_mm, design.tub.height_mm) == (620.0, 330.0, 190.0)
    assert design.tub.holds_l == near(34.2, 1e-9)


@pytest.mark.parametrize("film", [2.0, 12.0])  # the thin one is there before the ramp is over
def test_the_tank_and_the_plan_say_the_same_of_one_load(film):
    load = largest("a tube of 400 x 30 x 26 mm")
    duty = duty_for(load, TankRun(film))
    text = f"""
        [[part]]
        area = "{load.area_mm2.value!r} mm2"
        [bath]
        acid = "180 g/L"
        temperature = "20 C"
        cooling = "5 kW"
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


def test_the_sizes_in_words_are_those_of_the_tank(tank):
    design = tank[0]
    words = re.sub(r"\s+", " ", DOCS.split("## A new, larger tank")[1].split("\n## ")[0])
    made, strips = design.tank, design.cathodes
    assert f"{made.length_mm:g} x {made.width_mm:g} mm inside with {made.depth_mm:g} mm of liquid" in words
    assert f"sheet of {strips.width_mm:g} mm hangs {strips.immersed_mm:g} mm deep" in words
    assert f"{design.supply_a:.3g} A and {design.supply_v:.3g} V" in words
