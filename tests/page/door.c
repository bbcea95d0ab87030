/* The page's door, built natively: what a browser cannot reach well. A job by requests alone, calls
 * that fail leave it alone, undo and redo over their limits, and requests that are noise.
 * Prints TAP; run by `make page-test`, also under the sanitizers (config=sanitize). */
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "base/random.h"
#include "page/door.h"

static int tests, failed;

bool page_progress(void *user, double done)
{
    (void)user;
    return done <= 1;
}

static void result(bool fine, const char *what)
{
    failed += !fine;
    printf("%s %d - %s\n", fine ? "ok" : "not ok", ++tests, what);
}

static page_desk desk;

/* The reply; the caller frees it. */
static fh_buffer ask_with(const char *lines, const void *body, size_t length)
{
    page_request request = {{lines, strlen(lines)}, {body, length}};
    return page_answer(&desk, &request);
}

static bool replies(const char *lines, const char *piece)
{
    fh_buffer reply = ask_with(lines, "", 0);
    bool there = reply.text && strstr(reply.text, piece);
    if (!there) printf("# %s -> %.300s\n", lines, reply.text ? reply.text : "nothing");
    fh_buffer_free(&reply);
    return there;
}

/* The whole job as text. */
static fh_buffer job_text(void)
{
    return ask_with("do=job-write\ncreated=2031-01-02\n", "", 0);
}

static const char add_part[] = "do=add\ntray=part\nname=front\nL=71,2\na=3.1\nb=14.8\n"
                               "condition=D65/10\ndevice=meter\nwho=owner\n";

static void a_job_by_requests(void)
{
    bool fine = replies(add_part, "\"ok\":true");
    fine = replies("do=desk\n", "\"lab\":[71.2,3.1,14.8]") && fine;
    fine = replies("do=tolerance\n", "Any bare difference below") && fine;
    fine = replies("do=spec\ncreated=2031-01-02\n", "<!DOCTYPE html>") == false && fine;
    fine = replies("do=spec\ncreated=2031-01-02\n", "\\u003c!DOCTYPE html>") && fine;
    fine = replies("do=no-such-call\n", "\"ok\":false") && fine;
    /* A seller's hex value stays what nothing measured, in a file as well. */
    fine = replies("do=add\ntray=shelf\nid=oat\nhex=#b0a080\ndevice=seller\nname=oat\n",
                   "\"ok\":true") &&
           fine;
    fine = replies("do=readings-write\ntray=shelf\n", "BASIS \\u0022screen") && fine;
    result(fine, "a job by requests; markup is never raw in a reply");
}

static void failures_leave_the_job_alone(void)
{
    static const char *const bad[] = {
        "do=add\ntray=part\nL=150\na=0\nb=0\ncondition=D65/10\ndevice=meter\n",
        "do=add\ntray=part\nL=x\na=0\nb=0\ncondition=D65/10\ndevice=meter\n",
        "do=add\ntray=nowhere\nL=50\na=0\nb=0\ncondition=D65/10\ndevice=meter\n",
        "do=add\ntray=part\nL=50\na=0\nb=0\ncondition=D65/10\ndevice=spoon\n",
        "do=add\ntray=part\nL=50\na=0\nb=0\ncondition=moonlight\ndevice=meter\n",
        "do=add\ntray=part\ncurve=1 2 three\ndevice=spectro\n",
        "do=add\ntray=part\nhex=12345g\ndevice=seller\n",
        "do=remove\ntray=part\nindex=99\n",
        "do=set\nkey=tolerance\nvalue=0\n",
        "do=add\ntray=part\nname=two\\nlines\nL=50\na=0\nb=0\ncondition=D65/10\ndevice=meter\n",
        "do=add\ntray=part\nid=\xc2\x9b\nL=50\na=0\nb=0\ncondition=D65/10\ndevice=meter\n",
        "do=photo-open\nname=\x1b.png\nwidth=9\nheight=5\n",
        "do=set\nkey=tolerance\nvalue=much\n",
        "do=set\nkey=shell_mm\nvalue=-1\n",
        "do=set\nkey=gap_mm\nvalue=1001\n",
        "do=set\nkey=gap_mm\nvalue=nan\n",
        "do=set\nkey=role\nvalue=guest\n",
        "do=set\nkey=title\nvalue=two\\nlines\n",
        "do=set\nkey=title\nvalue=\x1b[31mred\n",
        "do=set\nkey=owner\nvalue=\xe2\x80\xaeturned\n",
        "do=set\nkey=colour\nvalue=pink\n",
        "do=light\nkey=D99\nvalue=1\n",
        "do=code-read\ncode=19FM-VZYZ-1A2B\n",
        "do=job-read\n",
        "do=spec-read\n",
        "do=reply-read\n",
        "do=load\ntray=shelf\n",
        "do=photo-spot\ncx=1\ncy=1\nradius=1\n",
        "do=photo-patch\nindex=4000000000\nx=0\ny=0\nw=4000000000\nh=4000000000\n",
        "do=photo-open\nwidth=0\nheight=5\n",
        "do=paints-load\n",
        "do=paints\n",
        "do=recipes\n",
        "do=batch\n",
        "do=batch-add\nvalue=white=1ml\n",
        "do=set\nkey=paint_batch\nvalue=more than is kept of a quantity\n",
    };
    fh_buffer before = job_text();
    bool fine = before.text != NULL;
    for (size_t i = 0; i < sizeof bad / sizeof *bad; i++)
        fine = replies(bad[i], "\"ok\":false") && fine;
    fh_buffer after = job_text();
    result(fine && after.text && strcmp(before.text, after.text) == 0,
           "what fails leaves the job alone");
    fh_buffer_free(&before);
    fh_buffer_free(&after);
}

