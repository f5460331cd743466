cimport cython

@cython.locals(
    places=double[:, :, ::1], counts=int[::1], area=double[::1], before=double[:, ::1], count=Py_ssize_t,
    held=Py_ssize_t, k=Py_ssize_t,
)
cpdef tuple overlaps(const double[:, :, ::1] one, const double[:, :, ::1] two)

@cython.locals(total=double)
cdef double _twice(const double[:, ::1] ring, Py_ssize_t count) noexcept nogil
