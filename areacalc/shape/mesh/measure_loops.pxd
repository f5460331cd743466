cimport cython
from libc cimport math

@cython.locals(normal=double[:, ::1], area=double[::1])
cpdef tuple normals(const double[:, ::1] points, const int[:, ::1] corners)

cdef double _apart(const double[:, ::1] points, Py_ssize_t one, Py_ssize_t two) noexcept nogil

@cython.locals(height=double[::1], longest=double[::1])
cpdef tuple heights(const double[:, ::1] points, const int[:, ::1] corners, const double[::1] area)

cdef Py_ssize_t _BLOCK
cdef double _FAR

@cython.locals(x=double, y=double, z=double, covered=double)
cpdef double winding_number(const double[:, :, ::1] triangles, const double[::1] point) noexcept

@cython.locals(middle=double[:, ::1], facing=double[:, ::1], size=double[::1], out=double[::1])
cpdef winding_numbers(const double[:, :, ::1] triangles, const double[:, ::1] points)

@cython.locals(whole=double)
cdef void _sum_up(
    const double[:, :, ::1] triangles, Py_ssize_t b, double[:, ::1] middle, double[:, ::1] facing, double[::1] size
) noexcept nogil

@cython.locals(total=double, x_turn=double, y_turn=double, low=double, tangent=double)
cdef double _covered(
    const double[:, :, ::1] triangles, Py_ssize_t first, Py_ssize_t last, double x, double y, double z
) noexcept nogil
