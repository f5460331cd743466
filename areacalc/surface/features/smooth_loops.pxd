cimport cython
from libc cimport math

cdef double _HOLD, _STEP

@cython.locals(
    normal=double[:, ::1], sums=double[:, ::1], right=double[:, ::1], e=double[::1], f=double[::1], one=double, two=double,
    left=double, other=double, a=Py_ssize_t, b=Py_ssize_t, c=Py_ssize_t,
)
cpdef corner_normals(const double[:, ::1] points, const int[:, ::1] corners, int sweeps)

cdef void _gather(double[:, ::1] sums, Py_ssize_t at, double[::1] e, double square) noexcept nogil

cdef void _unit(double[:, ::1] normal, Py_ssize_t i) noexcept nogil

cdef void _turn(double[:, ::1] normal, double[:, ::1] sums, double[:, ::1] right, Py_ssize_t i) noexcept nogil

@cython.locals(
    found=double[::1], c=double[::1], e=double[:, ::1], dot=double[::1], a=Py_ssize_t, b=Py_ssize_t, step=double,
    one=double, turn=double, miss=double, total=double, nx=double, ny=double, nz=double, twice=double, own=double,
)
cpdef bulge(
    const double[:, ::1] points, const int[:, ::1] corners, const double[:, ::1] normal, const double[:, ::1] angle,
    const unsigned char[:, ::1] inner,
)
