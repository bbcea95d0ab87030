/* Specs and replies as files: table text with the readings in it. docs/formats.md has the names. */
#ifndef FARHUE_SPEC_FILE_H
#define FARHUE_SPEC_FILE_H

#include "farhue/shell_file.h"
#include "farhue/spec.h"
#include "farhue/table.h"

#ifdef __cplusplus
extern "C" {
#endif

/* The kind of a file with tables, by its FARHUE_FILE keyword: "spec", "reply", "shell", "tie"…;
 * empty when it has none. Valid while the list lives. */
FH_API const char *fh_tables_kind(const fh_tables *tables);

/* A check code over the content: the keywords (CHECK_CODE and JOB left out), column names and cells, in
 * order, whatever blanks and line endings lie between them. Forty bits of a hash in two groups of
 * four characters of [Crockford2002]. It finds a changed, lost or moved value, not a forger. */
FH_API void fh_tables_check_code(const fh_tables *tables, char out[FH_CODE]);

/* The CHECK_CODE that the file states and whether it is that of its content: FH_E_DATA with a
 * sentence when it isn't, or is absent. out may be NULL. */
FH_API fh_status fh_tables_verify(const fh_tables *tables, char out[FH_CODE], fh_error *error);

/* A spec as table text, to be freed with fh_text_free; spec->code is set. shell: what the spec's
 * shell was made from; NULL: its curves alone are written, without their uncertainty. Ignored when
 * the spec has no shell. FH_E_MEMORY, FH_E_LIMIT. */
FH_API fh_status fh_spec_write(fh_spec *spec, const fh_shell_record *shell, fh_text *out);

/* Read a spec. Errors name the place: another kind of file, a check code that does not match (the
 * file was changed), a light, tolerance or condition that cannot be, no target or several. The
 * caller frees *out. shell may be NULL, else it gets what the shell was made from (NULL when there
 * is none), which the caller frees. */
FH_API fh_status fh_spec_read(const char *text, size_t length, fh_spec **out,
                              fh_shell_record **shell, fh_error *error);

/* The same for a reply; readings are at least one. */
FH_API fh_status fh_reply_write(fh_reply *reply, fh_text *out);
FH_API fh_status fh_reply_read(const char *text, size_t length, fh_reply **out, fh_error *error);

#ifdef __cplusplus
}
#endif
#endif
