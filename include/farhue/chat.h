/* One paragraph to paste into a chat: what the helper measured and what it came to. */
#ifndef FARHUE_CHAT_H
#define FARHUE_CHAT_H

#include "farhue/spec.h"

#ifdef __cplusplus
extern "C" {
#endif

enum { FH_CHAT = 1400 };

/* The reply in words: which spec it answers, the coupon's figures, how it looks, the verdict and
 * what would settle an open one. helper may be NULL or empty. A spec without a check code stands
 * for a spoken code: there is then no file to speak of. Plain text without line breaks. */
FH_API void fh_chat_of_reply(const fh_spec *spec, const fh_reading *coupon,
                             const fh_verdict *verdict, const char *helper, char out[FH_CHAT]);

#ifdef __cplusplus
}
#endif
#endif
