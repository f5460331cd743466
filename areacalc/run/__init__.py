"""run: one load through the tank: the load file, the plan, the run sheet, the logbook."""
