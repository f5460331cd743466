"""The bench as a load file, alone or with the files of its parts in a zip, and either back onto the bench.

It is the same TOML that the command line reads.
"""

import io
import json
import zipfile
from collections.abc import Callable, Iterable, Mapping
from dataclasses import asdict
from pathlib import Path
from typing import Any

from areacalc.errors import BadInput
from areacalc.load.read_load import data_of, load_from, with_tables
from areacalc.shape.files.package import open_package

from .bench import MOST_PARTS, Bench, BenchPart
from .store import MOST_UPLOAD_BYTES

ZIP = ".zip"
_LOAD = "load.toml"
_PART_KEYS = ("unit", "plug", "mask", "wet_only", "contact", "add", "fill", "up", "liquid_line", "alloy")


def load_text(
    bench: Bench, file_of: Callable[[BenchPart], str] = lambda part: part.file, names: Mapping[str, str] | None = None
) -> str:
    """The load in TOML; part files are called by file_of (their stored names, unless told otherwise).

    names: baths and tanks of the shop that stand in place of their tables.
    """
    settings, names = bench.settings, names or {}
    lines = [f"name = {_value(settings.name)}", *(f"{kind} = {_value(name)}" for kind, name in names.items())]
    for part in bench.parts:
        lines += ["", "[[part]]", f"name = {_value(part.name)}", f"file = {_value(file_of(part))}"]
        lines.append(f"count = {part.count}")
        for key in _PART_KEYS:
            value = part.choices.get(key) if key in part.choices else getattr(part, key, None)
            if value:
                lines.append(f"{key} = {_value(value)}")
    tables: dict[str, dict[str, Any]] = {
        name: dict(table) for name, table in settings.tables.items() if name not in names
    }
    tables["finish"] = {"density": settings.density} | tables.get("finish", {})
    for name, table in tables.items():
        lines += ["", f"[{name}]", *(f"{key} = {_value(value)}" for key, value in table.items())]
    return "\n".join(lines) + "\n"


def shown_file(part: BenchPart) -> str:
    """The name of a part's file as the person knows it."""
    suffix = Path(part.file).suffix
    name = part.name.replace("/", "_").replace("\\", "_")
    return name if name.lower().endswith(suffix) else f"{name}{suffix}"


def shown_files(bench: Bench) -> dict[str, str]:
    """The names of the parts' files by their ids, no two different files alike, one name for each file."""
    names: dict[str, str] = {}
    for part in bench.parts:
        name = first = shown_file(part)
        taken = {each.lower() for file, each in names.items() if file != part.file}
        for n in range(2, len(bench.parts) + 2):
            if name.lower() not in taken:
                break
            name = f"{Path(first).stem} {n}{Path(first).suffix}"
        names.setdefault(part.file, name)
    return {part.id: names[part.file] for part in bench.parts}


def opened(text: str) -> tuple[dict[str, Any], list[dict[str, Any]]]:
    """A load file as a change of the settings, and what it says of each part. Raises BadInput with every mistake."""
    data = with_tables(data_of(text, "the load file"), text, "the load file")
    load = load_from(data, text, "the load file")
    tables = {name: dict(table) for name, table in data.items() if isinstance(table, dict)}
    density = str(tables.get("finish", {}).pop("density", "small-tank"))
    lines = []
    for part in load.parts:
        if part.file is None:
            raise BadInput(f"the load file, line {part.line}", f"{part.name} is given by its area",
                           "the page wants its file; the command line plans it as it is")  # fmt: skip
        choices = {key: list(words) for key, words in asdict(part.choices).items() if words}
        others = {key: getattr(part, key) for key in ("unit", "up", "liquid_line", "alloy")}
        lines.append(
            {"file": Path(part.file).name, "name": part.name, "count": part.count, "choices": choices, **others}
        )
    return {"name": load.name, "density": density, "tables": tables}, lines


def _value(value: Any) -> str:
    """A TOML value: a JSON text of plain characters is a TOML basic string."""
    if isinstance(value, str):
        return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")
    if isinstance(value, Iterable):
        return "[" + ", ".join(_value(each) for each in value) + "]"
    return json.dumps(value)


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
