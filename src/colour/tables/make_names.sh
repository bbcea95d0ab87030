#!/bin/sh
# Writes names_table.c from tests/data/iscc_nbs_centroids.csv. Run from the top of the tree:
#   sh src/colour/tables/make_names.sh > src/colour/tables/names_table.c
# Running it again must leave the tree unchanged.
set -eu
cat <<'HEAD'
/* The 267 ISCC–NBS colour names and the centre of each block in L*, a*, b* for C/2 [Kelly1958,
 * Kelly1976]: work of the US government. Notations through the renotation [Newhall1943].
 *
 * Four blacks are darker than the renotation's darkest value, 1. Their L* is that of their value;
 * a*, b* are those of value 1 and chroma 2 in their hue, times chroma / 2.
 * Written by make_names.sh from tests/data/iscc_nbs_centroids.csv. */
#include "colour/tables/names_table.h"

const fh_name_centre fh_name_centres[FH_NAME_COUNT] = {
HEAD
awk -F, '
    BEGIN {
        darker[24] = "9.38, 4.87, 0.79"
        darker[65] = "8.31, 2.81, 4.22"
        darker[114] = "9.38, -0.98, 4.45"
        darker[157] = "9.38, -2.75, 0.48"
    }
    /^#/ { next }
    !head { head = 1; next }
    {
        sub(/\r$/, "")
        lab = $7 == "" ? darker[$1] : $7 ", " $8 ", " $9
        printf "    {%d, \"%s\", {%s}},\n", $1, $2, lab
    }' tests/data/iscc_nbs_centroids.csv
printf '};\n'
