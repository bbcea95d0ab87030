#!/bin/sh
# Writes cie_tables.c from the CSV files in tests/data. Run from the top of the tree:
#   sh src/colour/tables/make_cie.sh > src/colour/tables/cie_tables.c
# Running it again must leave the tree unchanged.
set -eu
cmf=tests/data/cie_cmf_5nm.csv
power=tests/data/cie_illuminants_5nm.csv

column() { # FILE COLUMN: its values at 380-780 nm, eight a line
    awk -F, -v name="$2" '
        /^#/ { next }
        !head { for (i = 1; i <= NF; ++i) if ($i == name) c = i; head = 1; next }
        $1 >= 380 && $1 <= 780 { printf "%s%s,", n % 8 ? " " : (n ? "\n     " : ""), $c; ++n }
        END { if (!c || n != 81) exit 1 }' "$1" | tr -d '\r' | awk '{ sub(/,$/, ",") } 1'
}

cat <<'HEAD'
/* Colour-matching functions and illuminants of the CIE, 380–780 nm by 5 nm.
 *
 * Source: CIE 15:2018 and ISO/CIE 11664-1, 11664-2 [CIE15], figures of the standards, not of a
 * package's copy. CMF as printed; A and D illuminants are 100 at 560 nm, F and LED as printed.
 * Written by make_cie.sh from tests/data/cie_cmf_5nm.csv and cie_illuminants_5nm.csv. */
#include "colour/tables/cie_tables.h"

HEAD
printf 'const double fh_cie_cmf[FH_OBSERVER_COUNT][3][FH_POWER_COUNT] = {\n'
for observer in 2 10; do
    printf '    {'
    for axis in x y z; do printf '{%s},\n     ' "$(column $cmf $axis$observer)"; done
    printf '},\n'
done
printf '};\n\nconst double fh_cie_power[FH_ILLUMINANT_COUNT][FH_POWER_COUNT] = {\n'
for light in A C D50 D55 D65 D75 F2 F7 F11 LED-B1 LED-B3; do
    printf '    /* %s */\n    {%s},\n' "$light" "$(column $power $light)"
done
printf '};\n'
