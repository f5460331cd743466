cimport cython
from areacalc.shape.mesh cimport boxes_loops
from libc cimport math

cdef double _ENDLESS, _EDGE_ON
cdef Py_ssize_t _LEAF

cdef double _crossing(
    const double[:, ::1] points, const int[:, ::1] corners, Py_ssize_t t, const double[::1] p, const double[::1] d,
    const double[::1] e, const double[::1] f,
) noexcept nogil

@cython.locals(near=double)
cdef bint _enters(
    const double[:, ::1] low, const double[:, ::1] high, Py_ssize_t node, const double[::1] p, const double[::1] d,
    double far,
) noexcept nogil

@cython.locals(best=double, hit=Py_ssize_t, node=Py_ssize_t)
cpdef (double, Py_ssize_t) first_hit(
    const double[:, ::1] points, const int[:, ::1] corners, const double[:, ::1] node_low,
    const double[:, ::1] node_high, const int[::1] order, const double[::1] p, Py_ssize_t apart, const double[::1] d,
    const double[::1] e, const double[::1] f, double reach,
) noexcept nogil

@cython.locals(hit=int[::1], p=double[::1])
cpdef first_above(
    const double[:, ::1] points, const int[:, ::1] corners, const double[:, ::1] node_low,
    const double[:, ::1] node_high, const int[::1] order, const double[:, ::1] origins, const int[::1] apart,
    const double[::1] d, const double[::1] e, const double[::1] f,
)

cdef void _unit_normal(const double[:, ::1] points, const int[:, ::1] corners, Py_ssize_t t, double[::1] n) noexcept nogil

cdef void _frame(const double[::1] d, double[::1] e, double[::1] f) noexcept nogil

@cython.locals(node=Py_ssize_t, least=double)
cdef bint _may_face(
    const double[:, ::1] low, const double[:, ::1] high, const double[:, ::1] turned_low,
    const double[:, ::1] turned_high, const double[::1] p, const double[::1] d, double reach,
) noexcept nogil

@cython.locals(
    far=double[::1], facing=int[::1], p=double[::1], d=double[::1], e=double[::1], f=double[::1], n=double[::1],
    distance=double, hit=Py_ssize_t,
)
cpdef tuple clearances(
    const double[:, ::1] points, const int[:, ::1] corners, const double[:, ::1] node_low,
    const double[:, ::1] node_high, const double[:, ::1] turned_low, const double[:, ::1] turned_high,
    const int[::1] order, const int[::1] chosen, const double[:, ::1] weights, double reach,
)

@cython.locals(
    least=double[::1], p=double[::1], d=double[::1], e=double[::1], f=double[::1], n=double[::1], one=double,
    x=double, y=double, z=double,
)
cpdef chords(
    const double[:, ::1] points, const int[:, ::1] corners, const double[:, ::1] node_low,
    const double[:, ::1] node_high, const int[::1] order, const int[::1] chosen, double reach,
)

cdef double _way(
    const double[:, ::1] points, const int[:, ::1] corners, const double[:, ::1] node_low,
    const double[:, ::1] node_high, const int[::1] order, const double[::1] p, const double[::1] d, double[::1] e,
    double[::1] f, double reach,
) noexcept nogil
