"""What the door asks for, kept in the page's folder, so that a tab still open finds its page again after a restart."""

import secrets
from pathlib import Path

import msgspec

from areacalc.whole_file import write_whole

_NAME = "key.json"


class DoorKey(msgspec.Struct, frozen=True, forbid_unknown_fields=True):
    """The path that the page stands under, the cookie's value, and the port it was on last."""

    path: str
    cookie: str
    port: int


def kept_key(folder: Path) -> DoorKey:
    """The key in the folder; a new one where it cannot be read."""
    try:
        return msgspec.json.decode((folder / _NAME).read_bytes(), type=DoorKey)
    except (OSError, ValueError):
        return DoorKey(secrets.token_urlsafe(16), secrets.token_urlsafe(32), 0)


def keep_key(folder: Path, key: DoorKey) -> None:
    """Keep the key; only the user may read it. Raises BadInput."""
    write_whole(folder / _NAME, lambda file: file.write(msgspec.json.encode(key)), private=True)
