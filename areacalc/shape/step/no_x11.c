/* A stand-in for libX11 where there is no display: the CAD kernel comes linked with a viewer, which is never opened here.
   It has every name that the viewer asks for; none is called. */
#include <stdlib.h>

#define NO(name) void name(void) { abort(); }
NO(XCheckWindowEvent) NO(XCloseDisplay) NO(XCreateColormap) NO(XCreateWindow) NO(XDestroyWindow) NO(XFlush) NO(XFree)
NO(XGetVisualInfo) NO(XGetWindowAttributes) NO(XIconifyWindow) NO(XInternAtom) NO(XLookupKeysym) NO(XMapWindow)
NO(XOpenDisplay) NO(XPending) NO(XQueryExtension) NO(XSendEvent) NO(XSetErrorHandler) NO(XSetStandardProperties)
NO(XStoreName) NO(XSynchronize) NO(XTranslateCoordinates)
