"""The wet bores of a part, from its features and what is done to them, as the current meets them."""

from __future__ import annotations

import math
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from areacalc.surface.skin import BoreStep, Feature, FeatureKind, State
from areacalc.surface.wetted import Row
from areacalc.throw.bore import Bore, Stretch

Plugs = Mapping[str, Mapping[int, float]]
"""Feature -> mouth (from 1) -> how far in its plug goes [mm]."""
_BORES = (FeatureKind.THROUGH_BORE, FeatureKind.BLIND_BORE)
_ENDS = ("floor", "drill-point")
_CLOSED = 0.9  # of a round wall: less is open along the side, and the current comes in there
_SAME = 0.02  # of the depth: steps that add up to it lie one behind the other


@dataclass(frozen=True, slots=True)
class WetBores:
    """Bores of one part that are alike: their names, the shape of one, and how far its first mouth is plugged [mm]."""

    names: tuple[str, ...]
    bore: Bore
    plugged_mm: float = 0.0

    @property
    def skin_mm2(self) -> float:
        """The skin of all of them."""
        return len(self.names) * self.bore.skin_mm2


def wet_bores(rows: Sequence[Row], plugs: Plugs | None = None) -> tuple[WetBores, ...]:
    """The bores of one part with skin in the bath, alike ones together, in the order of their first.

    A bore that is open along its side, has three mouths, or opens into other bores alone is left out: its skin counts
    as the outside does, see left_even.
    """
    alike: dict[tuple[object, ...], list[tuple[str, Bore, float]]] = {}
    for row in rows:
        if row.state is not State.WET or row.area_mm2.value <= 0.0:
            continue
        plugged = (plugs or {}).get(row.feature.name, {})
        bore, first_mm = _bore(row.feature, row.area_mm2.value, plugged), plugged.get(1, 0.0)
        if bore is not None:
            alike.setdefault((_rounded(bore), first_mm), []).append((row.feature.name, bore, first_mm))
    return tuple(WetBores(tuple(name for name, *_ in same), *same[0][1:]) for same in alike.values())


def left_even(rows: Sequence[Row], found: Sequence[WetBores]) -> tuple[Feature, ...]:
    """The bores with wet skin that no line runs down, so that they count as the outside does."""
    known = {name for bores in found for name in bores.names}
    return tuple(
        row.feature
        for row in rows
        if row.state is State.WET and row.feature.kind in _BORES and row.feature.name not in known
    )


def _bore(feature: Feature, wet_mm2: float, plugs: Mapping[int, float]) -> Bore | None:
    """The shape of one bore, its skin scaled to what is wet of it; None where no line runs down it."""
    if feature.kind not in _BORES or len(feature.mouths) not in (1, 2):
        return None
    stretches = _stretches(feature)
    mouths = [n not in plugs and n in feature.outer_mouths for n in range(1, len(feature.mouths) + 1)]
    if len(mouths) == 1:
        mouths.append(False)
    stretches = _cut(stretches, plugs.get(1, 0.0))
    stretches = _cut(stretches[::-1], plugs.get(2, 0.0))[::-1]
    skin = math.fsum(s.wall_mm2 + s.end_mm2 for s in stretches)
    if not any(mouths) or skin <= 0.0:
        return None
    share = wet_mm2 / skin
    scaled = tuple(replace(s, wall_mm2=s.wall_mm2 * share, end_mm2=s.end_mm2 * share) for s in stretches)
    return Bore(scaled, *mouths)


def _stretches(feature: Feature) -> list[Stretch]:
    """The lengths of a bore; one of its least diameter where its steps do not lie one behind the other."""
    depth, diameter = feature.depth_mm, feature.diameter_mm
    if not depth or not diameter:
        return []
    if abs(math.fsum(s.depth_mm for s in feature.steps) - depth) > _SAME * depth:
        end = feature.floor_mm2 or 0.0
        whole = BoreStep(diameter, depth, feature.area_mm2)
        made = [_stretch(whole, feature.area_mm2.value - end, end)] if _is_round(whole) else []
        return made
    made, flat = [], 0.0
    for step in feature.steps:
        if step.kind in _ENDS or step.depth_mm <= 1e-3 * depth:
            if made:
                made[-1] = replace(made[-1], end_mm2=made[-1].end_mm2 + step.area_mm2.value)
            else:
                flat += step.area_mm2.value
            continue
        if not _is_round(step):
            return []
        made.append(_stretch(step, step.area_mm2.value + flat, 0.0))
        flat = 0.0
    return made


def _is_round(step: BoreStep) -> bool:
    """Whether a wall goes round far enough to hold the current in; a sloped one is taken at its mean diameter."""
    least = 0.5 * step.diameter_mm if step.kind in ("countersink", "shoulder") else step.diameter_mm
    return step.area_mm2.value >= _CLOSED * math.pi * least * step.depth_mm


def _stretch(step: BoreStep, wall_mm2: float, end_mm2: float) -> Stretch:
    return Stretch(step.depth_mm, 0.25 * math.pi * step.diameter_mm**2, wall_mm2, end_mm2)


def _cut(stretches: list[Stretch], depth_mm: float) -> list[Stretch]:
    """What a plug of this depth leaves, from the first one's side."""
    left = list(stretches)
    while left and depth_mm > 0.0:
        first = left.pop(0)
        if first.length_mm > depth_mm * (1.0 + 1e-9):
            share = 1.0 - depth_mm / first.length_mm
            left.insert(0, replace(first, length_mm=first.length_mm * share, wall_mm2=first.wall_mm2 * share))
        depth_mm -= first.length_mm
    return left


def _rounded(bore: Bore) -> tuple[object, ...]:
    """What tells bores apart: the same to four figures is alike."""
    sizes = tuple(
        float(f"{x:.4g}") for s in bore.stretches for x in (s.length_mm, s.section_mm2, s.wall_mm2, s.end_mm2)
    )
    return sizes, bore.first_open, bore.last_open
