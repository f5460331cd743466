"""Choices laid over a tube of known skin, against areas worked out by hand."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from areacalc.errors import BadInput, UnknownName
from areacalc.surface.choice import Choices, read_choices
from areacalc.surface.skin import DryShare, State
from areacalc.surface.wetted import wetted_area

WALL = 2 * math.pi * 10 * 30
BORE = 2 * math.pi * 4 * 30
END = math.pi * (100 - 16)
ALL = WALL + BORE + 2 * END


def wet(skin, **choices):
    return wetted_area(skin, Choices(**{k: (v,) if isinstance(v, str) else tuple(v) for k, v in choices.items()}))


def test_nothing_chosen_wets_everything(tube_skin):
    assert wet(tube_skin).value.value == pytest.approx(ALL, rel=1e-12)


def test_a_plug_takes_its_bore_out(tube_skin):
    found = wet(tube_skin, plug="bore-1")
    assert found.value.value == pytest.approx(ALL - BORE, rel=1e-12)
    assert found.area_in(State.PLUGGED).value == pytest.approx(BORE, rel=1e-12)


@pytest.mark.parametrize(
    ("words", "masked"),
    [
        ("outside", WALL + 2 * END),
        ("bores under 10 mm", BORE),
        ("bores over 1/4 in", BORE),
        ("every through-bore", BORE),
        ("colour #c81e1e", END),
        ("coloured", END),
        ("z from 10 mm to 25 mm", (WALL + BORE) / 2),
        ("z from 10 to 25 mm", (WALL + BORE) / 2),
        ("z above 15 mm and outside", WALL / 2 + END),
        ("z below 7.5 mm", (WALL + BORE) / 4 + END),
        ("box -20,-20,-1 to 20,20,15 mm", (WALL + BORE) / 2 + END),
        ("plane 0,0,15 facing 0,0,-2 mm", (WALL + BORE) / 2 + END),
        ("x above 0 mm", ALL / 2),
        ("face 3", END),
        ("at 7,0,0 mm", END),
        ("at 0,4.1,12 mm", BORE),
    ],
)
def test_a_mask_in_words_takes_out_just_what_it_names(tube_skin, words, masked):
    found = wet(tube_skin, mask=words)
    assert found.area_in(State.MASKED).value == pytest.approx(masked, rel=1e-9)
    assert found.value.value == pytest.approx(ALL - masked, rel=1e-9)


def test_wet_only_masks_the_rest(tube_skin):
    assert wet(tube_skin, wet_only="bore-1").value.value == pytest.approx(BORE, rel=1e-12)


def test_a_short_plug_leaves_the_wall_beyond_it_wet_while_another_mouth_is_open(tube_skin):
    found = wet(tube_skin, plug="bore-1 bottom 5 mm deep")
    assert found.value.value == pytest.approx(ALL - BORE / 6, rel=1e-9)
    found = wet(tube_skin, plug="bore-1 5 mm deep from mouth 2", mask="z above 25 mm and bore-1")
    assert found.area_in(State.PLUGGED).value == pytest.approx(BORE / 6, rel=1e-9)
    assert found.area_in(State.MASKED).value == 0.0


def test_short_plugs_at_both_mouths_seal_the_wall_between(tube_skin):
    found = wet(tube_skin, plug=["bore-1 bottom 5 mm deep", "bore-1 10 mm deep from mouth 2"])
    assert found.area_in(State.PLUGGED).value == pytest.approx(BORE / 2, rel=1e-9)
    assert found.area_in(State.SEALED).value == pytest.approx(BORE / 2, rel=1e-9)


def test_a_contact_takes_its_own_size_off(tube_skin):
    found = wet(tube_skin, contact=["2 x 3 mm on outside", "0.01 in2 at 0,4,12 mm"])
    assert found.value.value == pytest.approx(ALL - 6 - 6.4516, rel=1e-12)
    assert found.area_in(State.CLAMPED).value == pytest.approx(12.4516, rel=1e-12)


def test_a_declared_texture_multiplies_its_feature(tube_skin):
    assert wet(tube_skin, add="bore-1 texture 1.25").value.value == pytest.approx(ALL + BORE / 4, rel=1e-12)


def test_trapped_air_is_taken_off_what_is_still_wet(tube_skin):
    in_bore = (tube_skin.feature_of == 1).astype(float)
    dry = DryShare(State.AIRLOCKED, in_bore * 0.5, in_bore * 0.25, in_bore)
    found = wetted_area(tube_skin, Choices(), (dry,))
    assert found.value.value == pytest.approx(ALL - BORE / 2, rel=1e-9)
    assert found.value.low == pytest.approx(ALL - BORE, rel=1e-9)
    assert found.value.high == pytest.approx(ALL - BORE / 4, rel=1e-9)
    plugged = wetted_area(tube_skin, Choices(plug=("bore-1",)), (dry,))
    assert plugged.area_in(State.AIRLOCKED).value == 0.0


@pytest.mark.parametrize(
    ("choice", "words", "says"),
    [
        ("plug", "bor-1", "did you mean 'bore-1'"),
        ("plug", "outside", "not a bore"),
        ("plug", "bore-1 5 mm deep from mouth 3", "no mouth 3"),
        ("plug", "bore-1 0 mm deep", "must be above zero"),
        ("mask", "blind-bores", "no feature is 'blind-bores'"),
        ("mask", "bores under 2 mm", "bore-1 8 mm"),
        ("mask", "x from 25 mm to 10 mm", "smaller position first"),
        ("mask", "x from 10 to 25", "no unit"),
        ("mask", "z above 31 mm", "z 0 to 30 mm"),
        ("mask", "the shiny bit", "not understood"),
        ("mask", "face 9", "faces 1 to 4"),
        ("mask", "colour #00ff00", "#c81e1e"),
        ("mask", "plane 0,0,1 facing 0,0,0 mm", "not a direction"),
        ("contact", "900 mm2 x on bore-1", "900"),
        ("contact", "9000 mm2 on bore-1", "does not fit"),
        ("contact", "2 mm2", "size and place"),
        ("add", "bore-1 thread M10", "M10 needs a round wall 8.376 to 10 mm across"),
        ("add", "bore-1 thread M10", "its round walls are 8 mm across"),
        ("add", "outside shiny", "not understood"),
        ("add", "outside texture 0.5", "0.5"),
    ],
)
def test_words_that_do_not_fit_get_one_line(tube_skin, choice, words, says):
    with pytest.raises(BadInput) as caught:
        wet(tube_skin, **{choice: words})
    assert says in str(caught.value)
    assert "\n" not in str(caught.value)


def test_a_file_of_choices_is_read_and_its_mistakes_are_named(tmp_path):
    file = tmp_path / "tube.wet.toml"
    file.write_text('plug = ["bore-1"]\nwet-only = "outside"\n')
    assert read_choices(file) == Choices(plug=("bore-1",), wet_only=("outside",))
    file.write_text('plgu = ["bore-1"]\n')
    with pytest.raises(UnknownName, match="did you mean 'plug'"):
        read_choices(file)
    file.write_text('mask = "outside"\nplug = bore-1\n')
    with pytest.raises(BadInput, match="line 2"):
        read_choices(file)


@settings(deadline=None, max_examples=40)
@given(st.floats(-1, 31), st.floats(-1, 31), st.sampled_from("xyz"))
def test_any_band_splits_the_skin_into_two_shares_that_add_up(tube_skin, one, two, axis):
    low, high = sorted((one, two))
    try:
        found = wet(tube_skin, mask=f"{axis} from {low:.6f} mm to {high:.6f} mm")
    except BadInput:
        return
    assert found.value.value + found.area_in(State.MASKED).value == pytest.approx(ALL, rel=1e-9)
    assert found.value.low <= found.value.value <= found.value.high
    assert np.isfinite(found.value.value)


def test_words_that_no_skin_is_all_of_are_refused(tube_skin):
    with pytest.raises(BadInput, match="no surface is all of 'outside and bore-1' at once"):
        wetted_area(tube_skin, Choices(mask=("outside and bore-1",)))


@pytest.mark.parametrize("pitch", ["0 mm", "-1 mm"])
def test_a_knurl_without_a_pitch_is_refused(tube_skin, pitch):
    with pytest.raises(BadInput, match="must be above zero"):
        wetted_area(tube_skin, Choices(add=(f"bore-1 knurl {pitch}",)))


def test_a_part_with_nothing_left_wet_says_so(tube_skin):
    found = wetted_area(tube_skin, Choices(mask=("all",)))
    assert found.value.value == 0.0
    assert [note.code for note in found.notes if note.warns] == ["all-dry"]


def test_a_declared_thread_is_told_beside_its_feature_and_its_plain_wall(tube_skin):
    found = wet(tube_skin, add="bore-1 thread M9x1")
    assert [row.feature.note for row in found.rows if row.feature.name == "bore-1"] == ["M9x1 thread included"]
    # two flanks pi/4 (9^2 - 7.9175^2) / cos 30 deg = 16.61 each, crest 9 pi / 8, root 7.9175 pi / 4: 42.97 mm2 a turn
    # of 1 mm, the helix left out, against 8 pi = 25.13: 1.71
    (told,) = [note.fact for note in found.notes if note.code == "thread-added"]
    assert (told["thread"], told["times"]) == ("M9x1", "1.71")
