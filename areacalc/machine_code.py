"""Machine code of a loop, kept on disk and opened without the compiler.

numba makes the code; llvmlite, which numba itself stands on, opens it again in 20 ms. What is relied on is how numba
hands over arguments (https://numba.readthedocs.io, developer manual, "The calling convention"), so code is kept only by
versions that were tried, and only if it calls nothing but the C library and the few allocations below.
"""

from __future__ import annotations

import ctypes
import hashlib
import json
import os
import stat
import tempfile
import weakref
from collections.abc import Callable
from contextlib import suppress
from functools import cache
from pathlib import Path
from types import FunctionType
from typing import Any

import numpy as np

_TRIED = ((0, 62), (0, 68))  # the first and last versions of numba whose code has been opened so
_LARGE = 1 << 16  # bytes of an array that is taken over, not copied
_NOTHING = -2  # what a function that gives back None answers
_POINTER, _WORD = ctypes.c_void_p, ctypes.c_ssize_t
_NUMBERS: dict[str, Any] = {"int64": ctypes.c_int64, "float64": ctypes.c_double, "bool": ctypes.c_bool}
_OUTSIDE = {"NRT_Allocate", "NRT_Free", "NRT_MemInfo_call_dtor", "NRT_MemInfo_alloc_aligned"} | {
    "memcpy", "memset", "memmove", "malloc", "free", "sqrt", "hypot", "sin", "cos", "tan", "asin", "acos"} | {
    "atan", "atan2", "floor", "ceil", "pow", "exp", "log", "fmod"}  # fmt: skip

# what numba's runtime does for an array made in a loop: a head of six words, the numbers behind it
_ALLOCATIONS = """
declare ptr @malloc(i64)
declare void @free(ptr)
define ptr @NRT_Allocate(i64 %size) {
  %all = call ptr @malloc(i64 %size)
  ret ptr %all
}
define void @NRT_Free(ptr %all) {
  call void @free(ptr %all)
  ret void
}
define void @NRT_MemInfo_call_dtor(ptr %head) {
  call void @free(ptr %head)
  ret void
}
define ptr @NRT_MemInfo_alloc_aligned(i64 %size, i32 %align) {
  %step = zext i32 %align to i64
  %more = add i64 %step, 48
  %room = add i64 %size, %more
  %head = call ptr @malloc(i64 %room)
  %none = icmp eq ptr %head, null
  br i1 %none, label %end, label %fill
fill:
  %at = ptrtoint ptr %head to i64
  %past = add i64 %at, %more
  %below = urem i64 %past, %step
  %data = sub i64 %past, %below
  %words = insertvalue [6 x i64] [i64 1, i64 0, i64 0, i64 0, i64 0, i64 0], i64 %data, 3
  %whole = insertvalue [6 x i64] %words, i64 %size, 4
  store [6 x i64] %whole, ptr %head
  br label %end
end:
  ret ptr %head
}
"""


def kept_at(function: FunctionType, origins: frozenset[tuple[str, str]], kinds: tuple[str, ...]) -> tuple[Path, ...]:
    """Where the code of this function for these kinds of argument may be kept, on this processor, as the sources stand.

    The first place that can be written to is taken; all are looked into.
    """
    of = hashlib.sha256(_digest(__file__) + _processor())
    for name, value in sorted(origins):
        of.update(name.encode() + value.encode() if value else _digest(name))
    of.update(repr((function.__qualname__, kinds)).encode())
    source = Path(function.__code__.co_filename)
    name = f"{source.stem}.{function.__qualname__}-{of.hexdigest()[:24]}.loop"
    return tuple(room / name for room in _rooms(source.parent))


@cache
def _digest(source: str) -> bytes:
    return hashlib.sha256(Path(source).read_bytes()).digest()


@cache
def _processor() -> bytes:
    import llvmlite
    import llvmlite.binding as llvm

    return repr((llvmlite.__version__, llvm.get_host_cpu_name(), llvm.get_host_cpu_features().flatten())).encode()


