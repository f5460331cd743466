cimport cython
from libc cimport math

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
