/* Small questions about a quote. */
#include "model/quote.h"
#include "base/arena.h"
#include "base/sentence.h"
#include "base/str.h"

const struct quote_lasting *quote_weakest(const struct quote *quote, bool lying)
{
    const struct quote_lasting *weakest = NULL;
    for (size_t i = 0; i < quote->lasting_count; i++) {
        const struct quote_lasting *one = &quote->lasting[i];
        if (one->lying != lying || !measure_known(one->years)) continue;
        if (!weakest || one->years.value < weakest->years.value) weakest = one;
    }
    return weakest;
}

const char *quote_quantity(int64_t hundredths, struct arena *arena)
{
    return money_decimal(hundredths, 2, arena);
}

const char *quote_quantity_words(int64_t hundredths, const char *unit, struct arena *arena)
{
    static const char *const counted[][2] = {
        {"job", "quote-unit-job"}, {"part", "quote-unit-part"}, {"vehicle", "quote-unit-vehicle"}};
    for (size_t i = 0; hundredths % 100 == 0 && i < sizeof counted / sizeof *counted; i++)
        if (string_equal(unit, counted[i][0]))
            return sentence_words(arena, counted[i][1], ARGUMENTS(arg_count("count", hundredths / 100)));
    return arena_format(arena, "%s %s", quote_quantity(hundredths, arena), unit);
}

const char *quote_valid_words(const struct quote *quote, struct arena *arena)
{
    struct civil_date day = quote->valid_until;
    struct civil_time noon = {
        .given = true, .year = day.year, .month = day.month, .day = day.day, .hour = 12};
    return zone_day(quote->zone, zone_utc(quote->zone, &noon), arena);
}
