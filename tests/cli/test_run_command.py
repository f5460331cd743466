"""A run at the tank through the real command: lines in, what to do and alarms out, picked up after a kill."""

import os
import pty
import re
import signal
import subprocess
import time
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from typed import BIN, typed

from areacalc.digits import three
from areacalc.logbook.logbook import Logbook

DESK_SET = Path(__file__).parents[2] / "sample_models" / "desk-set.toml"


@pytest.fixture
def logbook(tmp_path):
    return tmp_path / "logbook.sqlite"


def command(logbook, *words):
    return [BIN, "--logbook", str(logbook), "run", str(DESK_SET), *words]


def run(logbook, text, *words):
    done = typed("--logbook", logbook, "run", DESK_SET, *words, lines=text)
    return done.returncode, " ".join(done.stdout.split()), done.stderr


def ago(minutes):
    return (datetime.now() - timedelta(minutes=minutes)).isoformat(timespec="minutes")


GOOD = "\n".join(f"{minute}:00 18 3 20.{minute // 3}" for minute in range(5, 12))


def test_a_lost_contact_is_told_with_what_to_do(logbook):
    code, said, _ = run(logbook, f"{GOOD}\n12:00 19 3\n", "--began", ago(14))
    assert code == 0
    assert "Hold 3 A, until 21 min 19 s" in said
    assert said.count("ALARM") == 1
    assert re.search(r"ALARM: The volts are 19 V; the readings before say [\d.]+ to 18.\d+ V. Only 8\d % ", said)
    assert "1 x lamp knob with no contact" in said
    assert "Switch off before you touch rack, bar or parts" in said
    assert "goes on" in said


def test_every_line_taken_is_in_the_logbook_and_picked_up_again(logbook):
    run(logbook, f"{GOOD}\nnote a bubble\nseventeen volts\n40:00 18 3\n18 3000000000\n", "--began", ago(14))
    code, said, _ = run(logbook, "18 3\nnext\nnext\nnext\nnext\nend\nend\n")
    assert code == 0
    assert "Run 1, begun" in said
    assert re.search(r"The current went off at 1[45] min[ \d s]*, [5-7] min[ \d s]* before its time", said)
    assert re.search(r"Coating so far [\d.]+ um \(.*If the current is still on, type on\.", " ".join(said.split()))
    assert "Run 1 is over" in said
    with Logbook(logbook) as book:
        (kept,) = book.runs()
        assert [r.volts_v for r in book.readings(1)] == [*[18.0] * 7, None, 18.0]
        assert book.readings(1)[7].remark == "a bubble"
        assert [b.step for b in book.begun(1)] == ["anodise", "rinse acid off", "dye"]
        assert (kept.start_v, kept.end_v, kept.ended is None) == (18.0, 18.0, False)


def test_lines_that_cannot_be_are_answered_in_one_line_each(logbook):
    _, said, _ = run(logbook, "seventeen\n40:00 18 3\n95 C\n170 3\n", "--began", ago(14))
    assert "'seventeen' is not a reading; type volts, amperes and bath" in said
    assert "40 min into the run is still to come" in said
    assert "95 C is outside -5 to 40 C" in said
    assert "170 V cannot be: the power supply gives 30 V" in said


def test_a_killed_command_has_lost_nothing_that_it_answered(logbook):
    at_tank = subprocess.Popen(
        command(logbook, "--began", ago(10)), stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    )
    at_tank.stdin.write("9:00 18 3 20.3\n")
    at_tank.stdin.flush()
    while "18 V, 3 A, 20.3 C" not in at_tank.stdout.readline():
        pass
    at_tank.send_signal(signal.SIGKILL)
    at_tank.communicate()
    _, said, _ = run(logbook, "9:30 18 3\n")
    assert "goes on." in said
    with Logbook(logbook) as book:
        assert [r.at_s for r in book.readings(1)] == [540.0, 570.0]


@pytest.mark.slow
def test_a_rehearsal_is_kept_apart_and_tells_what_is_due(logbook):
    at_tank = subprocess.Popen(
        command(logbook, "--speed", "600"), stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    )
    said = ""
    while "Switch off now" not in said:
        said += at_tank.stdout.readline()
    at_tank.stdin.write("next\n")
    at_tank.stdin.close()
    said += at_tank.stdout.read()
    at_tank.stdout.close()
    assert at_tank.wait() == 0
    assert "Hold 3 A" in said
    assert "Rinse" in said
    assert not logbook.exists()
    assert logbook.with_name("rehearsal.sqlite").exists()


def test_a_run_goes_on_without_a_keyboard(logbook):
    words = " ".join(f"'{word}'" for word in command(logbook))
    done = subprocess.run(["sh", "-c", f"{words} <&-"], capture_output=True, text=True)
    assert (done.returncode, done.stderr) == (0, "")
    assert "Run 1 goes on" in done.stdout


def test_a_run_begun_before_midnight_is_of_yesterday(logbook):
    began = datetime.now().astimezone() - timedelta(hours=11)
    run(logbook, "", "--began", f"{began:%H:%M:%S}")
    with Logbook(logbook) as book:
        kept = datetime.fromisoformat(book.runs()[0].when)
    assert abs(kept - began) < timedelta(seconds=1)


