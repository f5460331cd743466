"""`areacalc explain`: how a figure of a plan was worked out."""

from __future__ import annotations

from typing import Annotated

import typer

from . import show as out
from .options import Json, LoadFile, Show, ShowOption

_MOST_WITH = 6
_PLAIN = ("as given", "constant")
FigureName = Annotated[
    str | None, typer.Argument(metavar="FIGURE", help="Figure to explain; without one, all are listed.")
]


def explain(load_file: LoadFile, figure: FigureName = None, show: ShowOption = Show.MM, json: Json = False) -> None:
    """Show the formulas, inputs, sources and ranges that made a figure of the plan.

    Example: areacalc explain desk-set.toml current
    """
    from areacalc.plan.load_book import LoadBook
    from areacalc.report.explain import links
    from areacalc.report.figure_document import explain_document, figures_document
    from areacalc.report.figures import value_text, whole_text

    inch = show is Show.IN
    made = LoadBook(load_file).plan()
    if figure is None:
        if json:
            out.json_out(figures_document(made.load.name, made.figures))
            return
        rows = [(name, each.name, whole_text(each, inch)) for name, each in made.figures.items()]
        out.table(f"Figures of {made.load.name}", ("name", "what it is", "figure"), rows)
        return
    chosen = made.figure(figure)
    if json:
        out.json_out(explain_document(figure, chosen))
        return
    for link in links(chosen, inch):
        indent = "   " * link.depth
        out.say(f"{indent}{link.name} = {link.value}")
        how = link.source if link.formula in _PLAIN else f"{link.formula}; {link.source}"
        out.say(f"{indent}     {how.removesuffix(': as given')}")
        if link.depth == 0 and 0 < len(chosen.inputs) <= _MOST_WITH:
            out.say(f"     with {', '.join(f'{each.name} {value_text(each, inch)}' for each in chosen.inputs)}")
        if link.depth == 0 and link.because:
            out.say(f"{indent}     why least and most differ: {link.because}")
