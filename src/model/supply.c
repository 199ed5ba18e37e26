/* Printing that is bought in: the job's word before the shop's. */
#include "model/job.h"
#include "model/practice.h"

bool job_buys_prints(const struct job *job)
{
    enum printing said = job->printing ? job->printing : job->shop ? job->shop->printing : PRINTING_UNSAID;
    return said == PRINTING_BOUGHT_IN;
}

struct supply job_supply(const struct job *job)
{
    struct supply supply = job->supply;
    const struct supply *shop = &job->shop->supply;
    struct measure usual = practice_value("lead-time");
    usual.value *= 3600;
    if (!supply.supplier) supply.supplier = shop->supplier;
    if (!supply.address) supply.address = shop->address;
    supply.lead_s = measure_or(supply.lead_s, measure_or(shop->lead_s, usual));
    if (supply.price_per_m2 < 0) supply.price_per_m2 = shop->price_per_m2;
    if (supply.carriage < 0) supply.carriage = shop->carriage;
    supply.prints_only |= shop->prints_only;
    return supply;
}
