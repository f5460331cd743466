cimport cython
from libc cimport math

@cython.locals(total=double, x_turn=double, y_turn=double, low=double, tangent=double)
cpdef double solid_angle(const double[:, :, ::1] triangles, double x, double y, double z) noexcept
