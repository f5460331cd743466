cdef enum:
    CYLINDER = 0
    CONE = 1
    SPHERE = 2
    TORUS = 3
