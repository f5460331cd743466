"""logbook: the shop's runs, readings, outcomes, baths and tanks, kept in one SQLite file."""
