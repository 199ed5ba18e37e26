/* Files coming in: begin, how far, and what came when all is there. The bytes themselves stream through
 * server.c into upload.c. */
#include "server.h"
#include "views.h"
#include "write.h"

static void upload_json(struct web_request *request, struct reply *reply, const struct upload *upload)
{
    struct text out = text_new(request->arena);
    struct json json = json_new(&out);
    json_open_object_inline(&json, NULL);
    json_string(&json, "upload", upload->id);
    json_string(&json, "file", upload->name);
    json_whole(&json, "received", upload->received);
    json_whole(&json, "bytes", upload->bytes);
    json_close(&json);
    reply_json(reply, &out);
}

void do_upload(struct web_request *request, struct reply *reply)
{
    struct server *server = request->server;
    const char *name = form_get(&request->form, "name"), *key = form_get(&request->form, "key");
    const char *folder = floor_job_folder(server->floor, request->parts[0], request->arena);
    int64_t bytes;
    struct error error = {0};
    if (!folder) {
        reply_refuse(request, reply, 404, sentence_plain("there-is-no-such-job-here"));
        return;
    }
    if (!name || !key || !form_whole(&request->form, "bytes", INT64_MAX / 16, &bytes) || bytes <= 0) {
        reply_refuse(request, reply, 422, sentence_plain("file-needs-name-and-its-size"));
        return;
    }
    if (bytes > UPLOAD_BYTES_MOST) {
        reply_refuse(request, reply, 413, sentence_plain("this-file-is-too-large-at"));
        return;
    }
    struct upload upload;
    struct upload_order order = {server_sender(request), request->parts[0], folder, name, key, bytes};
    if (upload_begin(&server->uploads, &order, request->arena, &upload, &error))
        upload_json(request, reply, &upload);
    else if (error.kind == FAILURE_BUSY)
        reply->retry_s = 15, reply_refuse_as(request, reply, 503, "uploads-full", error.text);
    else
        reply_error(request, reply, &error);
}

void view_upload(struct web_request *request, struct reply *reply)
{
    struct upload upload;
    if (upload_look(&request->server->uploads, request->parts[0], &upload))
        upload_json(request, reply, &upload);
    else
        reply_refuse(request, reply, 404, sentence_plain("this-upload-is-not-known-here"));
}

/* After the last byte of a request: what server.c left in `body` is the state as it was given back. */
void do_bytes(struct web_request *request, struct reply *reply)
{
    (void)request;
    reply->type = "application/json; charset=utf-8";
}
