"""features: bores, pockets and grooves found in triangles, with their true areas.

Other rooms import the modules named here, and no others.
"""

__all__ = ["axes", "creases", "features", "fit", "patches", "profile_grooves", "true_area"]
