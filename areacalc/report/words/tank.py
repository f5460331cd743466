"""Sentences about a new tank: its sizes, its cathodes and conductors, what is asked of it, how it is filled."""

from areacalc.bath.mixing import Recipe
from areacalc.digits import three
from areacalc.plant.bus import Conductor
from areacalc.plant.new_tank import TankDesign
from areacalc.report.figures import shown, whole_text
from areacalc.report.words.rack import laid, rack_sentence, wires_words
from areacalc.report.words.tell import tell
from areacalc.report.words.telling import built


def load_sentence(design: TankDesign, inch: bool = False) -> str:
    """What the tank is for, its surface, and how it hangs."""
    load = design.load
    return f"Largest load: {load.words}, {shown(load.area_mm2.value, 'mm2', inch)}; {rack_sentence(design.rack, inch)}."


def over_drawing(design: TankDesign, inch: bool = False) -> tuple[str, tuple[str]]:
    """The title of a tank's drawing and the line under it; the drawing names the parts itself."""
    strips = design.cathodes
    each = f"{build(strips.width_mm, inch)}, {build(strips.immersed_mm, inch)} immersed, {strips.metal}"
    return (
        f"Anodising tank, {shown(design.tank.liquid_l, 'L', inch)} of bath",
        (f"Cathodes: {strips.count} x {each}",),
    )


def shell_sentence(design: TankDesign, inch: bool = False) -> str:
    """The tank's inside and its liquid."""
    tank = design.tank
    assert tank.length_mm is not None
    assert tank.width_mm is not None
    assert tank.depth_mm is not None
    inside = f"{_bare(tank.length_mm, inch)} x {build(tank.width_mm, inch)}"
    return (
        f"Tank: {inside} inside, {build(tank.depth_mm, inch)} of liquid, {build(tank.freeboard_mm or 0.0, inch)} above "
        f"it: {shown(tank.liquid_l, 'L', inch)}."
    )


def cathodes_sentence(design: TankDesign, inch: bool = False) -> str:
    """The cathodes, and where they hang."""
    strips = design.cathodes
    assert strips.distance_mm is not None
    row, pitch = strips.count // 2, laid(design.pitch_mm, inch)
    apart = f"{row} on each side, {pitch} from middle to middle" if row > 1 else "one on each side"
    return (
        f"Cathodes: {strips.count}, each {build(strips.width_mm, inch)} wide and {build(strips.immersed_mm, inch)} "
        f"immersed, {apart}, {laid(strips.distance_mm, inch)} from the load. The load hangs "
        f"{laid(design.rack.above_mm, inch)} below the surface of the liquid."
    )


def conductor_sentence(name: str, made: Conductor, inch: bool = False) -> str:
    """A bar or the leads: what they are cut from, and what the current does in them."""
    return (
        f"{name}: {tell(made.stock, inch)}. {three(made.current_a)} A over {build(made.length_mm, inch)} drops "
        f"{three(made.drop_v.high)} V and warms the metal by {shown(made.rise_k.high, 'K', inch)}."
    )


def conductors_sentence(design: TankDesign, inch: bool = False) -> str:
    """Bar, leads and wires, each as it is bought."""
    bar, leads = (tell(made.stock, inch) for made in (design.bar, design.leads))
    told = f"Bar: {bar}. Leads: {leads}. Rack: {wires_words(design.wires, inch)}."
    counted = "; the most counts it" if design.load.bare_mm2 else ""
    for rack in (made.rack for made in design.wires if made.rack.bare_mm2.high):
        more = shown(rack.bare_mm2.high, "mm2", inch)
        told += f" Bare aluminium in the liquid adds up to {more}{counted}."
    return told


def filling_sentence(made: Recipe, inch: bool = False) -> str:
    """How to fill the tank from a stock of acid."""
    water, acid, mass = (whole_text(f, inch) for f in (made.water_l, made.acid_l, made.acid_kg))
    warms = shown(made.warms_k.estimate.high, "K", inch)
    return (
        f"To fill the tank from {made.stock.name}: {water} of water first, then {acid} ({mass}) of acid, slowly. All "
        f"at once would warm the bath by up to {warms} (from memory)."
    )


def build(length_mm: float, inch: bool = False) -> str:
    """A length as it is sawn.

    >>> build(1234.0), build(500.0, inch=True)
    ('1234 mm', '19 11/16 in')
    """
    return f"{_bare(length_mm, inch)} {'in' if inch else 'mm'}"


def _bare(length_mm: float, inch: bool) -> str:
    return built(length_mm / 25.4 if inch else length_mm, inch)
