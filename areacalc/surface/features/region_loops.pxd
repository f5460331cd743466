cimport cython
from areacalc.surface.features cimport fit_kinds, fit_loops
from libc cimport math

cdef double _TURN, _HALF_TURN, _NO_ANGLE, _ENDLESS

cpdef bint holds(
    int kind, const double[::1] shape, const double[:, ::1] points, const int[:, ::1] corners,
    const unsigned char[::1] true, const long long[::1] start, const long long[::1] count, const long long[::1] some,
    double tolerance_mm,
) noexcept nogil

cdef bint _holds(
    int kind, const double[::1] shape, const double[:, ::1] points, const int[:, ::1] corners,
    const unsigned char[::1] true, Py_ssize_t first, Py_ssize_t count, double tolerance_mm,
) noexcept nogil

@cython.locals(out=double[:, ::1])
cpdef measured(
    int kind, const double[::1] shape, const double[:, ::1] points, const int[:, ::1] corners,
    const unsigned char[::1] true, const long long[::1] start, const long long[::1] count, const long long[::1] some,
    const double[:, ::1] middle, const double[:, ::1] normal,
)

@cython.locals(out=double[:, ::1], about=double[::1], tube=double[::1])
cpdef spans(
    int kind, const double[::1] shape, const double[:, ::1] points, const int[:, ::1] corners,
    const unsigned char[::1] true, const long long[::1] start, const long long[::1] count, const long long[::1] some,
    const double[::1] u, const double[::1] v, double axis,
)

@cython.locals(low=double, high=double, way=double)
cdef double _wider(double so_far, double[::1] at) noexcept nogil

@cython.locals(most=double)
cdef double _widest(
    const double[::1] shape, const double[:, ::1] points, const int[:, ::1] corners, const long long[::1] start,
    const long long[::1] count, const long long[::1] some,
) noexcept nogil

@cython.locals(reached=cython.longlong[::1])
cpdef flood(
    int kind, const double[::1] shape, const double[:, ::1] points, const int[:, ::1] corners,
    const unsigned char[::1] true, const long long[::1] start, const long long[::1] count, const long long[::1] some,
    const long long[::1] first, const long long[::1] beside, unsigned char[::1] seen, double tolerance_mm,
)

@cython.locals(found=cython.longlong[::1])
cpdef around(
    const long long[::1] first, const long long[::1] beside, const long long[::1] some, long long[::1] mark, long long stamp
)

cpdef Py_ssize_t next_bend(
    const long long[::1] order, Py_ssize_t at, const long long[:] one, const long long[:] two,
    const unsigned char[::1] free, const signed char[::1] tried, int most,
) noexcept nogil
