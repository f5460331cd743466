"""How strong an acid is, in the words people use: g/L, % by weight, mol/L, or what a hydrometer shows."""

import re

from areacalc.bath.electrolyte import (
    HEAVY_SCALE,
    ROOM_C,
    SIXTY_F_C,
    acid_g_per_l,
    acid_g_per_l_from_mol,
    acid_wt_pct,
    relative_density_at_baume,
    wt_pct_at_density,
    wt_pct_at_relative_density,
)
from areacalc.bath.mixing import BATTERY_ACID, Stock, battery_acid, stock, stock_named
from areacalc.errors import BadInput, Field, OutOfRange
from areacalc.quantity import Dimension, parse

_BY_WEIGHT = re.compile(r"^\s*(?P<number>[\d.,]+)\s*(?:(?:wt|w/w|mass)\.?[\s-]*%|%\s*(?:by weight|w/w|wt))\s*$", re.I)
_BARE_SHARE = re.compile(r"^\s*[\d.,]+\s*(?:%|percent|pct)(?P<volume>.*\bv(?:ol|/v).*)?", re.I)
_MOLAR = re.compile(r"^\s*(?P<number>[\d.,]+)\s*(?:mol/L|mol/l|M)\s*$")
_AT = r"\s*(?:\bat\s+(?P<at>.+))?$"
_DENSITY = re.compile(rf"^\s*density\s*(?P<number>[\d.,]+)\s*(?:g/cm3|g/mL|g/cc|kg/L)?{_AT}", re.I)
_RELATIVE = re.compile(rf"^\s*(?:sg|s\.g\.|specific gravity|relative density)\s*(?P<number>[\d.,]+){_AT}", re.I)
_TITRATED = re.compile(
    r"^\s*(?P<sample>.+?)\s+(?:took|takes)\s+(?P<caustic>.+?)\s+of\s+(?P<strength>[\d.,]+)\s*(?:mol/L|M|N)"
    r"(?:\s+(?:NaOH|caustic(?: soda)?))?\s*$",
    re.I,
)
_BAUME = re.compile(rf"^\s*(?P<number>[\d.,]+)\s*(?:°|deg(?:rees?)?)?\s*b(?:e|é|aum[eé])\b\.?{_AT}", re.I)
_RANGE = re.compile(r"^\s*(?P<low>[\d.,]+)\s*(?:to|-|–)\s*(?P<high>[\d.,]+)\s*(?P<unit>.+)$")
WATER_G_PER_L = 998.0
_STOCK_SHARE = re.compile(
    rf"^\s*(?P<first>{BATTERY_ACID}\s+)?(?P<number>[\d.,]+)\s*(?:wt\.?\s*)?%"
    rf"(?:\s*(?:by weight|w/w|wt))?(?(first)|(?:\s*(?:{BATTERY_ACID}|acid))?)\s*$", re.I,
)  # fmt: skip
_STOCK_DENSITY = re.compile(rf"^\s*{BATTERY_ACID}(?:\s+(?P<number>[\d.,]+))?\s*$", re.I)


def acid_in_words(words: str | float, where: str = "acid") -> float:
    """Acid [g/L at 20 C] from "180 g/L", "24 oz/gal", "16.2 wt%", "1.84 mol/L", or from what a hydrometer shows.

    "density 1.11" is in g/cm3, the acid at 20 C; "sg 1.11" and "15 Be" (degrees Baume) are what a hydrometer marked for
    60 F shows in acid at 60 F. Acid that is read at another temperature: "sg 1.11 at 25 C". As titrated with caustic
    soda, two of NaOH to one of acid: "5 mL took 18.4 mL of 1 mol/L".
    Raises BadInput for a bare share, which may be meant by weight or by volume; OutOfRange outside 5 to 40 wt%.

    >>> [round(acid_in_words(w)) for w in ("180 g/L", "16.2 wt%", "1.835 mol/L", "density 1.1114 g/cm3")]
    [180, 180, 180, 180]
    >>> [round(acid_in_words(w)) for w in ("sg 1.1151", "14.97 Be", "sg 1.1125 at 20 C")]
    [180, 180, 180]
    >>> round(acid_in_words("5 mL took 18.35 mL of 1 mol/L"), 1)  # 0.5 x 18.35 / 5 mol/L of 98.08 g/mol
    180.0
    """
    text = words if isinstance(words, str) else f"{words}"
    try:
        acid = _acid(text, where)
        acid_wt_pct(acid)  # refuses what is no bath
    except OutOfRange as bad:
        raise OutOfRange(where, bad.what, bad.remedy) from None
    return acid


