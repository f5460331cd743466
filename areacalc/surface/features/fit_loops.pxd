cimport cython
from areacalc.surface.features cimport fit_kinds
from libc cimport math

cdef int _STEPS

cpdef double off(int kind, const double[::1] shape, double x, double y, double z) noexcept nogil

cpdef double facing(
    int kind, const double[::1] shape, double x, double y, double z, const double[:, ::1] normal, Py_ssize_t row
) noexcept nogil

@cython.locals(
    at=double[::1], width=int, row=double[::1], own=double[::1], square=double[:, ::1], right=double[::1],
    u=double[::1], v=double[::1], d=double[::1], last=double, size=double, length=double, r=double, tube=double,
    fr=double, fz=double, fitted=cython.bint,
)
cpdef tuple refine(int kind, const double[:, ::1] points, const unsigned char[::1] tip, const double[::1] start)

cdef void _add(double[::1] row, int width, double[:, ::1] square, double[::1] right) noexcept nogil

cdef bint _solve(double[:, ::1] square, double[::1] right, int width) noexcept nogil

cdef void _square_to(double[::1] d, double[::1] u, double[::1] v) noexcept nogil

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
