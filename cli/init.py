"""`areacalc init`: a new load file, commented."""

from __future__ import annotations

from pathlib import Path
from typing import Annotated

import typer

from . import show as out

NewFile = Annotated[Path, typer.Argument(metavar="NEW", help="The load file to write, such as desk-set.toml.")]
PartFiles = Annotated[list[str] | None, typer.Argument(metavar="[PART...]", help="Part files that hang in the load.")]
NameOption = Annotated[str | None, typer.Option("--name", help="What you call the load; else the file's name.")]
Force = Annotated[bool, typer.Option("--force", help="Write over a file that is there.")]


def init(new_file: NewFile, part_files: PartFiles = None, name: NameOption = None, force: Force = False) -> None:
    """Write a new load file with every key in it, commented.

    Example: areacalc init desk-set.toml pen.toml cap.stl
    """
    from areacalc.errors import BadInput
    from areacalc.run.new_load import new_load

    from .write import write_text

    if new_file.suffix.lower() != ".toml":
        raise BadInput(str(new_file), "a load file ends in .toml", f"write {new_file.with_suffix('.toml').name}")
    if new_file.exists() and not force:
        raise BadInput(str(new_file), "is there already", "choose another name, or give --force")
    for file in part_files or ():
        if not (new_file.parent / file).is_file():
            raise BadInput(file, f"is not there beside {new_file.name}", "give part files as seen from the load file")
    write_text(new_file, new_load(name or new_file.stem, part_files or ()))
    out.say(f"Wrote {new_file}. Fill it in, then: areacalc plan {new_file}")