/* A request that sets a text of `count` times `piece`. */
static const char *set_request(char out[1024], const char *key, const char *piece, size_t count)
{
    size_t used = fh_format(out, 1024, "do=set\nkey=%s\nvalue=", key);
    while (count--) used += fh_format(out + used, 1024 - used, "%s", piece);
    fh_format(out + used, 1024 - used, "\n");
    return out;
}

/* A text is kept whole or refused, in bytes: 95, but 63 for the id of a spot (desk.h). */
static void texts_are_never_cut(void)
{
    static const struct {
        const char *key, *piece, *found;
        size_t fits;
    } cases[] = {
        {"title", "x", "96 characters, which take 96 bytes; expected at most 95", 95},
        {"owner", "\xc3\xa9", "48 characters, which take 96 bytes; expected at most 95", 47},
        {"helper", "\xe8\x89\xb2", "32 characters, which take 96 bytes; expected", 31},
        {"kit", "x", "expected at most 95 bytes", 95},
        {"match", "x", "64 characters, which take 64 bytes; expected at most 63", 63}};
    char request[1024], kept[1024];
    bool fine = true;
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const char *piece = cases[i].piece;
        fine = replies(set_request(request, cases[i].key, piece, cases[i].fits), "\"ok\":true") &&
               fine;
        fine =
            replies(set_request(request, cases[i].key, piece, cases[i].fits + 1), cases[i].found) &&
            fine;
        size_t length = fh_format(kept, sizeof kept, "\"%s\":\"", cases[i].key);
        for (size_t k = 0; k < cases[i].fits; k++)
            length += fh_format(kept + length, sizeof kept - length, "%s", piece);
        fh_format(kept + length, sizeof kept - length, "\"");
        fine = replies("do=desk\n", kept) && fine;
    }
    size_t used = fh_format(request, sizeof request,
                            "do=add\ntray=part\nL=50\na=0\nb=0\ncondition=D65/10\ndevice=meter\n"
                            "name=");
    for (size_t k = 0; k < 32; k++)
        used += fh_format(request + used, sizeof request - used, "\xe8\x89\xb2");
    fine = replies(request, "The name has 32 characters, which take 96 bytes; expected") && fine;
    fine = replies("do=set\nkey=title\nvalue=\n", "\"ok\":true") && fine;
    fine = replies("do=desk\n", "\"title\":\"\"") && fine;
    result(fine, "a text setting is kept whole or refused");
}

/* A job file's settings, of which one is given. */
static bool job_replies(const char *key, const char *value, const char *piece)
{
    char text[1024];
    size_t length = fh_format(text, sizeof text,
                              "CGATS.17\nKEYWORD \"JOB\"\nJOB \"page\"\nKEYWORD \"FARHUE_FILE\"\n"
                              "FARHUE_FILE \"page\"\nBEGIN_DATA_FORMAT\nSETTING VALUE\n"
                              "END_DATA_FORMAT\nBEGIN_DATA\n%s \"%s\"\nEND_DATA\n",
                              key, value);
    fh_buffer reply = ask_with("do=job-read\n", text, length);
    bool there = reply.text && strstr(reply.text, piece);
    if (!there) printf("# %s %s -> %.300s\n", key, value, reply.text ? reply.text : "nothing");
    fh_buffer_free(&reply);
    return there;
}

