/* What the parts of the film share. */
#ifndef FARHUE_OPTICS_FILM_WORK_H
#define FARHUE_OPTICS_FILM_WORK_H

#include "farhue/film.h"

/* The look in one band for a given K and S. */
double fh_film_band(const fh_film *film, double K, double S, double amount, double backing);

/* A film without K and S for readings taken in a certain way. */
fh_status fh_film_of(fh_film_kind kind, double index, const fh_method *method, fh_film *out);

#endif
