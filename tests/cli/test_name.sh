#!/bin/bash
# farhue name: names of the ISCC-NBS system.
. "$(dirname "$0")/lib.sh"

# Centre of block 26 for C/2: L* 75.70, a* 34.33, b* 28.16 (tests/data/iscc_nbs_centroids.csv).
start "a centre has its own name"
run name lab:75.70,34.33,28.16@C/2 --json
exits 0
says '"name": "strong yellowish pink"'
near "$(number dE00)" 0 0.000001 dE00
quiet

# Centre of block 152 for C/2, darker than that of black (tests/data/iscc_nbs_centroids.csv).
start "so has one that is darker than black's"
run name lab:11.41,-5.64,0.61@C/2 --json
exits 0
near "$(number dE00)" 0 0.000001 dE00
says 'darker than the centre of black'

start "another condition is estimated, and that is said"
run name srgb:808080
exits 0
says 'is medium gray\.'
says 'C/2'
warns 'estimated from its Lab for D65/2'
run name srgb:808080 --json
exits 0
says 'estimated from its Lab'

start "count"
run name lab:50,10,10 --count 7 --json
exits 0
says '"block"'
run name lab:50,10,10 --count 0
exits 2
run name
exits 2

start "a colour that no surface can have"
run name lab:50,150,0
exits 3
warns 'no reflectance can have the colour L\* 50'
silent
finish