/* What a job file holds is held to the same limits. */
static void settings_of_a_job_file(void)
{
    char longest[97];
    memset(longest, 'x', 96);
    longest[96] = '\0';
    bool fine = job_replies("shell_mm", "2.5", "\"ok\":true");
    fine = replies("do=desk\n", "\"shell_mm\":2.5") && fine;
    fh_buffer before = job_text();
    fine = job_replies("title", longest, "96 bytes; expected at most 95 bytes") && fine;
    fine = job_replies("match", longest, "expected at most 63 bytes") && fine;
    fine = job_replies("role", "guest", "is no role; expected owner or helper") && fine;
    fine = job_replies("shell_mm", "-0.5", "in millimetres, 0 to 1000") && fine;
    fine = job_replies("gap_mm", "1000.5", "in millimetres, 0 to 1000") && fine;
    fine = job_replies("gap_mm", "nan", "\"ok\":false") && fine;
    fine = job_replies("gap_mm", "1e999", "\"ok\":false") && fine;
    fine = job_replies("tolerance", "0", "above 0, at most 50") && fine;
    fine = job_replies("tolerance", "51", "\"line\":") && fine;
    fh_buffer after = job_text();
    fine = fine && before.text && after.text && strcmp(before.text, after.text) == 0;
    fine = job_replies("gap_mm", "1000", "\"ok\":true") && fine;
    result(fine, "the settings of a job file are held to the page's limits");
    fh_buffer_free(&before);
    fh_buffer_free(&after);
}

/* White and a red with a tint, invented. */
static const char pots[] = "SAMPLE_ID,PAINT_1,PARTS_1,PAINT_2,PARTS_2,LAB_L,LAB_A,LAB_B,CONDITION\n"
                           "w,white,1,,,95,0,2,D65/10\nr,red,1,,,40,50,30,D65/10\n"
                           "r-20,red,20,white,80,68,30,12,D65/10\n";

static bool takes(const char *lines, const char *body, const char *piece)
{
    fh_buffer reply = ask_with(lines, body, strlen(body));
    bool there = reply.text && strstr(reply.text, piece);
    if (!there) printf("# %s -> %.300s\n", lines, reply.text ? reply.text : "nothing");
    fh_buffer_free(&reply);
    return there;
}

static const char add_out[] = "do=add\ntray=painted\nname=paint-out\nL=66\na=28\nb=14\n"
                              "condition=D65/10\ndevice=meter\nwho=helper\n";

/* Pots, recipes and a batch; what can't be told of a recipe leaves the recipe; a batch that lacks a
 * paint-out has no advice. */
static void painting(void)
{
    bool fine = replies(add_part, "\"ok\":true");
    fine = takes("do=paints-load\n", pots, "\"added\":2") && fine;
    fine = replies("do=desk\n", "\"pots\":0") == false && fine;
    fine = replies("do=paints\n", "\"coats\":3") && fine;
    fine = replies("do=set\nkey=paint_batch\nvalue=20ml\n", "\"ok\":true") && fine;
    fine = replies("do=recipes\n", "\"batch\":{") && fine;
    fine = replies("do=set\nkey=paint_batch\nvalue=20g\n", "\"ok\":true") && fine;
    fine = replies("do=recipes\n", "\"batch_note\":") && fine;
    fine = replies("do=recipes\n", "\"parts\":[{\"id\":") && fine;
    fine = replies("do=set\nkey=paint_coat\nvalue=0,5\n", "\"ok\":true") && fine;
    fine = replies("do=recipes\n", "\"coats_note\":\"The coats of ") && fine;
    fine = replies("do=batch-add\nvalue=white=8ml, red=2\n", "\"ok\":true") && fine;
    fine = replies("do=batch\n", "expected one dry paint-out read after each") && fine;
    fine = replies(add_out, "\"ok\":true") && fine;
    fine = replies("do=batch\n", "\"learned\":[{\"id\":\"white\"") && fine;
    fine = replies("do=batch-add\nvalue=white=0.5\n", "\"ok\":true") && fine;
    fine = replies("do=batch\n", "put in 2 times, paint-outs: 1;") && fine;
    for (int i = 2; i < FH_BATCH_STEPS; i++)
        fine = replies("do=batch-add\nvalue=white=0.5\n", "\"ok\":true") && fine;
    fine = replies("do=batch-add\nvalue=white=0.5\n", "begin a new one") && fine;
    fh_buffer job = job_text();
    fine = job.text && strstr(job.text, "JOB \\u0022paints\\u0022") && fine;
    fh_buffer_free(&job);
    fine = takes("do=paints-load\n", pots, "\"added\":2") && fine; /* other pots: no batch */
    fine = replies("do=batch\n", "put in 0 times, paint-outs: 0;") && fine;
    fine = replies("do=undo\n", "\"ok\":true") && replies("do=batch\n", "put in 8 times") && fine;
    fine = replies("do=batch-clear\n", "\"ok\":true") && fine;
    result(fine, "pots, recipes, and a batch that is followed");
}

