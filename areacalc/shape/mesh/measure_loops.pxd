cimport cython
from libc cimport math

@cython.locals(normal=double[:, ::1], area=double[::1])
cpdef tuple normals(const double[:, ::1] points, const int[:, ::1] corners)

cdef double _apart(const double[:, ::1] points, Py_ssize_t one, Py_ssize_t two) noexcept nogil

@cython.locals(height=double[::1], longest=double[::1])
cpdef tuple heights(const double[:, ::1] points, const int[:, ::1] corners, const double[::1] area)
