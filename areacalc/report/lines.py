"""Text in lines of a fixed width: wrapped at words, a number kept with its unit."""

import re
import textwrap

WIDTH = 80
_UNIT = (
    r"mm[23]?|cm2|m3(/h)?|in[23]?|ft3(/min)?|um|mil|m?[AWCFKV]/\w+|A min/\w+|BTU/\(?h|Ah|[AVCFKWNsg%]|min|g/L|mol/L|"
    r"wt%|m?L|kg(/L)?|gal|(fl )?oz(/gal)?|lbf?(/gal)?|(part|row|tier|column|wire|run|degree)s?"
)
_MIXED = re.compile(r"(?<=\d) (?=\d+/\d)")  # 15 3/4
_QUANTITY = re.compile(rf"(\d\)?) (?=(?:{_UNIT})(?!\w))")


def wrapped(text: str, first: str = "", rest: str | None = None, width: int = WIDTH) -> list[str]:
    """Lines of a text, the first begun with `first` and the others with `rest` (None: as the first, in blanks).

    >>> wrapped("The bath warms by 2 K.", "- ", width=20)
    ['- The bath warms by', '  2 K.']
    >>> wrapped("walls 15 3/4 in long", width=9)
    ['walls', '15 3/4 in', 'long']
    """
    hang = " " * len(first) if rest is None else rest
    lines = textwrap.wrap(unbroken(text), width, initial_indent=first, subsequent_indent=hang, break_long_words=False,
                          break_on_hyphens=False)  # fmt: skip
    return [line.replace("\N{NO-BREAK SPACE}", " ") for line in lines]


def unbroken(text: str) -> str:
    """A text whose numbers are held to their units, and fractions to their whole numbers, by no-break spaces."""
    return _MIXED.sub("\N{NO-BREAK SPACE}", _QUANTITY.sub("\\1\N{NO-BREAK SPACE}", text))
