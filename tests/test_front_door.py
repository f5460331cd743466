"""What areacalc offers by its own name stays there whatever is imported after it."""

import areacalc
import areacalc.load
import areacalc.part
import areacalc.plan


def test_no_room_takes_the_place_of_a_function():
    assert all(callable(getattr(areacalc, name)) for name in areacalc.__all__)
