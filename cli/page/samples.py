"""Where the sample models stand: beside the command in a checkout, inside the package once installed."""

from pathlib import Path


def sample_folder() -> Path:
    """The folder of the sample models."""
    here = Path(__file__).parent
    installed = here.parent / "sample_models"
    return installed if installed.is_dir() else here.parent.parent / "sample_models"
