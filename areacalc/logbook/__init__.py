"""Runs, readings, baths and tanks, kept in one file for the shop.

Other rooms import the modules named here, and no others.
"""

__all__ = ["came", "checks", "database", "exchange", "logbook", "records"]
