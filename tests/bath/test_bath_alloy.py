"""Alloys: names as people write them, what is expected, limits, mixed loads, metals refused."""

import pytest

from areacalc.bath.alloy import (
    EATEN,
    FAMILIES,
    AlloyFault,
    alloy_named,
    mixed,
    over_limits,
    refuse_for_hard_coating,
    refuse_metal,
)
from areacalc.bath.table import rows
from areacalc.errors import BadInput, CannotRun, UnknownName
from areacalc.report.words.tell import tell
from areacalc.sources import Kind


@pytest.mark.parametrize(("words", "name", "series"), [
    ("6061", "6061", "6xxx"), ("6061-T6", "6061", "6xxx"),
    ("6061T6", "6061", "6xxx"), ("EN AW-6082 T6", "6082", "6xxx"),
    ("AA6063", "6063", "6xxx"), ("Aluminum 2011-T3", "2011", "2xxx"), ("AlMg3", "5754", "5xxx"),
    ("AlMg4.5Mn0.7", "5083", "5xxx"), ("5083-H111", "5083", "5xxx"), ("7xxx", "7xxx", "7xxx"), ("7068", "7068", "7xxx"),
    ("A356.0", "356", "cast"), ("die casting", "casting", "cast"), ("514", "514", "cast-magnesium"),
    ("aluminium", "aluminium", "unknown"), (None, "aluminium", "unknown"),
])  # fmt: skip
def test_names_as_people_write_them(words, name, series):
    alloy = alloy_named(words)
    assert (alloy.name, alloy.family.name) == (name, series)


@pytest.mark.parametrize("name", [row["name"] for row in rows("alloy_limits_from_memory")])
def test_every_alloy_held_is_found_by_its_name_and_says_what_to_expect(name):
    alloy = alloy_named(name)
    assert alloy.name == name
    assert len(alloy.expects) >= 3
    assert all(said.text and said.source.text for said in alloy.expects)
    for share in (alloy.shares_pct[element] for element in ("copper", "silicon", "magnesium")):
        assert 0.0 <= share.low <= share.value <= share.high < 20.0
    factor = alloy.takes.film_factor
    assert 0.5 <= factor.low <= factor.value <= factor.high <= 1.0 if factor.low else factor.value == 1.0


def test_a_certificate_overrules_the_share_it_names_and_no_other():
    held, own = alloy_named("2219"), alloy_named("2219", copper_pct=4.8)
    assert (own.shares_pct["copper"].low, own.shares_pct["copper"].high) == (4.8, 4.8)
    assert own.shares_pct["silicon"] == held.shares_pct["silicon"]
    assert (held.certified, own.certified) == (frozenset(), {"copper"})
    assert over_limits(own) == ()


@pytest.mark.parametrize(("alloy", "element"), [
    ("2219", "copper"), ("2011", "copper"), ("390", "silicon"), ("4032", "silicon"),
])  # fmt: skip
def test_a_composition_from_memory_refuses_nothing_and_asks_for_the_certificate(alloy, element):
    refuse_for_hard_coating(alloy_named(alloy))
    refuse_for_hard_coating(alloy_named(alloy, magnesium_pct=0.1))  # of another element: still from memory
    over = next(each for each in over_limits(alloy_named(alloy)) if each.kind is AlloyFault.OVER_LIMIT)
    assert over["element"] == element
    assert f"Ask for the certificate and give its {element}." in tell(over)


def test_copper_of_a_certificate_over_the_limit_stops_a_hard_coating_of_any_alloy():
    with pytest.raises(CannotRun, match=r"6061 holds 5.6 % copper, over 5 %"):
        refuse_for_hard_coating(alloy_named("6061", copper_pct=5.6))


@pytest.mark.parametrize("alloy", ["6061", "7075", "2024", "5083", "356", None])
def test_ordinary_alloys_are_let_through(alloy):
    assert refuse_for_hard_coating(alloy_named(alloy)) is None


def test_what_may_be_over_a_limit_is_said_and_nothing_else():
    assert over_limits(alloy_named("6061")) == over_limits(alloy_named(None)) == ()
    silicon, die = over_limits(alloy_named("A380"))
    assert (silicon.kind, silicon["element"]) == (AlloyFault.MAY_BE_OVER_LIMIT, "silicon")
    assert die.kind is AlloyFault.DIE_CASTING
    copper = over_limits(alloy_named("2219"))[0]
    assert (copper.kind, copper["element"]) == (AlloyFault.OVER_LIMIT, "copper")


def test_copper_silicon_and_magnesium_add_to_what_is_expected():
    def said(name):
        return " ".join(s.text for s in alloy_named(name).expects)

    assert "copper: a hard coating wears sooner" in said("2024")
    assert "silicon: grey to dark" in said("413")
    assert "magnesium: a duller coating" in said("5083")
    assert "magnesium" not in said("6061")
    assert "hydrofluoric acid" in said("casting")


def test_where_the_film_of_an_alloy_comes_from_is_told():
    assert alloy_named("2024").takes.film_factor.source.kind is Kind.PUBLISHED
    assert alloy_named("4032").takes.film_factor.source.kind is Kind.FROM_MEMORY
    six = alloy_named("6061").takes.film_factor
    assert six.source.kind is Kind.PUBLISHED
    assert "least 0.95 from memory" in six.source.text
    assert all(f.takes.film_factor.source.text for f in FAMILIES.values())


def test_two_alloys_are_not_mixed_in_one_load():
    assert mixed([alloy_named("6061"), alloy_named("6061-T651")]) is None
    both = mixed([alloy_named("6061"), alloy_named("7075")])
    assert both["alloys"] == ("6061", "7075")
    assert "p. 478" in both["source"].text


@pytest.mark.parametrize(("words", "metal"), [
    ("brass insert", "brass"), ("mild steel", "steel"), ("stainless 304", "steel"), ("magnesium AZ91", "magnesium"),
    ("AZ31", "magnesium"), ("aluminium bronze", "copper"), ("zinc die casting", "zinc"), ("Copper", "copper"),
])  # fmt: skip
def test_other_metals_are_refused_in_one_line(words, metal):
    with pytest.raises(BadInput, match=f"part 2: {metal} is eaten") as caught:
        alloy_named(words, "part 2")
    assert "\n" not in str(caught.value)


@pytest.mark.parametrize("word", [word for words in EATEN.values() for word in words])
def test_every_word_for_an_eaten_metal_is_refused(word):
    with pytest.raises(BadInput):
        refuse_metal(word.upper())


def test_titanium_is_refused_for_another_reason():
    with pytest.raises(BadInput, match="another kind of coating"):
        alloy_named("titanium grade 2")


@pytest.mark.parametrize("words", ["unobtainium", "6O61", "8011", "99"])
def test_what_is_no_alloy_is_refused(words):
    with pytest.raises(UnknownName, match="choose from 1050"):
        alloy_named(words)


@pytest.mark.parametrize("share_pct", [-1.0, 60.0, float("nan")])
def test_a_share_that_is_none_is_refused(share_pct):
    with pytest.raises(BadInput, match="not an aluminium alloy"):
        alloy_named("6061", copper_pct=share_pct)
