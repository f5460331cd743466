cimport cython
from areacalc.surface.features cimport fit_kinds
from libc cimport math

cdef double _TURN, _HALF_TURN

@cython.locals(
    area=double[::1], x=double[::1], y=double[::1], z=double[::1], r=double[::1], total=double, phi=double, turned=double,
)
cpdef unrolled(
    int kind, const double[::1] shape, const double[::1] u, const double[::1] v, double tiny_mm,
    const double[:, :, ::1] triangles,
)

cdef double _g(double major_mm, double minor_mm, double phi) noexcept nogil

@cython.locals(
    marks=cython.longlong[::1], angle=double[::1], low=double, high=double, begin=Py_ssize_t, end=Py_ssize_t,
    held=cython.longlong[::1],
)
cpdef covered(
    const double[::1] shape, const double[::1] u, const double[::1] v, const double[:, :, ::1] triangles, Py_ssize_t bins
)
