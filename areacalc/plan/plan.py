"""The plan of a load: what to set, what to expect, what is wrong; every figure with the chain it came from."""

from dataclasses import dataclass, fields

from areacalc.bath import window
from areacalc.bath.cautions import Caution, gathered
from areacalc.cell import html_table
from areacalc.digits import counted
from areacalc.errors import UnknownName
from areacalc.fact import Fact
from areacalc.figure import Figure
from areacalc.load.load import Load
from areacalc.logbook.came import Came
from areacalc.logbook.records import Run
from areacalc.part.part import Shelf
from areacalc.plan.fault import Fault, Weight
from areacalc.plan.faults import faults_of
from areacalc.plan.named_figures import named_figures
from areacalc.plan.stages import Stages, stages_of
from areacalc.plan.steps import RunStep, care_of, steps_of
from areacalc.plant import cathode


@dataclass(frozen=True, slots=True, kw_only=True, repr=False)
class Plan(Stages):
    """What to set and what to expect for one load. `figures` are all of them by the name that `explain` takes."""

    figures: dict[str, Figure]
    steps: tuple[RunStep, ...]
    cautions: tuple[Caution, ...]
    faults: tuple[Fault, ...]

    def __repr__(self) -> str:
        found = [self.figures[name].cells()[0] for name in ("area", "current", "time")]
        held, wrong = counted(self.load.count, "part"), counted(len(self.faults), "fault")
        return f"<Plan of {self.load.name}: {', '.join([held, *found, wrong])}>"

    def _repr_html_(self) -> str:
        rows = [(name, each.name, *each.cells()) for name, each in self.figures.items()]
        return html_table(repr(self)[1:-1], ("name", "what it is", "figure", "least to most"), rows)

    @property
    def can_run(self) -> bool:
        """Whether nothing stops the run as it was asked for."""
        return all(fault.weight is not Weight.STOPS for fault in self.faults)

    @property
    def practice(self) -> tuple[Fact, ...]:
        """How the density and the cathodes asked for stand to published practice, where they are not it themselves."""
        facts = (window.beside_published(self.currents.window), cathode.beside_published(self.load.ratio))
        return tuple(each for each in facts if each is not None)

    def figure(self, name: str) -> Figure:
        """The figure of that name. Raises UnknownName with those that exist."""
        return UnknownName.pick("figure", name, self.figures)


def plan_of(load: Load, repeat: Run | None = None, shelf: Shelf | None = None, came: Came | None = None) -> Plan:
    """The plan for a load; `repeat` is the logged run whose film and density are wanted again, `came` what came of it.

    Raises BadLoad for parts that cannot be used, CannotRun for a load that no run can be worked out for.
    """
    made = stages_of(load, repeat, shelf, came)
    found = {each.name: getattr(made, each.name) for each in fields(Stages)}
    care = care_of(made)
    return Plan(
        **found, figures=named_figures(made), faults=faults_of(made), steps=steps_of(made, care),
        cautions=gathered(each for at in care.values() for each in at),
    )  # fmt: skip
