"""The documentation, built by Sphinx from the sources: `sphinx-build areacalc/docs build/docs`.

What the code knows is written by `pages.py` behind the headings of `commands.md`, `keys.md` and `constants.md`.
"""

from areacalc.docs import pages

project = "areacalc"
extensions = ["myst_parser", "sphinx.ext.autodoc", "sphinx.ext.viewcode"]
myst_enable_extensions = ["deflist"]
myst_heading_anchors = 3
autodoc_member_order = "bysource"
autodoc_typehints = "description"
autodoc_preserve_defaults = True
html_theme = "alabaster"
html_theme_options = {"page_width": "1200px", "sidebar_width": "240px", "body_max_width": "none"}


def setup(app):  # type: ignore[no-untyped-def]
    """Hand the pages to Sphinx as it reads them; values stand on the page of constants, not among the formulas."""
    app.connect("source-read", lambda _, name, source: source.__setitem__(0, source[0] + pages.behind(name)))
    app.connect("autodoc-skip-member", _left_out)


def _left_out(_, what, name, member, *rest):  # type: ignore[no-untyped-def]
    return True if what == "module" and not callable(member) else None
