"""A part's area in people's words; one that no part here has is refused until it is checked."""

from areacalc.quantity import Dimension, parse, said_checked, unlikely

_ASKED = ("cm2", "in2", "dm2", "mm2")


def area_in_words(words: str | float, where: str = "area") -> float:
    """The area of a part [mm2]. Raises BadInput: below zero, larger than any part here unless checked.

    >>> round(area_in_words("9 in2")), area_in_words("9 m2, checked")
    (5806, 9000000.0)
    """
    from areacalc.shape.file_unit import PLAUSIBLE_AREA  # numpy comes with it, which `--help` does without

    said, checked = said_checked(f"{words}")
    area_mm2 = parse(said, Dimension.AREA, where, default_unit=None if isinstance(words, str) else "mm2")
    if area_mm2 > PLAUSIBLE_AREA.high and not checked:
        raise unlikely(where, said, "is more than a plate of 1 m a side has, the largest here", Dimension.AREA, _ASKED,
                       (PLAUSIBLE_AREA.low, PLAUSIBLE_AREA.high))  # fmt: skip
    return area_mm2