def _acid(text: str, where: str) -> float:
    if found := _BY_WEIGHT.match(text):
        return acid_g_per_l(_number(found["number"], where))
    if found := _MOLAR.match(text):
        return acid_g_per_l_from_mol(_number(found["number"], where))
    if found := _TITRATED.match(text):
        sample_l, caustic_l = (parse(found[name], Dimension.BATH_VOLUME, where) for name in ("sample", "caustic"))
        if sample_l <= 0.0:
            raise BadInput(where, f"'{text.strip()}' has no sample", "write it like '5 mL took 18.4 mL of 1 mol/L'")
        return acid_g_per_l_from_mol(0.5 * _number(found["strength"], where) * caustic_l / sample_l)
    if found := _DENSITY.match(text):
        return acid_g_per_l(wt_pct_at_density(_number(found["number"], where), _read_at_c(found, where, ROOM_C)))
    if (shown := _hydrometer_wt_pct(text, where)) is not None:
        return acid_g_per_l(shown)
    if found := _RANGE.match(text):
        low, high = (_acid(f"{found[end]} {found['unit']}", where) for end in ("low", "high"))
        raise BadInput(where, f"'{text.strip()}' is a range, and a plan needs one figure",
                       f"titrate the bath, or give the middle, '{0.5 * (low + high):.4g} g/L'")  # fmt: skip
    if (share := _BARE_SHARE.match(text)) and share["volume"]:
        raise BadInput(where, f"'{text.strip()}' does not tell how strong the acid was that went in",
                       "write it by weight, like '15 wt%', or as '165 g/L'")  # fmt: skip
    if share:
        raise BadInput(where, f"'{text.strip()}' may be by weight or by volume, which differ 1.7-fold",
                       "write it like '15 wt%' or '165 g/L'")  # fmt: skip
    acid = parse(text, Dimension.CONCENTRATION, where)
    if acid >= WATER_G_PER_L:  # "1.11 g/cm3" is what the bath weighs, not what is in it
        return acid_g_per_l(wt_pct_at_density(acid * 1e-3, ROOM_C))
    return acid


def stock_in_words(words: str, where: str = Field.STOCK, density_kg_per_l: float | None = None) -> Stock:
    """The acid one buys: "battery acid", "37 % battery acid", "sg 1.28", "96 % acid", "66 Be"; a share is by weight.

    Battery acid is told by its relative density at 25 C. density_kg_per_l is that on the bottle at 20 C.
    Raises BadInput, UnknownName, OutOfRange.

    >>> round(stock_in_words("battery acid 1.28").wt_pct, 1), stock_in_words("96 %").density.value
    (37.3, 1.836)
    """
    if found := _STOCK_DENSITY.match(words):
        if found["number"] and density_kg_per_l is not None:
            raise BadInput(Field.BOTTLE_DENSITY, f"'{words.strip()}' has a density already", "give its density once")
        if density_kg_per_l is not None:
            return stock(wt_pct_at_density(density_kg_per_l, ROOM_C), f"{BATTERY_ACID} {density_kg_per_l:g} kg/L")
        return battery_acid(_number(found["number"], where)) if found["number"] else battery_acid()
    if (found := _BAUME.match(words)) and abs(_number(found["number"], where) - 66.0) < 0.5:
        return stock_named("93 % acid")
    if (shown := _hydrometer_wt_pct(words, where)) is not None:
        return stock(shown, words.strip())
    if found := _STOCK_SHARE.match(words):
        return stock(_number(found["number"], where), density_kg_per_l=density_kg_per_l, where=Field.BOTTLE_DENSITY)
    return stock_named(words.strip())


def _read_at_c(found: re.Match[str], where: str, unsaid_c: float = SIXTY_F_C) -> float:
    return parse(found["at"], Dimension.TEMPERATURE, where) if found["at"] else unsaid_c


def _hydrometer_wt_pct(words: str, where: str) -> float | None:
    """wt% of an acid by what a hydrometer marked for 60 F shows in it; None where the words are no such reading."""
    if found := _RELATIVE.match(words):
        return wt_pct_at_relative_density(_number(found["number"], where), _read_at_c(found, where))
    if (found := _BAUME.match(words)) is None:
        return None
    degrees = _number(found["number"], where)
    if degrees >= HEAVY_SCALE.value:
        raise BadInput(where, f"{degrees:g} degrees Baume are past the scale's end", "give a reading such as '15 Be'")
    return wt_pct_at_relative_density(relative_density_at_baume(degrees), _read_at_c(found, where))


def _number(text: str, where: str) -> float:
    return parse(text, Dimension.FRACTION, where)
