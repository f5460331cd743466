"""Many files: a row for each, measured by workers that live on, kept as they come, written as one table."""

__all__ = ["asked", "crew", "kept", "part_files", "record", "rows"]
