"""`areacalc` as typed at a terminal. Each run is a process of its own with its own input, output, folder and
environment, forked from one that has the libraries loaded: loading them takes longer than what most tests look at.
What starts afresh, as a person's command does, is run by tests/test_readme.py.
"""

import atexit
import json
import os
import subprocess
import sys
import tempfile
from functools import cache
from pathlib import Path
from typing import Any

from jsonschema import Draft202012Validator

from areacalc.report.documents import json_schema

BIN = Path(sys.executable).with_name("areacalc")
_LOADED = """
import atexit, contextlib, functools, gc, io, json, os, pkgutil, sys
import areacalc, areacalc_cli.main
import manifold3d, msgspec, rich.table, scipy.sparse, scipy.spatial, shapely, typer.main, typer.rich_utils

for room in (areacalc, areacalc_cli):
    for module in pkgutil.walk_packages(room.__path__, f"{room.__name__}."):
        if ".step.step_" not in module.name:  # the CAD kernel stays behind its fence
            __import__(module.name)
with contextlib.redirect_stdout(io.StringIO()):  # the first command loads what all of them need
    typer.main.get_command = functools.cache(typer.main.get_command)  # one reading of all commands and options
    for words in (["--help"], ["logbook", "--help"], ["current", "--area", "1 in2", "--count", "3"]):
        areacalc_cli.main.app(words, standalone_mode=False)
areacalc_cli.show.console.cache_clear()
gc.freeze()
asked, told = os.fdopen(os.dup(0)), os.fdopen(os.dup(1), "w")
for line in asked:
    words, folder, env, files = json.loads(line)
    if not (child := os.fork()):
        os.chdir(folder)
        os.environ.clear()
        os.environ.update(env)
        for number, name in enumerate(files):
            os.dup2(os.open(name, os.O_RDWR), number)
        sys.stdin = io.TextIOWrapper(open(0, "rb"), "utf-8")
        sys.stdout = io.TextIOWrapper(open(1, "wb"), "utf-8")
        sys.stderr = io.TextIOWrapper(open(2, "wb", 0), "utf-8", write_through=True)
        sys.argv = ["areacalc", *words]
        code = 1
        try:
            areacalc_cli.main.run()
        except SystemExit as end:
            code = int(end.code or 0)
        finally:
            atexit._run_exitfuncs()
            sys.stdout.flush()
            os._exit(code)  # to take down all that was loaded takes longer than most commands
    print(os.waitstatus_to_exitcode(os.waitpid(child, 0)[1]), file=told, flush=True)
"""


@cache
def _loaded() -> subprocess.Popen[str]:
    env = {**os.environ, "OPENBLAS_NUM_THREADS": "1"}
    command = [sys.executable, "-c", _LOADED]
    process = subprocess.Popen(command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, env=env)
    atexit.register(process.communicate)  # which ends it
    return process


def typed(*words: object, cwd: Path | None = None, lines: str = "", **env: str) -> subprocess.CompletedProcess[str]:
    """How `areacalc WORDS` ends, and what it printed; lines stand in its input, env is added to the environment."""
    given, folder, around = [str(word) for word in words], str(cwd or os.getcwd()), {**os.environ, **env}
    if not hasattr(os, "fork"):
        return subprocess.run([str(BIN), *given], cwd=folder, env=around, capture_output=True, text=True, input=lines)
    loaded = _loaded()
    assert loaded.stdin is not None
    assert loaded.stdout is not None
    with tempfile.TemporaryDirectory() as room:
        files = [Path(room, name) for name in ("in", "out", "err")]
        for file, text in zip(files, (lines, "", ""), strict=True):
            file.write_text(text, "utf-8")
        loaded.stdin.write(json.dumps((given, folder, around, [str(file) for file in files])) + "\n")
        loaded.stdin.flush()
        code = int(loaded.stdout.readline())
        return subprocess.CompletedProcess(given, code, *(file.read_text("utf-8") for file in files[1:]))


def document(kind: str, *words: object, code: int = 0) -> Any:
    """What `areacalc WORDS --json` prints; it holds to the schema of its kind."""
    done = typed(*words, "--json")
    assert done.returncode == code, done.stderr
    made = json.loads(done.stdout)
    Draft202012Validator(json_schema(kind)).validate(made)
    return made
