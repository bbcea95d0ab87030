#!/bin/sh
# Writes pots.txt: an invented shelf of eight pots, as someone with a spectrophotometer would have
# measured it. Run from the top of the tree:
#   sh demo/pots.sh > swatches/pots.txt
# Running it again must leave the tree unchanged. Two-flux theory and Saunderson's correction for
# 45/0 and n = 1.5, rounded to a tenth of a percent.
set -eu
awk '
function bell(nm, at, width) { return exp(-((nm - at) / width) ^ 2) }
function edge(nm, at, width) { return 1 / (1 + exp((nm - at) / width)) }
function K(p, nm) {
    if (p == "white")  return 0.004 + 0.9 * edge(nm, 398, 7)
    if (p == "black")  return 7.5 - 0.003 * (nm - 380)
    if (p == "yellow") return 0.02 + 3.2 * edge(nm, 498, 9)
    if (p == "ochre")  return 0.22 + 2.4 * edge(nm, 535, 22) + 0.25 * bell(nm, 650, 45)
    if (p == "red")    return 0.05 + 4.5 * edge(nm, 588, 10) + 0.8 * bell(nm, 520, 30)
    if (p == "blue")   return 0.10 + 6.0 * bell(nm, 600, 52) + 1.2 * edge(nm, 400, 10)
    if (p == "green")  return 0.15 + 5.5 * bell(nm, 650, 60) + 3.6 * edge(nm, 462, 16)
    return 0.9 + 3.4 * edge(nm, 560, 55)
}
function S(p, nm) {
    if (p == "white")  return 1.05 - 0.0003 * (nm - 380)
    if (p == "black")  return 0.10
    if (p == "yellow") return 0.52 * (1 - edge(nm, 490, 14)) + 0.16
    if (p == "ochre")  return 0.36 + 0.12 * (1 - edge(nm, 560, 25))
    if (p == "red")    return 0.14 + 0.26 * (1 - edge(nm, 600, 14))
    if (p == "blue")   return 0.12 + 0.05 * bell(nm, 460, 40)
    if (p == "green")  return 0.10 + 0.06 * bell(nm, 530, 40)
    return 0.20 + 0.06 * (1 - edge(nm, 600, 40))
}
function seen(k, s,    q, r) {
    q = k / s
    r = 1 / (1 + q + sqrt(q * (q + 2)))
    return 0.94975 * 0.42667 * r / (1 - 0.59625 * r)
}
function row(id, a, pa, b, pb,    nm, t) {
    printf "%-12s %-7s %5.1f %-7s %5s", id, a, pa, b == "" ? "\"\"" : b, b == "" ? "\"\"" : pb
    t = pa + pb
    for (nm = 380; nm <= 730; nm += 10)
        printf " %.1f", 100 * seen((pa * K(a, nm) + pb * K(b, nm)) / t, (pa * S(a, nm) + pb * S(b, nm)) / t)
    printf "\n"
}
BEGIN {
    n = split("white black yellow ochre red blue green umber", p, " ")
    split("1.42 1.15 1.10 1.30 1.12 1.14 1.11 1.27", density, " ")
    print "CGATS.17"
    print "DESCRIPTOR \"Eight pots of invented acrylic paint: masstones, and tints with white\""
    print "ORIGINATOR \"invented\""
    print "MEASUREMENT_GEOMETRY \"45/0\""
    print "KEYWORD \"SPECTRAL_UNIT\""
    print "SPECTRAL_UNIT \"percent\""
    print "KEYWORD \"PAINT_INDEX\""
    print "PAINT_INDEX 1.5"
    print "BEGIN_DATA_FORMAT"
    printf "SAMPLE_ID PAINT_1 PARTS_1 PAINT_2 PARTS_2"
    for (nm = 380; nm <= 730; nm += 10) printf " SPECTRAL_NM%d", nm
    print "\nEND_DATA_FORMAT\nBEGIN_DATA"
    row("white", "white", 100, "", 0)
    for (i = 2; i <= n; i++) {
        row(p[i], p[i], 100, "", 0)
        row(p[i] "-30", p[i], 30, "white", 70)
        row(p[i] "-5", p[i], 5, "white", 95)
    }
    print "END_DATA\n\nBEGIN_DATA_FORMAT\nPAINT DENSITY_G_ML DROP_ML\nEND_DATA_FORMAT\nBEGIN_DATA"
    for (i = 1; i <= n; i++) printf "%-7s %s 0.05\n", p[i], density[i]
    print "END_DATA"
}'
