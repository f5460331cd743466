"""Documents, tables and words at the exit."""
