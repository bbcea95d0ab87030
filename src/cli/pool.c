/* farhue pool: repeat readings of one object into their mean. */
#include <math.h>
#include <stdlib.h>
#include <string.h>

#include "base/memory.h"
#include "cli/cli.h"
#include "cli/table.h"
#include "farhue/difference.h"

/* All readings of all files, and what becomes of them. */
typedef struct pooling {
    fh_reading *readings;
    size_t count;
    fh_reading *pooled;
    size_t *taken;  /* how many readings went into each */
    double *spread; /* largest ΔE00 of one of them to the mean */
    size_t pooled_count;
} pooling;

static int add_file(cli_context *cli, const char *path, pooling *p)
{
    fh_library library;
    int code = cli_read_library(cli, path, "part", &library);
    if (code) return code;
    fh_reading *bigger = fh_reallocate(p->readings, p->count + library.count + 1, sizeof *bigger);
    if (!bigger) return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
    memcpy(bigger + p->count, library.readings, library.count * sizeof *bigger);
    p->readings = bigger;
    p->count += library.count;
    return CLI_DONE;
}

enum { OUTLIER_MOST = 100 }; /* among more readings the work would grow beyond its use */

/* A reading that lies far from all the others is named: it may be of another place. */
static void name_outlier(cli_context *cli, const fh_reading *group, size_t count)
{
    for (size_t i = 0; i < count && count > 3 && count <= OUTLIER_MOST; ++i) {
        double nearest = HUGE_VAL, others = 0;
        for (size_t k = 0; k < count; ++k) {
            if (k == i) continue;
            nearest = fmin(nearest, fh_de2000(group[i].lab, group[k].lab));
            for (size_t n = k + 1; n < count; ++n)
                if (n != i) others = fmax(others, fh_de2000(group[k].lab, group[n].lab));
        }
        if (nearest > 0.5 && nearest > 2 * others)
            cli_note(cli,
                     "one reading of %s (number %zu, L* %.1f a* %.1f b* %.1f) is ΔE00 %.1f from "
                     "the nearest other, and those are within %.1f: is it of the same place?",
                     group[i].id, i + 1, group[i].lab.L, group[i].lab.a, group[i].lab.b, nearest,
                     others);
    }
}

static int pool_group(cli_context *cli, pooling *p, fh_reading *group, size_t count, const char *id)
{
    fh_error error = {0};
    fh_reading *out = &p->pooled[p->pooled_count];
    if (fh_reading_pool(group, count, out, &error)) return cli_fail(cli, &error);
    fh_copy_text(out->id, sizeof out->id, id);
    name_outlier(cli, group, count);
    for (size_t i = 0; i < count; ++i)
        p->spread[p->pooled_count] =
            fmax(p->spread[p->pooled_count], fh_de2000(out->lab, group[i].lab));
    p->taken[p->pooled_count++] = count;
    return CLI_DONE;
}

/* By id, and in order of appearance within an id. */
static int by_id(const void *a, const void *b)
{
    const fh_reading *x = *(const fh_reading *const *)a, *y = *(const fh_reading *const *)b;
    int order = strcmp(x->id, y->id);
    return order ? order : (x > y) - (x < y);
}

/* Groups of one id come out in the order in which their first reading appeared. */
static int by_place(const void *a, const void *b)
{
    const fh_reading *const *x = *(const fh_reading *const *const *)a;
    const fh_reading *const *y = *(const fh_reading *const *const *)b;
    return (*x > *y) - (*x < *y);
}

/* sorted: the readings by id; starts: where in it each group begins; both have room for all. */
static size_t sort_groups(const pooling *p, const fh_reading **sorted, const fh_reading ***starts)
{
    size_t groups = 0;
    for (size_t i = 0; i < p->count; ++i) sorted[i] = &p->readings[i];
    qsort(sorted, p->count, sizeof *sorted, by_id);
    for (size_t i = 0; i < p->count; ++i)
        if (i == 0 || strcmp(sorted[i]->id, sorted[i - 1]->id) != 0) starts[groups++] = &sorted[i];
    qsort(starts, groups, sizeof *starts, by_place);
    return groups;
}

