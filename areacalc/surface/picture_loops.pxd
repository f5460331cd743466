cimport cython
from libc cimport math

@cython.locals(seen=int[:, ::1], toward=double[:, ::1], left=Py_ssize_t, right=Py_ssize_t, top=Py_ssize_t, bottom=Py_ssize_t)
cpdef tuple nearest(
    const double[:, ::1] spots, const int[:, ::1] corners, Py_ssize_t width, Py_ssize_t height, const double[::1] keep
)
