cimport cython
from libc cimport math

cdef double _BARE_NEEDLE, _LEVEL, _CREASED_RAD, _ENDLESS, _ONE_WAY

@cython.locals(
    angle=double[:, ::1], level=cython.uchar[:, ::1], side=double[:, ::1], longest=cython.schar[::1],
    needle=cython.uchar[::1], bend=double, off=double, flat=cython.bint,
)
cpdef tuple bends(
    const double[:, ::1] points, const int[:, ::1] corners, const int[:, ::1] across, const double[:, ::1] normal,
    const double[::1] area, double noise_mm,
)

cdef double _bend(
    const double[:, ::1] points, Py_ssize_t start, Py_ssize_t end, const double[:, ::1] normal, Py_ssize_t one,
    Py_ssize_t two, double length,
) noexcept nogil

@cython.locals(
    mean=double[:, ::1], height=double[::1], total=double[::1], low=double[::1], high=double[::1], middle=double,
    length=double, several=cython.uchar[::1],
)
cpdef tuple mean_planes(
    const double[:, ::1] points, const int[:, ::1] corners, const double[:, ::1] normal, const double[::1] area,
    const int[::1] label, Py_ssize_t count,
)
