/* Days of the Gregorian calendar by their number: years begin in March, so that the leap day is
 * the last, and 400 years have 146 097 days. */
#include "farhue/moment.h"

#include "base/text.h"

enum { DAYS_400_YEARS = 146097, DAYS_TO_1970 = 719468 }; /* from 1 March of year 0 */

static long long days_of(long year, long month, long day)
{
    long y = month <= 2 ? year - 1 : year;
    long era = y / 400, in_era = y - era * 400;
    long from_march = (month + 9) % 12;
    long of_year = (153 * from_march + 2) / 5 + day - 1;
    long of_era = in_era * 365 + in_era / 4 - in_era / 100 + of_year;
    return (long long)era * DAYS_400_YEARS + of_era - DAYS_TO_1970;
}

static void date_of(long long days, long *year, long *month, long *day)
{
    long long shifted = days + DAYS_TO_1970;
    long era = (long)(shifted / DAYS_400_YEARS);
    long of_era = (long)(shifted - (long long)era * DAYS_400_YEARS);
    long in_era = (of_era - of_era / 1460 + of_era / 36524 - of_era / 146096) / 365;
    long of_year = of_era - (365 * in_era + in_era / 4 - in_era / 100);
    long from_march = (5 * of_year + 2) / 153;
    *day = of_year - (153 * from_march + 2) / 5 + 1;
    *month = from_march < 10 ? from_march + 3 : from_march - 9;
    *year = in_era + era * 400 + (*month <= 2);
}

/* Exactly n digits at text + at. */
static bool digits(fh_slice text, size_t at, size_t n, long *out)
{
    if (at + n > text.length || text.start[at] == '+' || text.start[at] == '-') return false;
    return fh_parse_integer((fh_slice){text.start + at, n}, out);
}

static bool parse_date(fh_slice text, long long *days)
{
    long year, month, day, y, m, d;
    if (text.length < 10 || text.start[4] != '-' || text.start[7] != '-') return false;
    if (!digits(text, 0, 4, &year) || !digits(text, 5, 2, &month) || !digits(text, 8, 2, &day))
        return false;
    if (year < 1970 || month < 1 || month > 12 || day < 1 || day > 31) return false;
    *days = days_of(year, month, day);
    date_of(*days, &y, &m, &d); /* 31 April is no day */
    return y == year && m == month && d == day;
}

fh_status fh_moment_parse(const char *text, fh_moment *out, bool *day_only)
{
    fh_slice all = fh_slice_of(text);
    long long days;
    long hour = 0, minute = 0;
    if (!parse_date(all, &days)) return FH_E_DATA;
    if (all.length > 10) {
        bool separated = all.length == 16 && (all.start[10] == 'T' || all.start[10] == ' ') &&
                         all.start[13] == ':';
        if (!separated || !digits(all, 11, 2, &hour) || !digits(all, 14, 2, &minute) || hour > 23 ||
            minute > 59)
            return FH_E_DATA;
    }
    if (day_only) *day_only = all.length == 10;
    *out = days * FH_DAY + hour * FH_HOUR + minute;
    return FH_OK;
}

static long long day_of(fh_moment moment)
{
    long long day = moment / FH_DAY;
    return day * FH_DAY > moment ? day - 1 : day;
}

long fh_moment_of_day(fh_moment moment)
{
    return (long)(moment - day_of(moment) * FH_DAY);
}

void fh_moment_text(fh_moment moment, char out[FH_MOMENT_TEXT])
{
    long year, month, day, minutes = fh_moment_of_day(moment);
    date_of(day_of(moment), &year, &month, &day);
    fh_format(out, FH_MOMENT_TEXT, "%04ld-%02ld-%02ldT%02ld:%02ld", year, month, day,
              minutes / FH_HOUR, minutes % FH_HOUR);
}

void fh_moment_words(fh_moment moment, char out[FH_MOMENT_TEXT])
{
    static const char *const weekdays[7] = {"Thu", "Fri", "Sat", "Sun", "Mon", "Tue", "Wed"};
    static const char *const months[12] = {"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                                           "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};
    long year, month, day, minutes = fh_moment_of_day(moment);
    long long days = day_of(moment), weekday = days % 7;
    date_of(days, &year, &month, &day);
    fh_format(out, FH_MOMENT_TEXT, "%s %ld %s %02ld:%02ld",
              weekdays[weekday < 0 ? weekday + 7 : weekday], day, months[month - 1],
              minutes / FH_HOUR, minutes % FH_HOUR);
}
