/* Keyword values of several parts: three numbers, conditions, yes or no. */
#ifndef FARHUE_FILES_VALUES_H
#define FARHUE_FILES_VALUES_H

#include "farhue/condition.h"
#include "farhue/table.h"

/* A list with one empty table that says by FARHUE_FILE what it is; NULL, and no list, without
 * memory. */
fh_table *fh_value_begin(const char *kind, fh_tables **tables);

/* "0.5 -1 2": shortest numbers that read back the same. */
void fh_value_put_three(fh_table *table, const char *name, const double v[3]);

/* Three numbers of a keyword. FH_E_DATA with the place when absent or not three numbers. */
fh_status fh_value_get_three(const fh_table *table, const char *name, double v[3], fh_error *error);

/* A number that must be there and lie in low–high. */
fh_status fh_value_get_number(const fh_table *table, const char *name, double low, double high,
                        double *out, fh_error *error);

/* "yes" or "no". */
void fh_value_put_flag(fh_table *table, const char *name, bool value);
fh_status fh_value_get_flag(const fh_table *table, const char *name, bool *out, fh_error *error);

/* "D65/10 A/10". */
void fh_value_put_conditions(fh_table *table, const char *name, const fh_condition *conditions,
                       size_t count);

/* At least one and at most most conditions. */
fh_status fh_value_get_conditions(const fh_table *table, const char *name, fh_condition *out,
                            size_t most, size_t *count, fh_error *error);

/* A text that may be absent (then empty); one that does not fit is an error, not cut. */
fh_status fh_value_get_text(const fh_table *table, const char *name, char *out, size_t size,
                      fh_error *error);

/* Set a keyword unless value is empty. */
void fh_value_put_text(fh_table *table, const char *name, const char *value);

#endif
