"""The rules of the house, read off the code itself."""

import ast
import functools
import gc
import importlib
import inspect
import pkgutil
import re
import subprocess
import sys
import tomllib
from collections import Counter
from pathlib import Path
from typing import NamedTuple

import pytest

import areacalc
from areacalc.sources import Constant, Kind, Source

ROOT = Path(__file__).parent.parent
UNITS = (
    "_mm", "_mm2", "_mm3", "_um", "_rad", "_deg", "_a", "_v", "_w", "_s", "_min", "_h", "_c", "_k", "_l", "_g", "_kg",
    "_ml", "_ohm", "_j", "_pct", "_wt_pct", "_ah", "_m_per_s", "_m3",
)  # fmt: skip
PER = "_per_"
DIMENSIONLESS = {
    "value", "low", "high", "factor", "ratio", "share", "fraction", "efficiency", "tolerance", "number", "weight",
    "text", "part", "count", "scale", "width", "confidence", "given", "mm", "least", "most", "ph",
    "relative_density", "baume",
}  # fmt: skip


def modules() -> list[str]:
    return sorted(m.name for m in pkgutil.walk_packages(areacalc.__path__, "areacalc."))


def members(kind):
    for name in modules():
        for label, member in vars(importlib.import_module(name)).items():
            if kind(member):
                yield name, label, member


def float_parameters():
    for name, label, function in members(inspect.isfunction):
        if label.startswith("_") or function.__module__ != name:
            continue
        for parameter in inspect.signature(function).parameters.values():
            if parameter.kind is parameter.VAR_KEYWORD:
                continue  # each word given carries its own unit
            if str(parameter.annotation).split(" |")[0] == "float":
                yield f"{name}.{label}", parameter.name


def test_a_float_parameter_of_a_public_function_names_its_unit():
    def named(word: str) -> bool:
        return word.endswith(UNITS) or PER in word or word in DIMENSIONLESS or word.rpartition("_")[2] in DIMENSIONLESS

    found = list(float_parameters())
    assert found, "no float parameters found: the search is broken"
    unnamed = [f"{where}({word})" for where, word in found if not named(word)]
    assert unnamed == []


def test_every_constant_has_a_source_with_words():
    found = [(f"{name}.{label}", c) for name, label, c in members(lambda m: isinstance(m, Constant))]
    assert found, "no constants found: the search is broken"
    assert [where for where, c in found if not c.source.text.strip()] == []


HEARSAY = re.compile(r"forum|blog|\.org|as .* reports? it|as reported|\b(?!pfonline)\w+\.com")


def test_what_a_blog_a_forum_or_a_vendor_says_is_second_hand():
    for name in modules():
        importlib.import_module(name)
    sources = [s for s in gc.get_objects() if type(s) is Source]  # a dead weak reference fails isinstance
    assert any(s.kind is Kind.REPORTED for s in sources)
    assert [str(s) for s in sources if s.kind is Kind.PUBLISHED and HEARSAY.search(s.text)] == []


def test_every_table_of_the_bath_begins_with_its_source():
    tables = sorted((ROOT / "areacalc" / "bath" / "data").glob("*.csv"))
    assert tables
    kinds = "|".join(Kind)
    begins = [table.read_text().partition("\n")[0] for table in tables]
    assert [line for line in begins if not re.match(rf"# source: (?:{kinds}): \w", line)] == []


def test_the_command_line_opens_without_the_heavy_libraries():
    seen = "import sys, areacalc_cli.main; print(*{m.partition('.')[0] for m in sys.modules})"
    run = subprocess.run([sys.executable, "-c", seen], capture_output=True, text=True, check=True)
    assert {"OCP", "scipy", "trimesh", "numpy", "shapely", "pint", "ezdxf"}.isdisjoint(run.stdout.split())


@pytest.mark.parametrize("folder", ["areacalc", "cli"])
def test_no_module_is_over_400_lines(folder):
    long = {
        str(p.relative_to(ROOT)): n
        for p in (ROOT / folder).rglob("*.py")
        if (n := len(p.read_text().splitlines())) > 400
    }
    assert long == {}


def test_the_imports_run_downward():
    checker = Path(sys.executable).with_name("lint-imports")
    run = subprocess.run([checker], cwd=ROOT, capture_output=True, text=True, check=False)
    assert run.returncode == 0, run.stdout


