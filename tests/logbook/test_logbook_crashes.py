"""The logbook when its writer is killed and when the disk is full: what was acknowledged is there, once."""

import contextlib
import random
import resource
import sqlite3
import subprocess
import sys
import time

import msgspec
import pytest

from areacalc.errors import BadInput
from areacalc.logbook.logbook import Logbook
from areacalc.logbook.records import Reading, Run

RUN = Run(when="2026-03-03T10:00", load="pens", area_mm2=1e4, current_a=2.5, density_a_per_dm2=2.5, run_s=1800.0,
          film_um=14.0, acid_g_per_l=180.0, aluminium_g_per_l=3.0, temperature_c=20.0)  # fmt: skip
WRITER = """
import sys
from pathlib import Path
from areacalc.logbook.logbook import Logbook
from areacalc.logbook.records import Reading, Run
first, when = int(sys.argv[2]), sys.argv[3]
import msgspec
with Logbook(Path(sys.argv[1])) as book:
    run = msgspec.structs.replace(book.run(1), number=0, key="", when=when)
    print("ready", flush=True)
    kept, there = book.add_run(run)
    print("run", kept.number, flush=True)
    for n in range(first, first + 10**9):
        book.add_reading(Reading(run=1, at_s=float(n), volts_v=15.0 + n % 7))
        print("reading", n, flush=True)
"""


def killed(path, first, when, wait_s):
    """What a writer acknowledged until it was killed."""
    words = [sys.executable, "-c", WRITER, path, str(first), when]
    with subprocess.Popen(words, stdout=subprocess.PIPE, text=True) as writer:
        assert writer.stdout.readline() == "ready\n"
        time.sleep(wait_s)
        writer.kill()
        lines = writer.stdout.read().split("\n")
    return [line.split() for line in lines[:-1]]  # what the kill cut off in the middle acknowledges nothing


def kill_writers(path, kills, seed):
    chance = random.Random(seed)
    with Logbook(path) as book:
        book.add_run(RUN)
    acknowledged, first = set(), 0
    for number in range(kills):
        when = f"2026-03-{4 + number // 24:02}T{number % 24:02}:00"
        told = killed(path, first, when, chance.uniform(0.0, 0.04))
        readings = {int(n) for what, n in told if what == "reading"}
        acknowledged |= readings
        with Logbook(path) as book:
            held = [int(r.at_s) for r in book.readings(1)]
            assert acknowledged <= set(held)
            assert all(r.volts_v == 15.0 + int(r.at_s) % 7 for r in book.readings(1))
            assert len(held) == len(set(held)) <= len(acknowledged | readings) + number + 1
            before = len(book.runs())
            _, there = book.add_run(msgspec.structs.replace(RUN, when=when))
            assert there or not any(what == "run" for what, _ in told)
            assert len(book.runs()) == before + (not there)
        with contextlib.closing(sqlite3.connect(path)) as db:
            assert db.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        first = max(held, default=-1)  # as a person does: what was not heard to be kept is given again
        first = max(first, 0)
    with Logbook(path) as book:
        assert len(book.runs()) == kills + 1


def test_a_killed_writer_loses_nothing_that_it_acknowledged(tmp_path):
    kill_writers(tmp_path / "logbook.sqlite", 3, 1)


@pytest.mark.campaign
def test_200_kills_lose_nothing_and_double_nothing(tmp_path):
    kill_writers(tmp_path / "logbook.sqlite", 200, 2)


def test_20_full_disks_leave_the_logbook_whole(tmp_path):
    path, chance = tmp_path / "logbook.sqlite", random.Random(3)
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    kept, refused = [], 0
    with Logbook(path) as book:
        book.add_run(RUN)
        for n in range(20):
            try:
                resource.setrlimit(resource.RLIMIT_FSIZE, (chance.randint(0, path.stat().st_size + 2000), hard))
                with contextlib.suppress(BadInput):
                    for m in range(100):
                        book.add_reading(Reading(run=1, at_s=n * 1000.0 + m, remark="x" * 300))
                        kept.append(n * 1000.0 + m)
                    refused -= 1
                refused += 1
            finally:
                resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
            assert [r.at_s for r in book.readings(1)] == kept
    assert refused > 10
    with contextlib.closing(sqlite3.connect(path)) as db:
        assert db.execute("PRAGMA integrity_check").fetchone() == ("ok",)


def test_a_full_disk_is_told_in_one_line(tmp_path):
    soft, hard = resource.getrlimit(resource.RLIMIT_FSIZE)
    with Logbook(tmp_path / "logbook.sqlite") as book:
        book.add_run(RUN)
        resource.setrlimit(resource.RLIMIT_FSIZE, (0, hard))
        try:
            with pytest.raises(BadInput, match=r"cannot be written: the disk .*full; make room, and try again"):
                book.add_reading(Reading(run=1, at_s=1.0, volts_v=15.0))
        finally:
            resource.setrlimit(resource.RLIMIT_FSIZE, (soft, hard))
        assert book.add_reading(Reading(run=1, at_s=1.0, volts_v=15.0)).number == 1