@cache
def _rooms(folder: Path) -> tuple[Path, ...]:
    """Where code may be kept: beside the source, among the person's own caches, else in a place for passing things.

    That last one is made only where the others cannot be written, and must be the person's own and shut to others: what
    is opened from it is run.
    """
    rooms = [folder / "__pycache__"]
    with suppress(RuntimeError):  # nobody's home
        rooms.append(Path.home() / ".cache/areacalc")
    if os.name == "posix" and not any(map(_can_be_written, rooms)):
        passing = Path(tempfile.gettempdir(), f"areacalc-{os.getuid()}")
        with suppress(OSError):
            passing.mkdir(mode=0o700, exist_ok=True)
            told = passing.lstat()
            if stat.S_ISDIR(told.st_mode) and told.st_uid == os.getuid() and not told.st_mode & 0o077:
                rooms.append(passing)
    return tuple(rooms)


def _can_be_written(room: Path) -> bool:
    with suppress(OSError):
        room.mkdir(parents=True, exist_ok=True)
        return os.access(room, os.W_OK)
    return False


def opened(places: tuple[Path, ...]) -> Callable[..., Any] | None:
    """The loop kept in one of these places, ready to be called; None where there is none, or none whole."""
    for where in places:
        with suppress(OSError, ValueError):
            check, text, code = where.read_bytes().split(b"\n", 2)
            if _check(where, text, code) == check:
                return _entry(json.loads(text), code)
    return None


def made(for_compiler: Callable[..., Any], kinds: tuple[str, ...], places: tuple[Path, ...]) -> Callable[..., Any]:
    """The loop compiled for these kinds of argument, and kept for the next time if it can be."""
    import numba

    version = tuple(map(int, numba.__version__.split(".")[:2]))
    if os.name == "posix" and _TRIED[0] <= version <= _TRIED[1]:
        bare = for_compiler(no_cpython_wrapper=True, no_cfunc_wrapper=True)
        bare.compile(tuple(map(_type, kinds)))
        (result,) = bare.overloads.values()
        gives = _gives(result.signature.return_type)
        outside = {f.name for f in result.library._final_module.functions if f.is_declaration}
        if gives is not None and all(name in _OUTSIDE or name.startswith("llvm.") for name in outside):
            code, allocations = result.library._get_compiled_object(), _compiled_allocations()
            told = {"name": result.fndesc.llvm_func_name, "kinds": kinds, "gives": gives, "size": len(code)}
            any(_keep(told, code + allocations, where) for where in places)
            return _entry(told, code + allocations)
    try:
        return for_compiler(cache=True)  # type: ignore[no-any-return]
    except RuntimeError:  # nowhere to keep it
        return for_compiler()  # type: ignore[no-any-return]


def _type(kind: str) -> Any:
    """What numba calls a kind of argument."""
    import numba

    name, *array = kind.split()
    number = numba.from_dtype(np.dtype(name))
    return numba.types.Array(number, int(array[0]), array[1]) if array else number


def _gives(type_: Any) -> list[str] | None:
    """The kinds of what a loop gives back; None where that cannot be read without the compiler."""
    import numba

    kinds: list[str] = []
    for part in getattr(type_, "types", [type_]):
        if isinstance(part, numba.types.Array) and part.layout == "C":
            kinds.append(f"{part.dtype} {part.ndim} C")
        elif str(part) in _NUMBERS:
            kinds.append(str(part))
        elif part is not numba.none:
            return None
    return [*kinds, ""] if hasattr(type_, "types") else kinds


def _compiled_allocations() -> bytes:
    import llvmlite.binding as llvm

    llvm.initialize_native_target()
    llvm.initialize_native_asmprinter()
    return bytes(_machine().emit_object(llvm.parse_assembly(_ALLOCATIONS)))


def _machine() -> Any:
    import llvmlite.binding as llvm

    return llvm.Target.from_default_triple().create_target_machine(opt=3, codemodel="jitdefault")


