"""One load as it is written down: its keys, the reader with every mistake at once, changes, a new one."""
