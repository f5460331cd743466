"""Many files: a row for each, measured by workers that live on, kept as they come, written as one table.

Other rooms import the modules named here, and no others.
"""

__all__ = ["asked", "cluster", "crew", "kept", "part_files", "record", "rows", "run", "write_table"]
