"""A text that a person wrote: read to a limit, whatever stands behind the name, and its TOML."""

import re
import stat
import tomllib
from pathlib import Path

from areacalc.errors import BadInput

MOST_BYTES = 1_000_000
_QUOTED = re.compile(r"\"(?:[^\"\\\n]|\\.)*+\"|'[^'\n]*+'")
_LONG_KEY = re.compile(r"(?<![\w.-])(?:[\w-]++[ \t]*+\.[ \t]*+){33}")  # tomllib takes the square of its parts


def small_text(path: Path, wanted: str) -> str:
    """The text of a file or a pipe. Raises BadInput: a device, too large for `wanted`; OSError; UnicodeDecodeError."""
    mode = path.stat().st_mode
    if stat.S_ISCHR(mode) or stat.S_ISBLK(mode):
        raise BadInput(str(path), f"is a device, not {wanted}", "name a file")
    with path.open("rb") as file:
        content = file.read(MOST_BYTES + 1)  # a pipe does not say its size, and may have no end
    if len(content) > MOST_BYTES:
        raise BadInput(path.name, f"is too large for {wanted}", "name another file")
    return content.decode("utf-8-sig")


def toml_table(text: str, where: str) -> dict[str, object]:
    """The table of a TOML text. Raises tomllib.TOMLDecodeError; BadInput for what Python itself will not take."""
    if _LONG_KEY.search(_QUOTED.sub("q", text)):
        raise BadInput(where, "has a key of more than 32 parts with points between", "write it flat")
    try:
        return tomllib.loads(text)
    except RecursionError:
        raise BadInput(where, "has lists or tables too deep in one another", "write it flat") from None
    except tomllib.TOMLDecodeError:
        raise
    except ValueError:
        raise BadInput(where, "holds a whole number with too many figures", "write a smaller one") from None
