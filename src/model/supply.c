/* Printing that is bought in: the job's word before the shop's. */
#include "model/job.h"

bool job_buys_prints(const struct job *job)
{
    enum printing said = job->printing ? job->printing : job->shop ? job->shop->printing : PRINTING_UNSAID;
    return said == PRINTING_BOUGHT_IN;
}
