"""A load with the files of its parts in one zip: what the page saves, and opens again."""

import io
import zipfile
from pathlib import Path

from areacalc.errors import BadInput
from areacalc.shape.files.package import open_package

from .bench import MOST_PARTS, Bench
from .load_text import load_text, shown_files
from .store import MOST_UPLOAD_BYTES

SUFFIX = ".zip"
_LOAD = "load.toml"


def load_zip(bench: Bench, folder: Path) -> bytes:
    """The load file and the part files, which stand in a folder, side by side as the command line wants them."""
    names = shown_files(bench)
    made = io.BytesIO()
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.writestr(_LOAD, load_text(bench, lambda part: names[part.id]))
        for name, file in {names[part.id]: part.file for part in bench.parts}.items():
            if (folder / file).is_file():
                packed.write(folder / file, name)
    return made.getvalue()


def unpacked(path: Path, name: str) -> tuple[str, dict[str, bytes]]:
    """The load file's text and the other files by name. Raises BadInput for what is no such zip."""
    files: dict[str, bytes] = {}
    try:
        with open_package(path) as packed:
            for inside in packed.names.values():
                if not inside.endswith("/"):
                    with packed.part(inside) as stream:
                        files[Path(inside).name] = stream.read(MOST_UPLOAD_BYTES + 1)
                if len(files) > MOST_PARTS + 1 or sum(map(len, files.values())) > MOST_UPLOAD_BYTES:
                    raise BadInput(name, "holds more than one load", "drop its files by themselves")
    except BadInput as bad:  # told of the stored file
        raise BadInput(name, bad.what, bad.remedy) from None
    try:
        return files.pop(_LOAD).decode("utf-8"), files
    except (KeyError, UnicodeDecodeError):
        raise BadInput(name, f"holds no {_LOAD}", "drop the part files by themselves") from None
