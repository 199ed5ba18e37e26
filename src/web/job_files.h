/* A job's files as a person may fetch them. */
#ifndef WEB_JOB_FILES_H
#define WEB_JOB_FILES_H

#include "base/json.h"
#include "request.h"

/* "files": [{"name", "bytes", "address"}] of the job's out folder. */
void job_files_json(struct json *json, struct web_request *request, const char *job_folder);

#endif
