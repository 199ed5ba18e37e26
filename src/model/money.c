/* Exact arithmetic with money, and how it is written. */
#include "model/money.h"
#include "base/arena.h"
#include "base/text.h"
#include <assert.h>
#include <math.h>
#include <string.h>

enum { MICRO_DIGITS = 6, HUNDRED = 100 };

/* ISO 4217, list one (currencies and funds): the minor units that are not 2. */
static const struct {
    const char *code;
    int digits;
} exceptions[] = {{"BIF", 0}, {"CLP", 0}, {"DJF", 0}, {"GNF", 0}, {"ISK", 0}, {"JPY", 0}, {"KMF", 0},
                  {"KRW", 0}, {"PYG", 0}, {"RWF", 0}, {"UGX", 0}, {"UYI", 0}, {"VND", 0}, {"VUV", 0},
                  {"XAF", 0}, {"XOF", 0}, {"XPF", 0}, {"BHD", 3}, {"IQD", 3}, {"JOD", 3}, {"KWD", 3},
                  {"LYD", 3}, {"OMR", 3}, {"TND", 3}, {"CLF", 4}, {"UYW", 4}};

int currency_digits(const char *code)
{
    for (size_t i = 0; i < sizeof exceptions / sizeof *exceptions; i++)
        if (!strcmp(exceptions[i].code, code)) return exceptions[i].digits;
    return 2;
}

static int64_t power_of_ten(int exponent)
{
    int64_t power = 1;
    while (exponent-- > 0) power *= 10;
    return power;
}

__int128 money_divide(__int128 above, __int128 below)
{
    assert(above >= 0 && below > 0);
    return (2 * above + below) / (2 * below);
}

money_minor money_in_digits(money_minor minor, int digits, int wanted)
{
    if (wanted >= digits) return minor * power_of_ten(wanted - digits);
    return (money_minor)money_divide(minor, power_of_ten(digits - wanted));
}

const char *money_decimal(money_minor minor, int digits, struct arena *arena)
{
    long long unit = power_of_ten(digits), size = minor < 0 ? -(long long)minor : (long long)minor;
    const char *sign = minor < 0 ? "-" : "";
    if (!digits) return arena_format(arena, "%s%lld", sign, size);
    struct text text = text_new(arena);
    text_addf(&text, "%s%lld.", sign, size / unit);
    for (long long place = unit / 10; place; place /= 10)
        text_add_char(&text, (char)('0' + size / place % 10));
    return text_string(&text);
}

const char *money_rate(money_micro micro, int digits, struct arena *arena)
{
    int shown = MICRO_DIGITS;
    for (; shown > digits && micro % 10 == 0; shown--) micro /= 10;
    return money_decimal(micro, shown, arena);
}

bool money_amount(int64_t hundredths, money_micro rate, int digits, money_minor *amount)
{
    __int128 exact =
        money_divide((__int128)hundredths * rate, (__int128)HUNDRED * power_of_ten(MICRO_DIGITS - digits));
    *amount = exact > MONEY_MOST ? MONEY_MOST : (money_minor)exact;
    return exact <= MONEY_MOST;
}

money_minor money_share(money_minor amount, double percent)
{
    const int64_t million = 1000000;
    return (money_minor)money_divide((__int128)amount * llround(percent * (double)million),
                                     (__int128)HUNDRED * million);
}
