"""Words, tables, units and documents at the exit.

Other rooms import the modules named here, and no others.
"""

__all__ = [
    "challenge", "documents", "explain", "figure_document", "figures", "hang_document", "html", "lines",
    "logbook_document", "mix_document", "plan_document", "plan_summary", "rack_document", "run_document", "run_picture",
    "sheet", "sheet_html", "sheet_pdf", "sweep_document", "sweep_plot", "tank_document", "words",
]  # fmt: skip
