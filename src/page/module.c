/* What the WebAssembly module exports. Memory moves when it grows: the page makes its views anew
 * after every call. */
#include "base/memory.h"
#include "page/door.h"

#define EXPORT(name) __attribute__((export_name(name)))

__attribute__((import_module("page"), import_name("progress"))) int page_host_progress(double done);

bool page_progress(void *user, double done)
{
    (void)user;
    return page_host_progress(done) != 0;
}

static page_desk desk;
static bool started;
static fh_buffer reply;

/* Room for a request or a body; 0 when there is none. */
EXPORT("room") void *page_room(size_t size);
void *page_room(size_t size)
{
    return fh_allocate(size, 1);
}

EXPORT("release") void page_release(void *block);
void page_release(void *block)
{
    fh_free(block);
}

/* Answer a request; the reply stays until the next one. */
EXPORT("answer")
const
    char *page_answer_text(const char *lines, size_t length, const char *body, size_t body_length);
const char *page_answer_text(const char *lines, size_t length, const char *body, size_t body_length)
{
    page_request request = {{lines, length}, {body, body_length}};
    if (!started) page_desk_new(&desk);
    started = true;
    fh_buffer_free(&reply);
    reply = page_answer(&desk, &request);
    return reply.text;
}

EXPORT("answer_length") size_t page_answer_length(void);
size_t page_answer_length(void)
{
    return reply.failed ? 0 : reply.length;
}
