"""Which job goes to a worker when: large parts never hold up small ones."""

import asyncio
import threading

import pytest
from areacalc_cli.page import workers
from areacalc_cli.page.jobs import PartJob

from areacalc.errors import BadInput


class Hand:
    """A worker that is at its job until it is told to be done, or killed."""

    def __init__(self):
        self.seen, self.killed, self.done = set(), False, threading.Event()

    def do(self, job, tell):
        if "quick" not in job.name:
            self.done.wait(20)
        if self.killed:
            raise workers.Lost
        return job.name

    def kill(self):
        self.killed = True
        self.done.set()


@pytest.fixture
def job(tmp_path):
    def made(name):
        file = tmp_path / f"{name}.stl"
        with file.open("wb") as held:
            held.truncate(10 if "small" in name else 5_000_000)
        return PartJob(str(tmp_path), file.name, "", name)

    return made


@pytest.fixture
def pool(monkeypatch):
    monkeypatch.setattr(workers, "Worker", Hand)
    return workers.Pool()


def test_two_large_parts_leave_a_place_for_small_ones_and_are_named_to_the_third(pool, job):
    async def tried():
        said = []
        large = [asyncio.create_task(pool.do(job(f"large {n}"), said.append)) for n in (1, 2, 3)]
        await asyncio.sleep(0.1)
        assert [run["name"] for run in pool.running()] == ["large 1", "large 2"]
        assert [stage.words for stage in said] == ["waiting for large 1 and large 2"]
        assert await asyncio.wait_for(pool.do(job("small quick"), said.append), 5) == "small quick"
        for hand in list(pool._busy):
            hand.done.set()
        await asyncio.sleep(0.1)
        assert [run["name"] for run in pool.running()] == ["large 3"]
        next(iter(pool._busy)).done.set()
        assert await asyncio.wait_for(asyncio.gather(*large), 5) == ["large 1", "large 2", "large 3"]

    asyncio.run(tried())


def test_a_small_file_that_takes_long_gives_its_place_back_and_waits_with_the_large(pool, job, monkeypatch):
    monkeypatch.setattr(workers, "_SMALL_S", 0.2)

    async def tried():
        said = []
        large = [asyncio.create_task(pool.do(job(f"large {n}"), said.append)) for n in (1, 2)]
        await asyncio.sleep(0.1)
        slow = asyncio.create_task(pool.do(job("small but slow"), said.append))
        await asyncio.sleep(0.1)
        assert [run["name"] for run in pool.running()] == ["large 1", "large 2", "small but slow"]
        await asyncio.sleep(0.4)
        assert [run["name"] for run in pool.running()] == ["large 1", "large 2"]
        assert await asyncio.wait_for(pool.do(job("small quick"), said.append), 5) == "small quick"
        for hand in list(pool._busy):
            hand.done.set()
        await asyncio.gather(*large)
        await asyncio.sleep(0.1)
        next(iter(pool._busy)).done.set()
        assert await slow == "small but slow"

    asyncio.run(tried())


def test_a_job_that_takes_its_worker_down_or_too_long_is_told_and_another_worker_is_there(pool, job):
    async def tried():
        down = asyncio.create_task(pool.do(job("large"), print))
        await asyncio.sleep(0.1)
        next(iter(pool._busy)).kill()
        with pytest.raises(BadInput, match="took its worker down and was stopped"):
            await down
        with pytest.raises(BadInput, match="took too long and was stopped"):
            await pool.do(job("large"), print, 0.1)
        assert await pool.do(job("large quick"), print) == "large quick"

    asyncio.run(tried())
