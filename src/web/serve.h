/* The server's way out to the network: serve.c alone knows the HTTP library. */
#ifndef WEB_SERVE_H
#define WEB_SERVE_H

#include "server.h"

/* Serves until `cancel` is set. */
bool serve_run(struct server *server, const char *listen, const struct cancel *cancel, struct error *error);

#endif