def _keep(told: dict[str, Any], code: bytes, where: Path) -> bool:
    """Whether it could be written there, whole; a place that cannot be written costs the next time, nothing else."""
    text = json.dumps(told).encode()
    with suppress(OSError):
        where.parent.mkdir(parents=True, exist_ok=True)
        with tempfile.TemporaryDirectory(dir=where.parent) as room:  # nothing stays of what was not finished
            new = Path(room, where.name)
            new.write_bytes(b"\n".join((_check(where, text, code), text, code)))
            os.replace(new, where)
        return True
    return False


def _check(where: Path, text: bytes, code: bytes) -> bytes:
    """What tells that a file is whole, and that it is this loop's."""
    return hashlib.sha256(where.name.encode() + text + code).hexdigest().encode()


def _entry(told: dict[str, Any], code: bytes) -> Callable[..., Any]:
    """The function in a piece of machine code."""
    import llvmlite.binding as llvm

    llvm.initialize_native_target()
    llvm.initialize_native_asmprinter()
    engine = llvm.create_mcjit_compiler(llvm.parse_assembly(""), _machine())
    for part in (code[: told["size"]], code[told["size"] :]):
        engine.add_object_file(llvm.ObjectFileRef.from_data(part))
    engine.finalize_object()
    words = [word for kind in told["kinds"] for word in _words(kind)]
    native = ctypes.CFUNCTYPE(ctypes.c_int32, _POINTER, _POINTER, *words)(engine.get_function_address(told["name"]))
    free = ctypes.CFUNCTYPE(None, _POINTER)(engine.get_function_address("NRT_MemInfo_call_dtor"))
    kinds = told["gives"]
    space = type("Space", (ctypes.Structure,), {"_fields_": [(f"f{i}", _field(kind)) for i, kind in enumerate(kinds)]})
    takers, several = [(f"f{i}", _taker(kind, free)) for i, kind in enumerate(kinds) if kind], "" in kinds

    def run(*given: Any) -> Any:
        space_given, error = space(), _POINTER()
        status = native(ctypes.byref(space_given), ctypes.byref(error), *_handed(given))
        if status not in (0, _NOTHING):
            raise MemoryError("a compiled loop was given no room")
        parts = [take(getattr(space_given, name)) for name, take in takers]
        return tuple(parts) if several else parts[0] if parts else None

    run.engine = free.engine = engine  # type: ignore[attr-defined]  # the code lives as long as its engine
    return run


def _words(kind: str) -> list[Any]:
    """A kind of argument as numba hands it over: an array is two owners, its counts, its place, its shape and steps."""
    name, *array = kind.split()
    if not array:
        return [_NUMBERS[name]]
    return [_POINTER, _POINTER, _WORD, _WORD, _POINTER, *[_WORD] * (2 * int(array[0]))]


def _handed(given: tuple[Any, ...]) -> list[Any]:
    words: list[Any] = []
    for one in given:
        if isinstance(one, np.ndarray):
            place = one.__array_interface__["data"][0]
            words += (None, None, one.size, one.itemsize, place, *one.shape, *one.strides)
        else:
            words.append(one)
    return words


def _field(kind: str) -> Any:
    return _WORD * len(_words(kind)) if " " in kind else _NUMBERS[kind] if kind else ctypes.c_byte * 0


def _taker(kind: str, free: Callable[[int], None]) -> Callable[[Any], Any]:
    """What makes a number of a field, or an array of our own with what the loop made; the loop's own is given back."""
    name, *array = kind.split()
    if not array:
        return lambda field: field
    number, dimensions = np.dtype(name), int(array[0])

    def take(field: Any) -> Any:
        owner, _, count, _, place, *shape = field
        size = count * number.itemsize
        if owner and size > _LARGE and _WORD.from_address(owner).value == 1:
            held = (ctypes.c_char * size).from_address(place)
            # freed with the last array that looks into it; at the end of the process the whole is given back anyway
            weakref.finalize(held, free, owner).atexit = False
            return np.frombuffer(held, number).reshape(shape[:dimensions])
        own = np.empty(shape[:dimensions], number)
        ctypes.memmove(own.__array_interface__["data"][0], place, size)
        if owner:
            references = _WORD.from_address(owner)
            references.value -= 1
            if references.value == 0:
                free(owner)
        return own

    return take
