/* Writes the XMP packet of a panel file: title, description, moment. Called by cut.c and pdf.c. */
#include "xmp.h"
#include "base/arena.h"
#include "base/text.h"

/* Characters that XML 1.0 does not have are left out, markup is written as entities. */
static void add_escaped(struct text *out, const char *words)
{
    for (; *words; words++) {
        unsigned char c = (unsigned char)*words;
        if (c == '&')
            text_add(out, "&amp;");
        else if (c == '<')
            text_add(out, "&lt;");
        else if (c == '>')
            text_add(out, "&gt;");
        else if (c >= ' ')
            text_add_char(out, *words);
    }
}

/* A text in one language, as dc has titles and descriptions. */
static void add_in_default(struct text *out, const char *property, const char *words)
{
    text_addf(out, "<%s><rdf:Alt><rdf:li xml:lang=\"x-default\">", property);
    add_escaped(out, words);
    text_addf(out, "</rdf:li></rdf:Alt></%s>\n", property);
}

static void add_plain(struct text *out, const char *property, const char *words)
{
    text_addf(out, "<%s>", property);
    add_escaped(out, words);
    text_addf(out, "</%s>\n", property);
}

static const char *xmp_moment(int64_t at, struct arena *arena)
{
    struct zone utc = {.name = "UTC"};
    struct civil_time t = zone_local(&utc, at);
    return arena_format(arena, "%04d-%02d-%02dT%02d:%02d:%02dZ", t.year, t.month, t.day, t.hour, t.minute,
                        t.second);
}

const char *xmp_packet(const struct make_order *order, const char *title, const char *description,
                       struct arena *arena)
{
    struct text out = text_new(arena);
    text_add(&out,
             "<?xpacket begin=\"\xEF\xBB\xBF\" id=\"W5M0MpCehiHzreSzNTczkc9d\"?>\n"
             "<x:xmpmeta xmlns:x=\"adobe:ns:meta/\">\n"
             "<rdf:RDF xmlns:rdf=\"http://www.w3.org/1999/02/22-rdf-syntax-ns#\">\n"
             "<rdf:Description rdf:about=\"\" xmlns:dc=\"http://purl.org/dc/elements/1.1/\" "
             "xmlns:xmp=\"http://ns.adobe.com/xap/1.0/\" xmlns:xmpMM=\"http://ns.adobe.com/xap/1.0/mm/\" "
             "xmlns:pdf=\"http://ns.adobe.com/pdf/1.3/\">\n");
    add_in_default(&out, "dc:title", title);
    add_in_default(&out, "dc:description", description);
    add_plain(&out, "xmp:CreateDate", xmp_moment(order->date, arena));
    add_plain(&out, "xmp:ModifyDate", xmp_moment(order->date, arena));
    add_plain(&out, "pdf:Producer", "lapstrake");
    if (order->plan->fingerprint) add_plain(&out, "xmpMM:VersionID", order->plan->fingerprint);
    text_add(&out, "</rdf:Description>\n</rdf:RDF>\n</x:xmpmeta>\n<?xpacket end=\"r\"?>");
    return text_string(&out);
}
