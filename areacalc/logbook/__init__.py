"""Runs, readings, baths and tanks, kept in one file for the shop."""

__all__ = ["came", "checks", "database", "exchange", "logbook", "records"]