def test_the_map_shows_the_floors_of_the_contract():
    contract = tomllib.loads((ROOT / "pyproject.toml").read_text("utf-8"))["tool"]["importlinter"]["contracts"][0]
    drawn = (ROOT / "DEVELOPERS.md").read_text("utf-8").partition("```text\n")[2].partition("```")[0].splitlines()
    assert [re.sub(r"areacalc\.|areacalc_(?=cli)", "", floor) for floor in contract["layers"]] == drawn


class Read(NamedTuple):
    """What the rules ask of a file: imports, classes and other types, and the texts in it that are no docstrings."""

    imports: list
    classes: list
    types: set
    texts: list


@functools.cache
def house():
    """Every file of the house, read once for all tests."""
    files = [path for folder in ("areacalc", "cli") for path in (ROOT / folder).rglob("*.py")]
    assert files, "no files found: the search is broken"
    return {path: read_off(ast.parse(path.read_text("utf-8"))) for path in files}


def read_off(module):
    read = Read([], [], set(), [])
    documents, texts = set(), []
    for node in ast.walk(module):
        match node:
            case ast.Import() | ast.ImportFrom():
                read.imports.append(node)
            case ast.ClassDef(name=name):
                read.classes.append(name)
            case ast.Expr(value=value):
                documents.add(id(value))
            case ast.Constant(value=str()):
                texts.append(node)
    read.texts.extend(node.value for node in texts if id(node) not in documents)
    for node in module.body:
        if isinstance(node, ast.Assign):
            read.types.update(each.id for each in node.targets if isinstance(each, ast.Name))
    return read


def imported(path, package):
    """Dotted names of the modules that a file imports, lazy and type-only imports too."""
    for node in house()[path].imports:
        if isinstance(node, ast.Import):
            yield from (each.name for each in node.names)
        else:
            base = package.split(".")[: len(package.split(".")) - node.level + 1] if node.level else []
            stem = ".".join([*base, *([node.module] if node.module else [])])
            yield from (stem, *(f"{stem}.{each.name}" for each in node.names))


def front_door(package):
    """The modules that others may import from a package: all of them where it names none."""
    named = getattr(importlib.import_module(package), "__all__", None)
    return None if named is None else set(named)


def test_others_come_in_by_the_front_door():
    known = set(modules()) | {"areacalc"}
    packages = {name for name in known if hasattr(importlib.import_module(name), "__path__")} - {"areacalc"}
    wrong = []
    for folder, top in (("areacalc", "areacalc"), ("cli", "areacalc_cli")):
        for path in (ROOT / folder).rglob("*.py"):
            parts = [top, *path.relative_to(ROOT / folder).with_suffix("").parts]
            mine = ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
            package = mine if parts[-1] == "__init__" else mine.rpartition(".")[0]
            for target in set(imported(path, package)) & known:
                steps = target.split(".")
                for depth in range(2, len(steps)):
                    room = ".".join(steps[:depth])
                    door = front_door(room) if room in packages and not f"{mine}.".startswith(f"{room}.") else None
                    if door is not None and steps[depth] not in door:
                        wrong.append(f"{mine} imports {target}, which {room} does not name in __all__")
    assert wrong == []


def test_a_class_name_has_one_meaning():
    """Neither two classes nor a class and another type have one name: of two a reader takes the wrong one."""
    classes = Counter(name for read in house().values() for name in read.classes)
    assert classes, "no classes found: the search is broken"
    assert [name for name, number in classes.items() if number > 1] == []
    assert classes.keys() & set().union(*(read.types for read in house().values())) == set()


def test_the_library_does_not_speak_command_line():
    """An error names a Field, which a front end calls as it was typed there, or a whole command to run."""
    option, said = re.compile(r"--[a-z][a-z-]+"), []
    front_ends = {path for room in ("report", "docs") for path in (ROOT / "areacalc" / room).rglob("*.py")}
    for path in set((ROOT / "areacalc").rglob("*.py")) - front_ends:
        said += [
            f"{path.name}: {text}" for text in house()[path].texts if option.search(text.partition("areacalc ")[0])
        ]
    assert said == []
