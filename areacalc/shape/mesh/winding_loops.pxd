from libc cimport math

cpdef double solid_angle(const double[:, :, ::1] triangles, double x, double y, double z) noexcept
