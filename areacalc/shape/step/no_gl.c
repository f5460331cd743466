/* A stand-in for libGL where there is no display: the CAD kernel comes linked with a viewer, which is never opened here.
   It has every name that the viewer asks for; none is called. */
#include <stdlib.h>

#define NO(name) void name(void) { abort(); }
NO(glAlphaFunc) NO(glBindTexture) NO(glBitmap) NO(glBlendFunc) NO(glCallList) NO(glCallLists) NO(glClear)
NO(glClearColor) NO(glClearDepth) NO(glClearStencil) NO(glClipPlane) NO(glColor4fv) NO(glColorMask)
NO(glColorMaterial) NO(glColorPointer) NO(glCopyPixels) NO(glCopyTexImage1D) NO(glCopyTexImage2D)
NO(glCopyTexSubImage1D) NO(glCopyTexSubImage2D) NO(glCullFace) NO(glDeleteLists) NO(glDeleteTextures) NO(glDepthFunc)
NO(glDepthMask) NO(glDepthRange) NO(glDisable) NO(glDisableClientState) NO(glDrawArrays) NO(glDrawBuffer)
NO(glDrawElements) NO(glDrawPixels) NO(glEnable) NO(glEnableClientState) NO(glEndList) NO(glFinish) NO(glFlush)
NO(glFrontFace) NO(glGenLists) NO(glGenTextures) NO(glGetBooleanv) NO(glGetError) NO(glGetFloatv) NO(glGetIntegerv)
NO(glGetPointerv) NO(glGetString) NO(glGetTexEnviv) NO(glGetTexImage) NO(glGetTexLevelParameterfv)
NO(glGetTexLevelParameteriv) NO(glGetTexParameterfv) NO(glGetTexParameteriv) NO(glHint) NO(glIndexPointer)
NO(glIsEnabled) NO(glIsTexture) NO(glLightModelfv) NO(glLightModeli) NO(glLightf) NO(glLightfv) NO(glLineStipple)
NO(glLineWidth) NO(glListBase) NO(glLoadIdentity) NO(glLoadMatrixf) NO(glLogicOp) NO(glMaterialf) NO(glMaterialfv)
NO(glMatrixMode) NO(glNewList) NO(glNormalPointer) NO(glPixelStorei) NO(glPixelTransferi) NO(glPointSize)
NO(glPolygonMode) NO(glPolygonOffset) NO(glPolygonStipple) NO(glRasterPos2i) NO(glRasterPos3fv) NO(glReadBuffer)
NO(glReadPixels) NO(glScissor) NO(glShadeModel) NO(glStencilFunc) NO(glStencilMask) NO(glStencilOp)
NO(glTexCoordPointer) NO(glTexEnvi) NO(glTexGenfv) NO(glTexGeni) NO(glTexImage1D) NO(glTexImage2D) NO(glTexParameterf)
NO(glTexParameterfv) NO(glTexParameteri) NO(glTexParameteriv) NO(glTexSubImage1D) NO(glTexSubImage2D)
NO(glVertexPointer) NO(glViewport) NO(glXChooseFBConfig) NO(glXChooseVisual) NO(glXCreateContext)
NO(glXDestroyContext) NO(glXGetClientString) NO(glXGetConfig) NO(glXGetCurrentContext) NO(glXGetCurrentDisplay)
NO(glXGetCurrentDrawable) NO(glXGetProcAddress) NO(glXGetVisualFromFBConfig) NO(glXIsDirect) NO(glXMakeCurrent)
NO(glXQueryExtension) NO(glXQueryExtensionsString) NO(glXQueryServerString) NO(glXQueryVersion) NO(glXSwapBuffers)
NO(glXWaitGL)
