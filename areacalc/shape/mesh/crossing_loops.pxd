cimport cython
from areacalc.shape.mesh cimport boxes_loops
from libc cimport math

@cython.locals(
    leaf_size=Py_ssize_t, pairs=int[:, ::1], held=cython.longlong, shared=cython.bint, node=Py_ssize_t,
)
cpdef tuple passing(
    const int[:, ::1] corners, const double[:, :, ::1] places, const double[:, ::1] low, const double[:, ::1] high,
    const double[:, ::1] node_low, const double[:, ::1] node_high, double slack_mm, long long most,
)

cdef bint _apart(const double[:, ::1] low, const double[:, ::1] high, Py_ssize_t one, Py_ssize_t two) noexcept nogil

@cython.locals(low=double, high=double)
cdef bint _spans(const double[:, :, ::1] places, Py_ssize_t plane, Py_ssize_t other, double slack_mm) noexcept nogil

@cython.locals(inside=cython.bint)
cdef bint _pierced(const double[:, :, ::1] places, Py_ssize_t plane, Py_ssize_t other, double slack_mm) noexcept nogil

cdef double _height(
    const double[:, :, ::1] places, Py_ssize_t plane, Py_ssize_t other, Py_ssize_t corner, double nx, double ny, double nz,
) noexcept nogil

cdef (double, double, double) _square_to(const double[:, :, ::1] places, Py_ssize_t t) noexcept nogil
