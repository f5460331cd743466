"""How strong an acid is, in the words people use: g/L, % by weight, mol/L, or what a hydrometer shows."""

from __future__ import annotations

import re

from areacalc.bath.electrolyte import ROOM_C, acid_g_per_l, acid_g_per_l_from_mol, acid_wt_pct, wt_pct_at_density
from areacalc.bath.mixing import BATTERY_ACID, Stock, battery_acid, stock, stock_named
from areacalc.errors import BadInput, OutOfRange
from areacalc.quantity import Dimension, parse

_BY_WEIGHT = re.compile(r"^\s*(?P<number>[\d.,]+)\s*(?:(?:wt|w/w|mass)\.?[\s-]*%|%\s*(?:by weight|w/w|wt))\s*$", re.I)
_BARE_SHARE = re.compile(r"^\s*[\d.,]+\s*(?:%|percent|pct)(?P<volume>.*\bv(?:ol|/v).*)?", re.I)
_MOLAR = re.compile(r"^\s*(?P<number>[\d.,]+)\s*(?:mol/L|mol/l|M)\s*$")
_HYDROMETER = re.compile(r"^\s*(?:density|sg|s\.g\.|specific gravity|relative density)\s*(?P<number>[\d.,]+)\s*$", re.I)
_STOCK_SHARE = re.compile(r"^\s*(?P<number>[\d.,]+)\s*(?:wt\.?\s*)?%(?:\s*(?:acid|by weight|w/w))?\s*$", re.I)
_STOCK_DENSITY = re.compile(rf"^\s*{BATTERY_ACID}(?:\s+(?P<number>[\d.,]+))?\s*$", re.I)


def acid_in_words(words: str | float, where: str = "acid") -> float:
    """Acid [g/L at 20 C] from "180 g/L", "24 oz/gal", "16.2 wt%", "1.84 mol/L" or "density 1.11" (hydrometer, 20 C).

    Raises BadInput for a bare share, which may be meant by weight or by volume; OutOfRange outside 5 to 40 wt%.

    >>> [round(acid_in_words(w)) for w in ("180 g/L", "16.2 wt%", "1.835 mol/L", "density 1.1114")]
    [180, 180, 180, 180]
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
    if found := _HYDROMETER.match(text):
        return acid_g_per_l(wt_pct_at_density(_number(found["number"], where), ROOM_C))
    if (share := _BARE_SHARE.match(text)) and share["volume"]:
        raise BadInput(where, f"'{text.strip()}' does not tell how strong the acid was that went in",
                       "write it by weight, like '15 wt%', or as '165 g/L'")  # fmt: skip
    if share:
        raise BadInput(where, f"'{text.strip()}' may be by weight or by volume, which differ 1.7-fold",
                       "write it like '15 wt%' or '165 g/L'")  # fmt: skip
    return parse(text, Dimension.CONCENTRATION, where)


def stock_in_words(
    words: str, where: str = "--from", density_kg_per_l: float | None = None, bottle: str = "--bottle-density"
) -> Stock:
    """The acid one buys: "battery acid", "battery acid 1.28", "96 % acid", "37 wt%"; on bottles a share is by weight.

    density_kg_per_l is that on the bottle, told by the option `bottle`; battery acid is what its density says.
    Raises BadInput, UnknownName, OutOfRange.

    >>> round(stock_in_words("battery acid 1.28").wt_pct, 1), stock_in_words("96 %").density.value
    (37.8, 1.836)
    """
    if found := _STOCK_DENSITY.match(words):
        told = _number(found["number"], where) if found["number"] else density_kg_per_l
        if density_kg_per_l is not None and told != density_kg_per_l:
            raise BadInput(bottle, f"{density_kg_per_l:g} kg/L is not '{words.strip()}'", "give its density once")
        return battery_acid() if told is None else battery_acid(told)
    if found := _STOCK_SHARE.match(words):
        return stock(_number(found["number"], where), density_kg_per_l=density_kg_per_l, where=bottle)
    return stock_named(words.strip())


def _number(text: str, where: str) -> float:
    return parse(text, Dimension.FRACTION, where)
