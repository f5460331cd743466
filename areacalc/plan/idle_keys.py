"""Keys of a load that change nothing beside another one."""

from collections.abc import Iterator
from enum import Enum

from areacalc.fact import Fact, fact
from areacalc.load.load import Load, SurfaceFinish

_ETCH = ("etch", "etch_caustic", "etch_temperature", "etch_bath", "etch_trial_loss", "etch_trial_area")
_SEAL = ("seal_temperature", "seal_ph")


class Idle(Enum):
    """Why keys change nothing."""

    NO_ETCH = "etch of a gloss surface"
    NO_SEAL = "seal bath of a coating left unsealed"


def idle_keys(load: Load, is_sealed: bool) -> Iterator[Fact]:
    """The keys told under [finish] for an etch or a seal that this load does not get."""
    idle = ((Idle.NO_ETCH, _ETCH, load.finish.surface is SurfaceFinish.GLOSS), (Idle.NO_SEAL, _SEAL, not is_sealed))
    for kind, keys, is_idle in idle:
        told = tuple(key for key in keys if key in load.finish.told)
        if is_idle and told:
            yield fact(kind, keys=told)
