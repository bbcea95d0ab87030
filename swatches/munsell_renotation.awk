# Makes swatches/munsell_renotation.txt from the figures of the Munsell renotation:
#
#   LC_ALL=C awk -f swatches/munsell_renotation.awk ../shared/reference/munsell_renotation_real.csv
#
# Input: hue,value,chroma,x,y,Y for illuminant C, 2 degrees, Y relative to smoked magnesium oxide;
# 0.975 brings it to the perfect diffuser (S. M. Newhall, D. Nickerson, D. B. Judd, J. Opt. Soc.
# Am. 33 (1943) 385-418). The deviations are those of 647 measured matt chips (J. Parkkinen, J.
# Hallikainen, T. Jaaskelainen, J. Opt. Soc. Am. A 6 (1989) 318-322) from these figures, root mean
# square, of which 2.7 in L* is their being darker throughout.

BEGIN { FS = ","; rows = 0 }
/^#/ || $1 == "hue" { next }
{
    Y = 0.975 * $6
    id[rows] = $1 " " $2 "/" $3
    value[rows++] = sprintf("%.4f\t%.4f\t%.4f", $4 / $5 * Y, Y, (1 - $4 - $5) / $5 * Y)
}
END {
    print "CGATS.17"
    print "ORIGINATOR \"farhue\""
    print "DESCRIPTOR \"Munsell renotation, real colours, 1943: nominal, real chips differ\""
    print "WEIGHTING_FUNCTION \"ILLUMINANT, C\""
    print "WEIGHTING_FUNCTION \"OBSERVER, 2 degree\""
    print "KEYWORD \"STDEV_L\""
    print "STDEV_L 3.0"
    print "KEYWORD \"STDEV_A\""
    print "STDEV_A 2.5"
    print "KEYWORD \"STDEV_B\""
    print "STDEV_B 2.8"
    print "NUMBER_OF_FIELDS 4"
    print "BEGIN_DATA_FORMAT"
    print "SAMPLE_ID\tXYZ_X\tXYZ_Y\tXYZ_Z"
    print "END_DATA_FORMAT"
    print "NUMBER_OF_SETS " rows
    print "BEGIN_DATA"
    for (i = 0; i < rows; i++) print "\"" id[i] "\"\t" value[i]
    print "END_DATA"
}
