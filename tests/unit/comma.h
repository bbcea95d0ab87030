/* A locale whose decimal separator is a comma, really set in the process. */
#ifndef FARHUE_TESTS_COMMA_H
#define FARHUE_TESTS_COMMA_H

/* Sets one: the machine's, else one that localedef builds in a folder of its own. Where neither is
   possible the running test is skipped, saying so. End with comma_locale_end. */
void comma_locale_begin(void);

/* Back to the C locale; a folder that was built is removed. */
void comma_locale_end(void);

#endif
