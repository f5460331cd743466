cimport cython
from libc cimport math

@cython.locals(more=int[:, ::1])
cpdef wider(const int[:, ::1] pairs)

@cython.locals(leaf=Py_ssize_t, pairs=int[:, ::1], node=Py_ssize_t)
cpdef find(
    const double[:, ::1] low, const double[:, ::1] high, const double[:, ::1] node_low, const double[:, ::1] node_high,
    const int[::1] order, const double[:, ::1] other_low, const double[:, ::1] other_high,
)

cdef bint _apart(
    const double[:, ::1] low, const double[:, ::1] high, Py_ssize_t row, double x0, double y0, double z0, double x1,
    double y1, double z1,
) noexcept nogil

cpdef Py_ssize_t next_node(Py_ssize_t node) noexcept nogil

@cython.locals(low=double[:, ::1], high=double[:, ::1])
cpdef tuple triangle_boxes(const double[:, ::1] points, const int[:, ::1] corners)

@cython.locals(spread=double[:, ::1])
cpdef edge_spread(const double[:, ::1] points, const int[:, ::1] corners)

@cython.locals(low=double[::1], span=double, upper=int[::1], lower=int[::1], code=Py_ssize_t, cell=Py_ssize_t)
cpdef tuple winding_codes(const double[:, ::1] places)

@cython.locals(
    leaf_size=Py_ssize_t, pairs=int[:, ::1], held=cython.longlong, shared=cython.bint, node=Py_ssize_t,
)
cpdef tuple passing(
    const int[:, ::1] corners, const double[:, :, ::1] places, const double[:, ::1] low, const double[:, ::1] high,
    const double[:, ::1] node_low, const double[:, ::1] node_high, double slack_mm, long long most,
)

cdef bint _clear(const double[:, ::1] low, const double[:, ::1] high, Py_ssize_t one, Py_ssize_t two) noexcept nogil

@cython.locals(low=double, high=double)
cdef bint _spans(const double[:, :, ::1] places, Py_ssize_t plane, Py_ssize_t other, double slack_mm) noexcept nogil

@cython.locals(inside=cython.bint)
cdef bint _pierced(const double[:, :, ::1] places, Py_ssize_t plane, Py_ssize_t other, double slack_mm) noexcept nogil

cdef double _height(
    const double[:, :, ::1] places, Py_ssize_t plane, Py_ssize_t other, Py_ssize_t corner, double nx, double ny, double nz,
) noexcept nogil

cdef (double, double, double) _square_to(const double[:, :, ::1] places, Py_ssize_t t) noexcept nogil