def test_a_run_that_was_forgotten_is_told_and_another_begun(logbook):
    assert run(logbook, "", "--began", ago(20.0))[0] == 0
    with Logbook(logbook) as book:
        book.correct("run", 1, when=ago(60.0 * 30.0))
    said = run(logbook, "")[1]
    assert "Run 1, begun" in said
    assert "was never ended: areacalc logbook correct 1 --ended" in said
    assert "Run 2 of desk set is in the logbook" in said


def test_a_remark_tells_no_coating(logbook):
    said = run(logbook, "note all tight\n")[1]
    assert "0 s all tight Run 1 goes on" in said


@pytest.mark.parametrize(("words", "says"), [
    (("--began", "2020-01-01T10:00"), "--began: '2020-01-01T10:00' is long ago"),
    (("--began", f"{datetime.now() + timedelta(hours=1):%H:%M}"), "is still to come"),
    (("--began", "soon"), "--began: 'soon' is not a date"), (("--speed", "0.5"), "--speed"),
])  # fmt: skip
def test_what_cannot_be_is_refused_in_one_line(logbook, words, says):
    code, _, said = run(logbook, "", *words)
    assert code == 2
    assert says in said
    assert len(said.splitlines()) == 1


@pytest.mark.slow
def test_a_terminal_shows_the_clock_and_rings_when_something_is_due(logbook):
    screen, terminal = pty.openpty()
    environment = {**os.environ, "TERM": "xterm", "LINES": "40", "COLUMNS": "80"}
    at_tank = subprocess.Popen(command(logbook, "--speed", "60"), stdin=terminal, stdout=terminal, env=environment)
    os.close(terminal)
    said, began, answered = b"", time.monotonic(), False
    os.write(screen, b"\n")
    while time.monotonic() - began < 60.0:
        try:
            said += os.read(screen, 65536)
        except OSError:
            break
        if b"\a" in said and not answered:
            answered = True
            os.write(screen, b"17.9 3 20\nleave\n")
    assert at_tank.wait() == 0
    os.close(screen)
    assert b"RAISE EVENLY TO 0.6 A" in said
    assert re.search(rb"for \d+ s, until 1 min, then: Raise evenly to 1.2 A", said)
    assert b"\xe2\x96\x88" in said  # the large clock
    assert b"expected now" in said
    assert b"goes on" in said


def test_a_rehearsal_goes_by_the_minutes_that_stand_before_its_lines(logbook):
    lines = "1:00 12 0.6 20\n5:00 17.9 3 20.1\n6:00 18 2 20.1\nundo\n12:00 18 3 20.3\n21:30 next\nend\nend\n"
    code, said, _ = run(logbook, lines, "--speed", "60")
    assert code == 0
    assert "taken back: 18 V, 2 A, 20.1 C at 6 min" in said
    assert "type next again" not in said
    assert "type end again" in said
    assert "The rehearsal is over: 0.9" in said
    assert "Run 2 of desk set is in rehearsal.sqlite" in run(logbook, "", "--speed", "30")[1]
    with Logbook(logbook.with_name("rehearsal.sqlite")) as book:
        assert [each.at_s for each in book.readings(1)] == [60.0, 300.0, 720.0]


@pytest.mark.slow
def test_a_run_that_is_ended_elsewhere_is_over_here_too(logbook):
    at_tank = subprocess.Popen(
        command(logbook, "--began", ago(10)), stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True
    )
    while "Hold 3 A" not in at_tank.stdout.readline():
        pass
    with Logbook(logbook) as book:
        book.correct("run", 1, ended=(datetime.now().astimezone() - timedelta(minutes=1)).isoformat())
    said = at_tank.communicate(timeout=60)[0]
    assert at_tank.returncode == 0
    assert "Run 1 is over" in said


def test_the_charge_at_the_end_is_that_of_the_list_and_of_the_run(logbook):
    _, said, _ = run(logbook, "2:00 12 1.2 20\n2:26 end\nend\n", "--speed", "60")
    ended = re.search(r"is over: (\S+) Ah", said)
    with Logbook(next(logbook.parent.glob("*rehears*"))) as book:
        assert ended.group(1) == three(book.logged(book.run(1)).came.charge_ah)


def load_of(folder, name, wanted, then="", more=""):
    text = DESK_SET.read_text().replace('file = "', f'file = "{DESK_SET.parent}/').replace(wanted, then)
    (folder / name).write_text(f"{more}{text}")
    return folder / name


@pytest.mark.slow
def test_a_run_of_another_load_is_not_gone_on_with_unasked(logbook, tmp_path):
    def goes_on(load, *words):
        done = typed("--logbook", logbook, "run", load, *words, lines="note tight\n")
        return done.returncode, " ".join((done.stdout + done.stderr).split())

    begun = load_of(tmp_path, "load.toml", "")
    assert goes_on(begun)[0] == 0
    assert "Run 1, begun" in goes_on(load_of(tmp_path, "load.toml", "", more="# a remark\n"))[1]
    other = load_of(tmp_path, "other.toml", "count = 2", "count = 1")
    code, said = goes_on(other)
    assert code == 2
    assert re.search(r"differs from the one run 1 was begun with: current [\d.]+ A then, [\d.]+ A now; area ", said)
    assert "--go-on goes on with the run as it was begun" in said
    assert "Raise evenly to 0.6 A, until 1 min" in goes_on(other, "--go-on")[1]
    assert "Run 2 of desk set is in the logbook" in goes_on(other, "--new")[1]
