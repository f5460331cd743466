"""The kinds of curved surface that are fitted, as the loops take them (compiled in from the .pxd beside)."""

CYLINDER, CONE, SPHERE, TORUS = range(4)
