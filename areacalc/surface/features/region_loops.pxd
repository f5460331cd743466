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

cdef double _STRAIGHT

@cython.locals(start=cython.longlong[::1], used=cython.longlong[::1], own=int[:, ::1])
cdef tuple _numbered(
    const long long[::1] rows, const int[::1] flat_of, const int[:, ::1] corners, int[::1] point_number,
    int[::1] flat_number,
)

@cython.locals(normal=double[:, ::1], area=double[::1], centre=double[:, ::1], middle=double[:, ::1], length=double)
cdef tuple _summed_up(
    const long long[::1] rows, const long long[::1] start, const double[:, ::1] points, const int[:, ::1] corners,
    const double[:, ::1] skin_normal, const double[::1] skin_area,
)

@cython.locals(pairs=cython.longlong[:, ::1], turn=double[::1], seen=cython.longlong[::1])
cdef tuple _bends_between(
    const long long[::1] rows, const long long[::1] start, const int[::1] flat_of, const int[::1] flat_number,
    const int[:, ::1] across, const double[:, ::1] angle, double smooth_rad,
)

@cython.locals(
    last=cython.longlong[::1], meet=int[::1], edges=int[::1], pull=double[:, ::1], x=double, y=double, z=double,
    length=double, true=cython.uchar[::1], straight=cython.bint,
)
cdef _true_corners(
    const long long[::1] rows, const long long[::1] start, const double[:, ::1] points, const int[:, ::1] corners,
    const int[::1] flat_of, const int[::1] flat_number, const int[:, ::1] across,
)

cdef Py_ssize_t _beside(
    const long long[::1] rows, const long long[::1] start, const int[::1] flat_of, const int[::1] flat_number,
    Py_ssize_t triangle, Py_ssize_t own,
) noexcept nogil

@cython.locals(found=cython.longlong[::1])
cpdef corners_of(
    const int[:, ::1] corners, const unsigned char[::1] true, const long long[::1] start, const long long[::1] count,
    const long long[::1] some, long long[::1] mark, long long stamp,
)
