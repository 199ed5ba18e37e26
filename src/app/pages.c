#include "app/run.h"
#include "base/text.h"
#include "model/finding.h"
#include "model/practice.h"

void run_findings_page(struct text *out)
{
    text_add(out, "# Findings\n\nEvery code that `lapstrake` can raise, with its severity and what to do. "
                  "`stop`: must not be printed as it "
                  "stands. `warn`: a person must look. `note`: said for the record. A shop may raise a "
                  "severity, never lower a stop.\n\n"
                  "This page is made from the table in the code (`lapstrake doc findings`).\n\n"
                  "| code | severity | raised when | do |\n|---|---|---|---|\n");
    for (size_t i = 0; i < finding_table_count; i++) {
        const struct finding_kind *kind = &finding_table[i];
        text_addf(out, "| %s | %s | %s | %s |\n", kind->code, severity_name(kind->severity), kind->means,
                  kind->remedy);
    }
}

void run_practice_page(struct text *out)
{
    text_add(out, "# Common practice\n\nValues that decide something when the shop did not write its own. "
                  "Makers' figures and the shop's file "
                  "come before them; local codes come before everything.\n\n"
                  "This page is made from the table in the code (`lapstrake doc practice`).\n\n"
                  "| name | value | unit | means | used for | mark |\n|---|---|---|---|---|---|\n");
    for (size_t i = 0; i < practice_count; i++) {
        const struct practice *p = &practice_table[i];
        text_addf(out, "| %s | %g | %s | %s | %s | %s |\n", p->name, p->value, p->unit, p->means, p->used,
                  p->mark);
    }
}
