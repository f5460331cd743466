"""Units with the signs of print: um as \u00b5m, mm2 as mm\u00b2, 20 C as 20 \u00b0C."""

import re

_POWERS = {"2": "\u00b2", "3": "\u00b3"}


def signs(text: str) -> str:
    """A sentence with the signs of print.

    >>> signs("12 um over 84.4 mm2 at 20 C")
    '12 \u00b5m over 84.4 mm\u00b2 at 20 \u00b0C'
    """
    text = re.sub(r"\b(ft|in|mm|cm|dm|m)([23])\b", lambda unit: unit[1] + _POWERS[unit[2]], text)
    text = re.sub(r"(\d)([ \u00a0])([CF])\b", "\\1\\2\u00b0\\3", text)
    return re.sub(r"\bum\b", "\u00b5m", text)
