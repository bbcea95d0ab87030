/* The version of farhue, in this one place: the build reads it for the library's name and for
   the pkg-config file. */
#ifndef FARHUE_VERSION_H
#define FARHUE_VERSION_H

/* Major.minor.patch; the major number is the library's soname. */
#define FH_VERSION "0.1.0"

#endif
