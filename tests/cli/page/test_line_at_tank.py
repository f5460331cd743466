"""A line that the page sends to the run at the tank: what is refused keeps its own remedy."""

import pytest
from areacalc_cli.page.at_tank import AtTank
from simulated_tank import DESK_SET

from areacalc.errors import BadInput


@pytest.mark.parametrize(("line", "remedy"), [("50:00 18 3", "leave the time out"), ("what", "each in its field")])
def test_a_line_that_is_refused_says_how_to_put_that_right(tmp_path, monkeypatch, line, remedy):
    monkeypatch.setenv("AREACALC_LOGBOOK", str(tmp_path / "book.sqlite"))
    tank = AtTank()
    tank.begin(DESK_SET.read_text("utf-8"), str(DESK_SET.parent))
    with pytest.raises(BadInput, match=remedy):
        tank.take(line)
