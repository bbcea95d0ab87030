#include "comma.h"

#include "check.h"

#include <locale.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static char folder[64]; /* empty: none was built */

static bool set_existing(void)
{
    static const char *const names[] = {"de_DE.UTF-8", "de_DE.utf8", "fr_FR.UTF-8", "pl_PL.UTF-8"};
    for (size_t i = 0; i < sizeof names / sizeof *names; i++)
        if (setlocale(LC_ALL, names[i])) return true;
    return false;
}

static bool set_built(void)
{
    char command[200];
    strcpy(folder, "/tmp/farhue-locale-XXXXXX");
    if (!mkdtemp(folder)) {
        folder[0] = '\0';
        return false;
    }
    snprintf(command, sizeof command, "localedef -i de_DE -f UTF-8 %s/de_DE.UTF-8 2>/dev/null",
             folder);
    return system(command) == 0 && setenv("LOCPATH", folder, 1) == 0 &&
           setlocale(LC_ALL, "de_DE.UTF-8");
}

void comma_locale_begin(void)
{
    if (!set_existing() && !set_built()) {
        comma_locale_end();
        print_message("# skipped: no locale with a decimal comma here, and localedef failed\n");
        skip();
    }
    char half[16];
    snprintf(half, sizeof half, "%.1f", 0.5);
    assert_string_equal(half, "0,5"); /* it is really in force */
}

void comma_locale_end(void)
{
    char command[80];
    setlocale(LC_ALL, "C");
    if (folder[0] == '\0') return;
    snprintf(command, sizeof command, "rm -rf %s", folder);
    if (system(command) != 0) print_message("# %s was left behind\n", folder);
    folder[0] = '\0';
}
