#!/bin/sh
# Writes chart24_tables.c from the CSV files in tests/data. Run from the top of the tree:
#   sh src/photo/tables/make_chart24.sh > src/photo/tables/chart24_tables.c
# Running it again must leave the tree unchanged.
set -eu
published=tests/data/chart24_published.csv
spectra=tests/data/chart24_spectra_average30_10nm.csv

cat <<'HEAD'
/* Published colours of the common 24-patch camera chart, row by row (4 rows of 6).
 *
 * Lab, D50/2: first (0) and second (1) edition of the chart, published figures. Reflectance:
 * average of 30 charts measured by their users, published by D. Pascale (2006, revised 2012).
 * The editions differ by 0.85 ΔE00 on average, 1.95 at most; the average's own Lab differs from the
 * first edition by 0.49 on average, 1.15 at most.
 * Written by make_chart24.sh from tests/data/chart24_published.csv and
 * chart24_spectra_average30_10nm.csv. */
#include "photo/tables/chart24_tables.h"

HEAD
echo 'const char *const fh_chart24_name[24] = {'
awk -F, '/^#/ { next } !head { head = 1; next } { printf "    \"%s\",\n", $2 }' "$published"
echo '};'
echo
echo 'const double fh_chart24_lab[2][24][3] = {'
awk -F, '/^#/ { next }
    !head { for (i = 1; i <= NF; ++i) at[$i] = i; head = 1; next }
    { pre = pre sprintf("     {%s, %s, %s},\n", $at["Lpre"], $at["apre"], $at["bpre"])
      post = post sprintf("     {%s, %s, %s},\n", $at["Lpost"], $at["apost"], $at["bpost"]) }
    END { printf "    {\n%s    },\n    {\n%s    },\n", pre, post }' "$published"
echo '};'
echo
echo 'const double fh_chart24_reflectance[24][FH_BANDS] = {'
awk -F, '/^#/ { next } !head { head = 1; next }
    { for (i = 2; i <= NF; ++i) v[i - 1, n + 0] = $i; ++n }
    END { for (p = 1; p <= 24; ++p) {
              printf "    {"
              for (b = 0; b < n; ++b) printf "%s%s,", b % 9 ? " " : (b ? "\n     " : ""), v[p, b]
              print "},"
          } if (n != 36) exit 1 }' "$spectra" | tr -d '\r'
echo '};'