static void undo_over_its_limits(void)
{
    bool fine = true;
    for (int i = 0; i < 3 * DESK_UNDO; i++) fine = replies(add_part, "\"ok\":true") && fine;
    int undone = 0, redone = 0;
    while (undone < 1000 && replies("do=undo\n", "\"ok\":true")) undone++;
    while (redone < 1000 && replies("do=redo\n", "\"ok\":true")) redone++;
    fine = fine && undone == DESK_UNDO && redone == DESK_UNDO;
    fine = replies("do=undo\n", "\"ok\":true") && replies(add_part, "\"ok\":true") && fine;
    fine = replies("do=redo\n", "\"ok\":false") && fine; /* a new change ends the future */
    result(fine, "undo and redo over their limits");
}

/* Requests that nobody would make: words of real ones, cut, mixed and spoilt. */
static void noise(void)
{
    static const char *const words[] = {"do=",         "add",
                                        "remove",      "desk",
                                        "set",         "light",
                                        "undo",        "redo",
                                        "load",        "job-read",
                                        "stage",       "rank",
                                        "check",       "tolerance",
                                        "code-read",   "photo-open",
                                        "photo-find",  "photo-corners",
                                        "photo-patch", "photo-calibrate",
                                        "photo-spot",  "photo-chip",
                                        "photo-keep",  "spec-read",
                                        "reply",       "tie",
                                        "preview",     "kind",
                                        "\n",          "tray=",
                                        "part",        "shelf",
                                        "coupon",      "chips",
                                        "index=",      "L=",
                                        "a=",          "b=",
                                        "1e308",       "-1",
                                        "0",           "nan",
                                        "50",          "99999999999999999999",
                                        "condition=",  "D65/10",
                                        "unsure",      "device=",
                                        "seller",      "meter",
                                        "hex=",        "ffffff",
                                        "curve=",      "400 0.1 410 0.2",
                                        "x=",          "y=",
                                        "w=",          "h=",
                                        "2",           "width=",
                                        "height=",     "scale=",
                                        "x0=",         "y0=",
                                        "\\",          "\\n",
                                        "\xff",        "id=",
                                        "name=",       "radius=",
                                        "cx=",         "cy=",
                                        "key=",        "value=",
                                        "=",           "\x01",
                                        "paints-load", "paints",
                                        "recipes",     "batch",
                                        "batch-add",   "batch-clear",
                                        "paint_least", "white=3ml"};
    static const char *const bodies[] = {
        "",
        "CGATS.17\nBEGIN_DATA_FORMAT\nSAMPLE_ID LAB_L LAB_A LAB_B\n"
        "END_DATA_FORMAT\nBEGIN_DATA\n1 50 0 0\nEND_DATA\n",
        "SAMPLE_ID,LAB_L,LAB_A,LAB_B\n1,50,0,0\n",
        "SAMPLE_ID,PAINT_1,PARTS_1,LAB_L,LAB_A,LAB_B,CONDITION\nw,white,1,95,0,2,D65/10\n",
        "\xff\xd8\xff",
        "0123456789abcdef"};
    enum { WORDS = sizeof words / sizeof *words, BODIES = sizeof bodies / sizeof *bodies };
    bool fine = true;
    for (uint64_t trial = 0; trial < 3000; trial++) {
        char lines[1024] = "do=";
        uint64_t count = fh_random_bits(1, 2, trial, 0) % 24;
        for (uint64_t i = 0; i < count; i++) {
            uint64_t pick = fh_random_bits(1, 2, trial, i + 1);
            strcat(lines, words[pick % WORDS]);
            if (pick >> 32 & 1) strcat(lines, "\n");
        }
        const char *body = bodies[fh_random_bits(1, 3, trial, 0) % BODIES];
        fh_buffer reply = ask_with(lines, body, strlen(body));
        fine = fine && reply.text && reply.text[0] == '{' && reply.text[reply.length - 1] == '}';
        fh_buffer_free(&reply);
    }
    result(fine, "3,000 requests of noise are answered");
}

int main(void)
{
    page_desk_new(&desk);
    a_job_by_requests();
    failures_leave_the_job_alone();
    texts_are_never_cut();
    settings_of_a_job_file();
    painting();
    undo_over_its_limits();
    noise();
    page_desk_free(&desk);
    printf("1..%d\n%d passed, %d failed\n", tests, tests - failed, failed);
    return failed ? 1 : 0;
}
