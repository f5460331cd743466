"""Parts that are open already: a sweep opens each file, and works out each way to cover and hang it, but once."""

from __future__ import annotations

from pathlib import Path

from areacalc.load.load import PartLine
from areacalc.part.part import Part, open_part
from areacalc.surface.wetted import WettedArea


class Shelf:
    """Parts by path and unit, and by what is done to their skin."""

    def __init__(self) -> None:
        self._opened: dict[tuple[Path, str | None], Part] = {}
        self._wetted: dict[tuple[object, ...], tuple[Part, WettedArea]] = {}

    def wetted(self, folder: str, line: PartLine) -> tuple[Part, WettedArea]:
        """The part of a line, covered and hung, and its wetted area. Raises BadInput, UnknownName."""
        assert line.file is not None
        path = Path(folder) / line.file
        done = (line.plug, line.mask, line.wet_only, line.contact, line.add, line.fill)
        key = (path, line.unit, *done, line.up, line.liquid_line)
        if key not in self._wetted:
            part = self._part(path, line.unit)
            if any(done):
                part = part.with_choices(*done)
            if line.up is not None:
                part = part.hung(line.up, line.liquid_line)
            self._wetted[key] = part, part.wetted()
        return self._wetted[key]

    def _part(self, path: Path, unit: str | None) -> Part:
        if (path, unit) not in self._opened:
            part = open_part(path, unit)
            _ = part.skin  # found here, so that every way to cover it shares it
            self._opened[path, unit] = part
        return self._opened[path, unit]
