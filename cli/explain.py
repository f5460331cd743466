"""`areacalc explain`: how a figure of a plan was worked out."""

from typing import Annotated

from typer import Argument, Option

from areacalc.plant.stock import sold
from areacalc.report.figure_document import explain_document, figures_document

from . import show as out
from .options import Json, LoadFile, Show, ShowOption

_FEW = 4  # causes of a width: more say nothing of which one matters
Whole = Annotated[bool, Option("--full", help="Print the whole chain, with sources and ranges.")]
FigureName = Annotated[str | None, Argument(metavar="FIGURE", help="Figure to explain; without one, all are listed.")]


def explain(
    load_file: LoadFile, figure: FigureName = None, full: Whole = False, show: ShowOption = Show.MM, json: Json = False
) -> None:
    """Show the formula of a figure of the plan with its numbers.

    Example: areacalc explain desk-set.toml current
    """
    from areacalc.plan.load_book import LoadBook
    from areacalc.report.explain import PLAIN, links
    from areacalc.report.figures import whole_text

    inch = show is Show.IN
    made = LoadBook(load_file, stock=sold(inch)).plan()
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
    first, *chain = links(chosen, inch)
    out.say(f"{first.name} = {first.value}")
    out.say(f"     {first.how}" if first.formula in PLAIN else f"     = {first.how}")
    if first.because and (full or len(first.because) <= _FEW):
        out.say(f"     why least and most differ: {'; '.join(first.because)}")
    if chosen.inputs:
        rows = [(each.name, whole_text(each, inch), "" if each.formula in PLAIN else each.formula)
                for each in dict.fromkeys(chosen.inputs)]  # fmt: skip
        out.table("", ("worked out from", "figure", "which is"), rows)
    if not any(each.inputs for each in chosen.inputs):
        return
    if not full:
        out.say("How each of these was worked out: --full")
        return
    out.say("Each of these, with what it is worked out from:")
    for link in chain:
        indent = "   " * (link.depth - 1)
        out.say(f"{indent}{link.name} = {link.value}")
        out.say(f"{indent}     {link.how}")
