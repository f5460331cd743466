"""Every figure of the bath can say how it was worked out, down to what was given and to constants with a source."""

import pytest
from hypothesis import given as given_values
from hypothesis import settings
from hypothesis import strategies as st

from areacalc.bath.alloy import alloy_named
from areacalc.bath.burn import least_transfer, stable_rise
from areacalc.bath.ceiling import ceiling
from areacalc.bath.dissolved import acid_used, aluminium_dissolved, aluminium_rise, charge_until_renewal
from areacalc.bath.dye import dye_time
from areacalc.bath.electrolyte import conductivity
from areacalc.bath.etch import etched, lost_in, rate
from areacalc.bath.film import DEFAULT_RULE, factor_figure, film_per_charge, film_thickness, growth
from areacalc.bath.fits import fit, limits
from areacalc.bath.gas import air_flow, hydrogen
from areacalc.bath.heat import chilled_water, heat_held, ice
from areacalc.bath.mixing import battery_acid, mix
from areacalc.bath.seal import seal_time
from areacalc.bath.window import current_a
from areacalc.estimate import Estimate
from areacalc.figure import Figure, given


def whole_run(area_mm2=3e4, volume_l=10.0):
    """Every figure that a run through the bath can make, by name."""
    area = given("wetted area", Estimate(area_mm2, 0.97 * area_mm2, 1.02 * area_mm2, ("facets",)), "mm2")
    acid, bath, litres = given("acid", 180.0, "g/L"), given("bath", 20.0, "C"), given("bath volume", volume_l, "L")
    current = current_a(area).figure
    density, factor = given("density", 2.48, "A/dm2"), alloy_named("6061").takes.film_factor
    charge, time = given("charge on the surface", 44.0, "A min/dm2"), given("time", 1064.0, "s")
    film = film_thickness(charge, film_per_charge(DEFAULT_RULE, factor))
    both = growth(charge)
    amp_hours = given("charge", 1.2, "Ah")
    on_surface = given("heat on the surface", 48.0, "W/dm2")
    held = heat_held(litres, acid, bath)
    cooling = given("cooling", 30.0, "W")
    metal = aluminium_dissolved(amp_hours)
    lost = lost_in(rate(given("caustic", 20.0, "g/L"), given("etch", 20.0, "C")), given("etch time", 180.0, "s"))
    out = etched(lost, area)
    pin = fit("pin", "diameter", limits("12 +-0.02"), both.outward, lost, 11.99)
    made = mix(volume_l, 180.0, battery_acid())
    return [
        current, film, both.outward, both.inward, held, metal,
        aluminium_rise(metal, litres), acid_used(metal), charge_until_renewal(given("al", 5.0, "g/L"), litres), lost,
        out.aluminium, out.caustic_used, out.hydrogen, out.heat, pin.filmed, pin.turn_to, pin.change, made.acid_kg,
        made.acid_l, made.water_l, made.warms_k, ceiling(density, acid, bath, factor_figure(factor)),
        conductivity(acid, bath), dye_time(film),
        seal_time(film), hydrogen(amp_hours), air_flow(current),
        chilled_water(cooling), ice(cooling, time, bath), stable_rise(bath),
        least_transfer(on_surface, stable_rise(bath)),
    ]  # fmt: skip


@pytest.mark.parametrize("figure", whole_run(), ids=lambda f: f.name.replace(" ", "-"))
def test_a_figure_says_how_it_was_worked_out(figure):
    chain = [each for _, each in figure.chain()]
    assert len(chain) > 1 or figure.formula not in ("", "as given")
    for each in chain:
        assert isinstance(each, Figure)
        assert each.name
        assert each.formula
        assert each.source.text.strip()
        assert each.estimate.low <= each.estimate.value <= each.estimate.high


@given_values(st.floats(1e3, 1e6), st.integers(2, 30))
@settings(deadline=None, max_examples=20)
def test_n_times_the_area_scales_what_is_by_area_and_leaves_what_is_not(area_mm2, count):
    one, many = whole_run(area_mm2), whole_run(count * area_mm2)
    by_area = {"current", "aluminium etched away", "caustic soda used", "hydrogen of the etch",
               "heat of the etch", "air to stay under 1 % hydrogen"}  # fmt: skip
    not_by_area = {"coating thickness", "time to seal", "size after the coating"}
    seen = set()
    for a, b in zip(one, many, strict=True):
        ends = [(getattr(a.estimate, end), getattr(b.estimate, end)) for end in ("low", "value", "high")]
        factor = count if a.name in by_area else 1 if a.name in not_by_area else None
        if factor is not None:
            seen.add(a.name)
            assert [y for _, y in ends] == pytest.approx([factor * x for x, _ in ends], rel=1e-9)
    assert seen == by_area | not_by_area
