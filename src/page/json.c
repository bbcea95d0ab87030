/* The JSON writer of the page's door [RFC8259]. */
#include <math.h>
#include <string.h>

#include "page/json.h"
#include "show/markup.h"

static void put_quoted(page_json *j, const char *text)
{
    fh_buffer_text(&j->buffer, "\"");
    size_t left = strlen(text);
    while (left) {
        size_t length = fh_utf8_length(text, left);
        unsigned char c = (unsigned char)*text;
        if (!length)
            fh_buffer_text(&j->buffer, "\\ufffd");
        else if (c < 0x20 || c == '"' || c == '\\' || c == '<' || c == 0x7F)
            fh_buffer_format(&j->buffer, "\\u%04x", (unsigned)c);
        else
            fh_buffer_add(&j->buffer, (fh_slice){text, length});
        if (!length) length = 1;
        text += length;
        left -= length;
    }
    fh_buffer_text(&j->buffer, "\"");
}

static void put_key(page_json *j, const char *key)
{
    if (j->comma) fh_buffer_text(&j->buffer, ",");
    j->comma = true;
    if (!key) return;
    put_quoted(j, key);
    fh_buffer_text(&j->buffer, ":");
}

void json_open(page_json *j, const char *key, char bracket)
{
    put_key(j, key);
    fh_buffer_add(&j->buffer, (fh_slice){&bracket, 1});
    j->comma = false;
}

void json_close(page_json *j, char bracket)
{
    fh_buffer_add(&j->buffer, (fh_slice){&bracket, 1});
    j->comma = true;
}

void json_text(page_json *j, const char *key, const char *value)
{
    put_key(j, key);
    put_quoted(j, value ? value : "");
}

void json_number(page_json *j, const char *key, double value)
{
    char text[32];
    put_key(j, key);
    fh_shortest_number(text, sizeof text, value);
    fh_buffer_text(&j->buffer, isfinite(value) ? text : "null");
}

void json_count(page_json *j, const char *key, size_t value)
{
    put_key(j, key);
    fh_buffer_format(&j->buffer, "%zu", value);
}

void json_bool(page_json *j, const char *key, bool value)
{
    put_key(j, key);
    fh_buffer_text(&j->buffer, value ? "true" : "false");
}

void json_lab(page_json *j, const char *key, fh_lab lab)
{
    json_open(j, key, '[');
    json_number(j, NULL, lab.L);
    json_number(j, NULL, lab.a);
    json_number(j, NULL, lab.b);
    json_close(j, ']');
}

void json_condition(page_json *j, const char *key, fh_condition condition)
{
    char text[FH_CONDITION_TEXT];
    fh_condition_text(condition, text);
    json_text(j, key, text);
}

void json_spectrum(page_json *j, const char *key, const fh_spectrum *spectrum)
{
    json_open(j, key, '[');
    for (size_t i = 0; i < FH_BANDS; i++) json_number(j, NULL, spectrum->v[i]);
    json_close(j, ']');
}

void json_screen(page_json *j, const char *key, fh_lab lab)
{
    char hex[FH_HEX];
    bool inside;
    fh_hex_of_lab(lab, hex, &inside);
    json_open(j, key, '{');
    json_text(j, "hex", hex);
    json_bool(j, "outside", !inside);
    json_close(j, '}');
}

void json_drawing(page_json *j, const char *key, fh_text *svg, fh_status status)
{
    json_text(j, key, status || !svg->bytes ? "" : svg->bytes);
    fh_text_free(svg);
}
