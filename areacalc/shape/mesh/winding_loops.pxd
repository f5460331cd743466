cimport cython
from libc cimport math

cdef Py_ssize_t _BLOCK
cdef double _FAR

cpdef double solid_angle(const double[:, :, ::1] triangles, double x, double y, double z) noexcept

@cython.locals(middle=double[:, ::1], facing=double[:, ::1], size=double[::1], out=double[::1])
cpdef solid_angles(const double[:, :, ::1] triangles, const double[:, ::1] seen_from)

@cython.locals(whole=double)
cdef void _sum_up(
    const double[:, :, ::1] triangles, Py_ssize_t b, double[:, ::1] middle, double[:, ::1] facing, double[::1] size
) noexcept nogil

@cython.locals(total=double, x_turn=double, y_turn=double, low=double, tangent=double)
cdef double _covered(
    const double[:, :, ::1] triangles, Py_ssize_t first, Py_ssize_t last, double x, double y, double z
) noexcept nogil
