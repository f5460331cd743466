"""Changed inputs, led by what code they reach (atheris): words that people type, and files for each of our readers.

    python -m tests.fuzz TARGET [--minutes 10]

TARGET: a kind of words or a file's ending; without one they are listed. Minutes of processor. What breaks is kept in
build/fuzz/TARGET, and so are the inputs that reached new code: the next run goes on from them. An input of its own for
each place that broke, its traceback printed; exit 1. Too much memory (2 GiB) or a minute without end stops the run.
"""

from __future__ import annotations

import argparse
import importlib
import logging
import os
import sys
import time
import traceback
import warnings
import zlib
from collections.abc import Callable
from pathlib import Path

try:
    import atheris
except ImportError:
    sys.exit("tests.fuzz: atheris is not installed; pip install 'areacalc[fuzz]', on Python 3.11 to 3.13")

ROOM = Path(__file__).parents[2] / "build" / "fuzz"
SLOW_S = 10.0  # of processor, for one input
MEASURED = 15  # of so many bodies one is measured as a part, which takes a hundred times as long as reading it
SMALL = 3000  # triangles

with atheris.instrument_imports(include=["areacalc"], enable_loader_override=False):
    from areacalc.part.part import open_part
    from areacalc.report.documents import part_document
    from areacalc.shape.read import FORMATS, read_bare

    for each in FORMATS.values():
        importlib.import_module(each.reader.partition(":")[0])
    from tests.fuzz import fuzzed_files, fuzzed_words


class Fuzz:
    """One target for so long: every input goes to `holds`, and what that raises is kept by the place it came from."""

    def __init__(self, folder: Path, holds: Callable[[bytes], None], seconds: float) -> None:
        self._folder, self._holds = folder, holds
        self._end_s = time.process_time() + seconds
        self._runs = 0
        self._broke: set[str] = set()

    def __call__(self, content: bytes) -> None:
        self._runs += 1
        begun_s = time.process_time()
        place = told = ""
        try:
            self._holds(content)
        except Exception as fault:
            place, told = _place(fault), traceback.format_exc()
        now_s = time.process_time()
        if now_s - begun_s > SLOW_S:
            place = place or f"{now_s - begun_s:.0f} s"
        if place and place not in self._broke:
            self._broke.add(place)
            kept = self._folder / f"broke-{zlib.crc32(content):08x}"
            kept.write_bytes(content)
            print(f"{told}{kept}: {place}", flush=True)
        if now_s > self._end_s:
            print(f"{self._runs} inputs; places that broke: {len(self._broke)}", flush=True)
            os._exit(bool(self._broke))  # the library has no end of its own


def _place(fault: Exception) -> str:
    last = traceback.extract_tb(fault.__traceback__)[-1]
    return f"{type(fault).__name__} at {last.filename}, line {last.lineno}"


def _words(content: bytes, holds: Callable[[str], None]) -> None:
    holds(content.decode("utf-8", "surrogateescape"))


def _file(content: bytes, path: Path) -> None:
    fuzzed_files.write(path, content)
    format = FORMATS[path.suffix]
    # in this very process, where a fault of the reader is not made into a line
    body = fuzzed_files.outcome(path, lambda path: read_bare(format.reader, path, None))
    small = body is not None and len(body.triangles) < SMALL and path.suffix != ".dxf"
    if small and zlib.crc32(content) % MEASURED == 0:
        fuzzed_words.outcome(_measure, path)


def _measure(path: Path) -> None:
    part = open_part(path)
    part_document(part, part.wetted(), 1)


def _target(name: str, folder: Path) -> tuple[list[bytes], Callable[[bytes], None]]:
    """What is changed, and what must hold of it."""
    if name in fuzzed_words.WORDS:
        words = fuzzed_words.WORDS[name]
        return [seed.encode() for seed in words.seeds], lambda content: _words(content, words.holds)
    return fuzzed_files.sound()[name], lambda content: _file(content, folder / f"part.{name}")


def _dictionary(seeds: list[bytes]) -> str:
    odd = [word.encode("utf-8", "surrogatepass") for word in fuzzed_words.ODD] + fuzzed_files.ODD
    words = {word for word in [*odd, *b" ".join(seeds).split()] if 0 < len(word) <= 60}
    return "".join('"' + "".join(f"\\x{byte:02x}" for byte in word) + '"\n' for word in sorted(words))


def main() -> None:
    names = [*fuzzed_words.WORDS, *fuzzed_files.sound()]
    ask = argparse.ArgumentParser(
        "tests.fuzz", description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter
    )
    ask.add_argument("target", choices=names)
    ask.add_argument("--minutes", type=float, default=10.0)
    told = ask.parse_args()
    folder = ROOM / told.target
    corpus = folder / "corpus"
    corpus.mkdir(parents=True, exist_ok=True)
    seeds, holds = _target(told.target, folder)
    for number, seed in enumerate(seeds):
        (corpus / f"seed-{number}").write_bytes(seed)
    (folder / "words").write_text(_dictionary(seeds))
    longest = 4 * max(map(len, seeds))
    logging.disable(logging.CRITICAL)
    warnings.simplefilter("ignore")
    more = [f"-dict={folder / 'words'}", f"-max_len={longest}", f"-artifact_prefix={folder}/", "-timeout=60"]
    atheris.Setup([sys.argv[0], str(corpus), *more, "-rss_limit_mb=2048"], Fuzz(folder, holds, 60.0 * told.minutes))
    atheris.Fuzz()


if __name__ == "__main__":
    main()
