/* Money in whole numbers, exact. */
#ifndef MODEL_MONEY_H
#define MODEL_MONEY_H

#include <stdbool.h>
#include <stdint.h>

struct arena;

/* Integer millionths of the currency unit for prices. For sums: hundredths in plans, and in quotes the
 * currency's own minor unit (currency_digits). */
typedef int64_t money_micro;
typedef int64_t money_minor;

/* A price that nobody wrote: it is left out of sums, and a finding says so. */
#define PRICE_UNSAID ((money_micro)-1)
static inline money_micro price_or_zero(money_micro price)
{
    return price < 0 ? 0 : price;
}

/* Digits behind the point of a currency's minor unit, 0 .. 4: ISO 4217, list one. 2 for a code that is not in
 * the list of exceptions. */
int currency_digits(const char *code);

/* above / below rounded half up, both whole, above >= 0, below > 0. */
__int128 money_divide(__int128 above, __int128 below);
/* Minor units with so many digits as minor units with others, rounded half up; not negative. */
money_minor money_in_digits(money_minor minor, int digits, int wanted);
/* Minor units as a decimal with `digits` behind the point: "1284.50", "-3", plain digits. */
const char *money_decimal(money_minor minor, int digits, struct arena *arena);
/* Millionths as a decimal, with `digits` behind the point at least and no zeros at the end beyond them. */
const char *money_rate(money_micro micro, int digits, struct arena *arena);
/* The amount for a quantity in hundredths at a rate, in minor units, rounded once, half up. False: it is more
 * than MONEY_MOST. Neither is negative. */
bool money_amount(int64_t hundredths, money_micro rate, int digits, money_minor *amount);
/* `percent` (to a millionth, 0 .. 1000) of an amount, rounded once, half up; the amount is at most MONEY_MOST. */
money_minor money_share(money_minor amount, double percent);
#define MONEY_MOST INT64_C(1000000000000000)

#endif
