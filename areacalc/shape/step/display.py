"""What the CAD kernel asks of a display's libraries, where a machine has none."""

import ctypes
from contextlib import suppress
from pathlib import Path

LIBRARIES = ("libGL.so.1", "libX11.so.6")


def stand_in_for_display() -> None:
    """Load a stand-in for each library of the kernel's viewer that this machine lacks.

    The kernel is linked with its viewer, and the viewer with these; it is never opened here, so they need only exist.
    The loader takes a library that is loaded already under the name that is asked for.
    """
    for library in LIBRARIES:
        try:
            ctypes.CDLL(library)
        except OSError:
            with suppress(OSError):  # not compiled here: the kernel then says what it lacks
                ctypes.CDLL(str(Path(__file__).with_name(library)))