/* Readings of the same id, from all the files, belong together; with --as all do. */
static int pool_all(cli_context *cli, pooling *p)
{
    const char *as = cli_value(cli, "as");
    fh_reading *group = cli_keep(cli, fh_allocate(p->count, sizeof *group));
    p->pooled = cli_keep(cli, fh_allocate(p->count, sizeof *p->pooled));
    p->taken = cli_keep(cli, fh_allocate(p->count, sizeof *p->taken));
    p->spread = cli_keep(cli, fh_allocate(p->count, sizeof *p->spread));
    if (!group || !p->pooled || !p->taken || !p->spread)
        return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
    if (p->count == 0) return cli_fail_text(cli, FH_E_DATA, "no readings to pool");
    if (as && (!*as || strlen(as) >= FH_ID))
        return cli_usage(cli, "--as: expected an id of 1 to %d bytes", (int)FH_ID - 1);
    if (as) return pool_group(cli, p, p->readings, p->count, as);
    const fh_reading **sorted = cli_keep(cli, fh_allocate(p->count, sizeof *sorted));
    const fh_reading ***starts = cli_keep(cli, fh_allocate(p->count, sizeof *starts));
    if (!sorted || !starts) return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
    size_t groups = sort_groups(p, sorted, starts);
    for (size_t i = 0; i < groups; ++i) {
        size_t count = 0;
        for (const fh_reading **at = starts[i];
             at < sorted + p->count && strcmp((*at)->id, (*starts[i])->id) == 0; ++at)
            group[count++] = **at;
        int code = pool_group(cli, p, group, count, group[0].id);
        if (code) return code;
    }
    if (p->pooled_count == p->count)
        cli_note(cli,
                 "no id comes twice, so nothing was pooled; --as ID pools all readings into one");
    return CLI_DONE;
}

/* Half the 95 % interval of one axis. */
static double half_interval(const fh_reading *r, int axis)
{
    return 1.96 * sqrt(fh_reading_covariance(r).m[axis][axis]);
}

static void report_text(cli_context *cli, const pooling *p)
{
    static const char *const headings[] = {"",     "id",   "L*",   "a*",       "b*",    "for",
                                           "± L*", "± a*", "± b*", "readings", "spread"};
    cli_table table = cli_table_begin("plrrrlrrrrr", headings);
    for (size_t i = 0; i < p->pooled_count; ++i) {
        const fh_reading *r = &p->pooled[i];
        char condition[FH_CONDITION_TEXT];
        fh_condition_text(r->condition, condition);
        cli_cell_patch(&table, r->lab);
        cli_cell(&table, "%s", r->id);
        cli_cells_lab(&table, r->lab);
        cli_cell(&table, "%s", condition);
        for (int k = 0; k < 3; ++k) cli_cell(&table, "%.2f", half_interval(r, k));
        cli_cell(&table, "%zu", p->taken[i]);
        cli_cell(&table, "%.2f", p->spread[i]);
    }
    cli_table_print(cli, &table);
    cli_put(cli,
            "\n± is half the 95 % interval of the mean; spread the largest ΔE00 of a reading to "
            "it.\n");
}

static void report_json(cli_context *cli, const pooling *p)
{
    json_t *list = cli_json_array(cli->root, "readings");
    for (size_t i = 0; i < p->pooled_count; ++i) {
        const fh_reading *r = &p->pooled[i];
        double half[3];
        json_t *one = cli_json_append(list);
        for (int k = 0; k < 3; ++k) half[k] = half_interval(r, k);
        cli_json_text(one, "id", r->id);
        cli_json_lab(cli, one, "lab", r->lab);
        cli_json_condition(one, "condition", r->condition);
        cli_json_numbers(cli, one, "lab_95", half, 3);
        json_object_set_new(one, "readings", json_integer((json_int_t)p->taken[i]));
        cli_json_number(cli, one, "spread_dE00", p->spread[i]);
    }
}

static int run(cli_context *cli)
{
    pooling p = {0};
    fh_text text = {0};
    int code = cli->operand_count ? CLI_DONE : add_file(cli, NULL, &p);
    for (size_t i = 0; i < cli->operand_count && !code; ++i)
        code = add_file(cli, cli->operands[i], &p);
    if (!cli_keep(cli, p.readings) && !code)
        code = cli_fail_text(cli, FH_E_MEMORY, "out of memory");
    if (!code) code = pool_all(cli, &p);
    if (code) return code;
    if (cli->json)
        report_json(cli, &p);
    else
        report_text(cli, &p);
    if (fh_library_write(p.pooled, p.pooled_count, cli_value(cli, "describe"), NULL, &text))
        return cli_fail_text(cli, FH_E_MEMORY, "out of memory");
    code = cli_product(cli, text.bytes, text.length);
    fh_text_free(&text);
    return code;
}

static const cli_option options[] = {
    {"as", 0, "ID", "pool all readings, whatever their ids, into one of this id", false},
    {"describe", 0, "TEXT", "description for the file that is saved", false},
    {0},
};

const cli_command cli_pool = {
    .name = "pool",
    .summary = "repeat readings of one object into their mean",
    .usage = "[FILE...]",
    .details =
        "Readings of the same id, from all the files, become one. Its random uncertainty comes "
        "from\n"
        "their spread or from what they state, whichever is larger, and falls with their number;\n"
        "what they share (an instrument, a photo's chart) stays. Readings are taken in one\n"
        "condition and by one method.\n\n"
        "  farhue pool monday.txt tuesday.txt -o part.txt\n"
        "  farhue pool coupon-places.txt --as coupon -o coupon.txt\n",
    .options = options,
    .least = 0,
    .most = CLI_ANY,
    .run = run,
};
