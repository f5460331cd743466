"""The shop's baths and tanks: one place for page and command line, the logbook."""

from collections.abc import Mapping
from typing import Any, Literal

from msgspec.structs import replace

from areacalc.errors import BadInput
from areacalc.load.load import EVEN_CHANCE, Finish
from areacalc.logbook.came import Logged, is_as_asked
from areacalc.logbook.logbook import Logbook
from areacalc.report.logbook_document import run_row

from .bench import Bench, bench_tables, text
from .store import Store

Tables = dict[str, dict[str, Any]]
KINDS: tuple[Literal["bath", "tank"], ...] = ("bath", "tank")


def shop_tables() -> dict[str, Tables]:
    """The baths and tanks that the logbook keeps, by name; none where it cannot be read, which its own list tells."""
    try:
        with Logbook() as book:
            return {kind: {each.name: dict(each.settings) for each in book.vessels(kind)} for kind in KINDS}
    except BadInput:
        return {kind: {} for kind in KINDS}


def keep(kind: Literal["bath", "tank"], name: str, values: Mapping[str, Any] | None) -> None:
    """Keep a bath or tank under a name; without values, forget it. Raises BadInput, UnknownName."""
    name = text(name, "name")
    if not name:
        raise BadInput("shop", "needs a name", f"say what the shop calls this {kind}")
    with Logbook() as book:
        if values is None:
            book.forget_vessel(kind, name)
        else:
            book.keep_vessel(kind, name, bench_tables({kind: dict(values)}).get(kind, {}))


def logged_runs() -> list[dict[str, Any]]:
    """The runs in the logbook, the latest first. Raises BadInput."""
    with Logbook() as book:
        found = [book.logged(run) for run in reversed(book.runs(True))]
    return [{**run_row(each), "again": _again(each)} for each in found]


def _again(each: Logged) -> dict[str, str]:
    """What a repeat of a run asks of a load, as keys of [finish]."""
    from areacalc.plan.film import wanted_film

    run, came = each.run, each.came
    certainty = run.certainty if run.certainty and is_as_asked(run, came) else EVEN_CHANCE
    thickness_um = wanted_film(Finish(), run, came).estimate.value
    return {"thickness": f"{thickness_um:.4g} um", "certainty": f"{100.0 * certainty:.4g} %",
            "density": f"{run.density_a_per_dm2:.4g} A/dm2"}  # fmt: skip


def hand_over(store: Store, bench: Bench) -> None:
    """Take what an earlier page kept on its bench to the logbook; a name that is there stays. Raises BadInput."""
    if not any(bench.shop.values()):
        return
    with Logbook() as book:
        for kind in KINDS:
            there = {each.name.lower() for each in book.vessels(kind)}
            for name, values in bench.shop.get(kind, {}).items():
                if name.lower() not in there:
                    book.keep_vessel(kind, name, values)
    store.write(replace(bench, shop={}))


def names_of(tables: Mapping[str, Mapping[str, Any]]) -> dict[str, str]:
    """The baths and tanks of the shop that a load's tables are, as they stand now."""
    kept = shop_tables()
    found = {kind: next((name for name, values in kept[kind].items() if values == tables.get(kind)), "")
             for kind in KINDS}  # fmt: skip
    return {kind: name for kind, name in found.items() if name}
