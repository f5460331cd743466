"""What stands in the way of a current until the person has checked it."""

from collections.abc import Iterable

from areacalc.errors import BadInput, Field
from areacalc.part.part import Part
from areacalc.report.words.notes import note_words
from areacalc.shape.file_unit import makes_too_large


def refuse_too_large(parts: Iterable[Part]) -> None:
    """Raise BadInput for a part that its unit makes larger than it should be: such a current burns it."""
    for part in parts:
        if (told := makes_too_large(part.body.notes)) is not None:
            unit = part.body.unit.name
            raise BadInput(Field.UNIT, f"{part.name}: {note_words(told)}",
                           f"if {unit} is right, say it twice, or as '{unit}, checked'")  # fmt: skip
