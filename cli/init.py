"""`areacalc init`: a new load file, commented."""

import os
from pathlib import Path
from typing import Annotated

from typer import Argument, Option

from areacalc.errors import BadInput
from areacalc.quantity import length_unit

from . import show as out
from .options import Force, UnitOption, once_or_twice
from .write import target, write

NewFile = Annotated[Path, Argument(metavar="NEW", help="Load file to write, such as desk-set.toml.")]
PartFiles = Annotated[list[Path] | None, Argument(metavar="PART", help="Part files that hang in the load.")]
NameOption = Annotated[str | None, Option("--name", help="Name of the load (default: the file's name).")]


def init(
    new_file: NewFile, part_files: PartFiles = None, name: NameOption = None, unit: UnitOption = None,
    full: Annotated[bool, Option("--full", help="Write every key, not only the usual ones.")] = False,
    force: Force = False,
) -> None:  # fmt: skip
    """Write a new load file, commented; blanks mark what only you can measure.

    Example: areacalc init desk-set.toml pen.toml cap.stl --unit mm
    """
    from areacalc.load.keys import new_load
    from areacalc.load.read_load import BadLoad, read_load

    if new_file.suffix.lower() != ".toml":
        named = new_file.with_suffix(".toml").name if new_file.name else "new-load.toml"
        raise BadInput(str(new_file), "a load file ends in .toml", f"write {named}")
    if (said := once_or_twice(unit, "--unit")) is not None:
        length_unit(said)
    target(new_file, "NEW", (".toml",), force)
    files = [_seen_from(new_file, file, said) for file in part_files or ()]
    write(new_file, new_load(name or new_file.stem, files, said, full=full), force)
    out.say(f"Wrote {new_file}. Paths of part files start at its folder.")
    try:
        read_load(new_file)
    except BadLoad as blanks:
        out.say("Fill in, each marked with a '?':")
        for each in blanks.mistakes:
            out.say(f"  line {each.line}: {each.place}; {each.remedy}")
    out.say(f"Next: areacalc plan {new_file}")


def _seen_from(new_file: Path, part: Path, unit: str | None) -> str:
    """A part's path as seen from the load file. Raises BadInput for one that is not there or cannot be opened."""
    from areacalc.part.part import open_part

    found = next((p for p in (part, new_file.parent / part) if p.is_file()), None)
    if found is None:
        raise BadInput(str(part), "there is no such file", "check the name and the folder")
    open_part(found, unit)
    return Path(os.path.relpath(found.resolve(), new_file.parent.resolve())).as_posix()
