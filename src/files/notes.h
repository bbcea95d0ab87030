/* Sentences about what a reader did with a file, one a line. */
#ifndef FARHUE_FILES_NOTES_H
#define FARHUE_FILES_NOTES_H

#include "farhue/sink.h"

/* Append one sentence of at most 510 bytes (fh_format's conversions). A note that finds no memory
 * is left out: none is worth failing for. */
void fh_note(fh_text *notes, const char *format, ...) FH_PRINTF(2, 3);

#endif
