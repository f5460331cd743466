cimport cython

ctypedef fused number:
    int
    long long

cdef unsigned long long _NOUGHT, _ODD

@cython.locals(
    size=cython.longlong, table=int[::1], index=int[::1], first=int[::1], bits="const unsigned long long[:, ::1]",
    mixed=cython.ulonglong, slot=cython.longlong,
)
cpdef tuple weld_rows(const double[:, ::1] points)

@cython.locals(
    start=cython.longlong[::1], at=cython.longlong[::1], half=int[::1], across=int[:, ::1], lone=cython.longlong[::1],
    crowded=cython.longlong[::1], oriented=cython.bint, most=cython.longlong, far=int[::1],
)
cpdef tuple pair_edges(const int[:, ::1] corners, Py_ssize_t point_count)

cdef void _sort(int[::1] key, int[::1] beside, Py_ssize_t low, Py_ssize_t count) noexcept nogil

@cython.locals(parent=int[::1])
cpdef tuple label_pairs(Py_ssize_t count, const long long[:] one, const long long[:] two)

@cython.locals(parent=int[::1])
cpdef tuple join_some(const int[:, ::1] across, const unsigned char[:, ::1] linked)

cdef void _tie(int[::1] parent, Py_ssize_t one, Py_ssize_t two) noexcept nogil

cpdef Py_ssize_t root_of(int[::1] parent, Py_ssize_t of) noexcept nogil

@cython.locals(label=int[::1])
cdef tuple _labels(int[::1] parent)

@cython.locals(first=cython.longlong[::1], at=cython.longlong[::1], order=cython.longlong[::1])
cpdef tuple by_label(const number[:] label, Py_ssize_t count)
