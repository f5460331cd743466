cimport cython
from areacalc.shape.mesh cimport topology_loops
from libc cimport math

cdef int _OPEN, _NOTHING

@cython.locals(found=int[::1], top=cython.bint, over=double)
cpdef peaks(
    const int[:, ::1] corners, const double[:, ::1] points, const double[::1] up, const double[::1] height,
    const int[::1] start, const int[::1] rows,
)

cdef bint _over(const double[::1] height, Py_ssize_t one, Py_ssize_t two) noexcept nogil

cdef Py_ssize_t _put(int[::1] heap, Py_ssize_t count, const double[::1] height, Py_ssize_t v) noexcept nogil

cdef Py_ssize_t _take(int[::1] heap, Py_ssize_t count, const double[::1] height) noexcept nogil

cdef Py_ssize_t _held(int[::1] parent, const int[::1] gate, Py_ssize_t v) noexcept nogil

@cython.locals(
    waiting=Py_ssize_t, parent=int[::1], gate=int[::1], pocket=int[::1], root=int[::1], heap=int[::1],
    known=cython.uchar[::1], free=cython.bint, over=Py_ssize_t, u=Py_ssize_t, r=Py_ssize_t, mine=Py_ssize_t,
    v=Py_ssize_t,
)
cpdef tuple sweep(
    const int[:, ::1] corners, const double[::1] height, const int[::1] start, const int[::1] rows,
    const int[::1] shaft,
)

cdef bint _top(
    const int[:, ::1] corners, const double[::1] height, const int[::1] start, const int[::1] rows, Py_ssize_t v
) noexcept nogil
