"""The documentation is built from the sources, without a warning, and holds every command, key and constant."""

import re
import subprocess
import sys
from pathlib import Path

import pytest
from typed import typed

from areacalc.docs import pages
from areacalc.load.keys import TABLES

ROOT = Path(__file__).parent.parent


def test_every_key_of_the_load_file_is_told():
    told = pages.behind("keys")
    missing = [key.name for rows in TABLES.values() for key in rows if f"| `{key.name}` |" not in told]
    assert missing == []


def test_constants_stand_where_they_are_made_with_their_source():
    told = pages.behind("constants")
    (faraday,) = [line for line in told.splitlines() if line.startswith("| `FARADAY`")]
    assert "96485.3 C/mol" in faraday
    assert "published: CODATA 2018" in faraday
    assert told.count("| `GAS_CONSTANT`") == 1  # imported in four modules


def test_every_command_is_told():
    told = pages.behind("commands")
    listed = re.findall(r"^│ ([a-z][a-z-]+)  ", typed("--help").stdout, re.M)
    assert len(listed) > 10
    assert [name for name in [*listed, "logbook repeat"] if f"## `areacalc {name}`" not in told] == []


@pytest.mark.slow
def test_the_documentation_is_built_without_a_warning(tmp_path):
    words = [sys.executable, "-m", "sphinx", "-q", "-W", "--keep-going", str(ROOT / "areacalc/docs"), str(tmp_path)]
    done = subprocess.run(words, capture_output=True, text=True)
    assert done.returncode == 0, done.stderr
    assert "surface_rise_k" in (tmp_path / "formulas.html").read_text("utf-8")
