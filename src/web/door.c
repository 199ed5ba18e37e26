/* Lets connections in when they have said what they want. */
#include "door.h"
#include "base/text.h"
#include "head.h"
#include <arpa/inet.h>
#include <errno.h>
#include <netinet/in.h>
#include <stdlib.h>
#include <sys/epoll.h>
#include <unistd.h>

enum { EVENTS = 64, GLANCE_MS = 100 };

struct waiting {
    int fd;
    struct sockaddr_storage address;
    socklen_t address_length;
    struct member *member;
    struct waiting *next, **place;
};

void door_name(const struct sockaddr *address, char *words, size_t size)
{
    format_into(words, size, "?");
    if (address->sa_family == AF_INET)
        inet_ntop(AF_INET, &((const struct sockaddr_in *)(const void *)address)->sin_addr, words,
                  (socklen_t)size);
    else if (address->sa_family == AF_INET6)
        inet_ntop(AF_INET6, &((const struct sockaddr_in6 *)(const void *)address)->sin6_addr, words,
                  (socklen_t)size);
}

/* ---- who waits ---- */

static void door_forget(struct door *door, struct waiting *w)
{
    epoll_ctl(door->epoll_fd, EPOLL_CTL_DEL, w->fd, NULL);
    crowd_leave(door->crowd, w->member);
    *w->place = w->next;
    if (w->next) w->next->place = w->place;
    free(w);
}

static void door_drop(struct door *door, struct waiting *w)
{
    int fd = w->fd;
    door_forget(door, w);
    close(fd);
}

static void let_in(struct door *door, struct waiting *w)
{
    struct waiting in = *w;
    door_forget(door, w);
    door->use.let_in(door->use.context, in.fd, (const struct sockaddr *)&in.address, in.address_length);
}

/* What was sent is taken before closing: a connection closed with bytes unread takes the answer with it. */
static void door_refuse(struct door *door, struct waiting *w, struct str head, unsigned status,
                        const char *sentence)
{
    door->use.refuse(door->use.context, w->fd, head, status, sentence);
    shutdown(w->fd, SHUT_WR);
    while (recv(w->fd, door->seen, DOOR_HEAD_BYTES, MSG_DONTWAIT) > 0) {
    }
    door_drop(door, w);
}

static void door_look(struct door *door, struct waiting *w)
{
    const char *sentence;
    ssize_t got = recv(w->fd, door->seen, DOOR_HEAD_BYTES, MSG_PEEK | MSG_DONTWAIT);
    if (got < 0 && (errno == EAGAIN || errno == EINTR)) return;
    if (got <= 0) {
        door_drop(door, w);
        return;
    }
    struct str bytes = {door->seen, (size_t)got};
    struct str head = str_slice(bytes, 0, head_length(bytes));
    if (!head.length && bytes.length < DOOR_HEAD_BYTES) return; /* the rest is on its way */
    unsigned status = head.length ? head_fault(head, &sentence) : 0;
    if (status)
        door_refuse(door, w, head, status, sentence);
    else
        let_in(door, w);
}

/* ---- who comes ---- */

static void let_wait(struct door *door, int fd, const struct sockaddr_storage *address, socklen_t length)
{
    struct waiting *w = calloc(1, sizeof *w);
    char words[48];
    bool listens = false;
    if (!w) {
        close(fd);
        return;
    }
    *w = (struct waiting){.fd = fd, .address = *address, .address_length = length, .next = door->waiting};
    w->place = &door->waiting;
    if (w->next) w->next->place = &w->next;
    door->waiting = w;
    door_name((const struct sockaddr *)address, words, sizeof words);
    w->member = crowd_join(door->crowd, fd, words, door->use.now_ms(door->use.context), &listens);
    if (listens) door->use.woken(door->use.context);
    /* Told of each arrival once: a head that comes in pieces is looked at as often as it grows. */
    struct epoll_event event = {.events = EPOLLIN | EPOLLRDHUP | EPOLLET, .data.ptr = w};
    if (epoll_ctl(door->epoll_fd, EPOLL_CTL_ADD, fd, &event)) door_drop(door, w);
}

static void let_come(struct door *door)
{
    for (;;) {
        struct sockaddr_storage address = {0};
        socklen_t length = sizeof address;
        int fd = accept4(door->listen_fd, (struct sockaddr *)&address, &length, SOCK_CLOEXEC | SOCK_NONBLOCK);
        if (fd < 0 && errno != EAGAIN)
            usleep(GLANCE_MS * 1000); /* no descriptor is free: not to be asked at once */
        if (fd < 0) return;
        if (door->tls)
            door->use.let_in(door->use.context, fd, (const struct sockaddr *)&address, length);
        else
            let_wait(door, fd, &address, length);
    }
}

static void *stand(void *context)
{
    struct door *door = context;
    struct epoll_event events[EVENTS];
    while (!atomic_load(&door->closing)) {
        int count = epoll_wait(door->epoll_fd, events, EVENTS, GLANCE_MS);
        for (int i = 0; i < count; i++)
            if (events[i].data.ptr)
                door_look(door, events[i].data.ptr);
            else
                let_come(door);
    }
    return NULL;
}

/* ---- opening and closing ---- */

static int listen_at(const struct sockaddr_storage *address)
{
    bool six = address->ss_family == AF_INET6;
    int one = 1, fd = socket(address->ss_family, SOCK_STREAM | SOCK_CLOEXEC | SOCK_NONBLOCK, 0);
    if (fd < 0) return -1;
    setsockopt(fd, SOL_SOCKET, SO_REUSEADDR, &one, sizeof one);
    if (six) setsockopt(fd, IPPROTO_IPV6, IPV6_V6ONLY, &one, sizeof one);
    socklen_t length = six ? sizeof(struct sockaddr_in6) : sizeof(struct sockaddr_in);
    if (!bind(fd, (const struct sockaddr *)address, length) && !listen(fd, SOMAXCONN)) return fd;
    close(fd);
    return -1;
}

bool door_open(struct door *door, const struct sockaddr_storage *address)
{
    struct epoll_event event = {.events = EPOLLIN};
    door->seen = malloc(DOOR_HEAD_BYTES);
    door->listen_fd = listen_at(address);
    door->epoll_fd = epoll_create1(EPOLL_CLOEXEC);
    if (door->listen_fd < 0 || door->epoll_fd < 0 || !door->seen ||
        epoll_ctl(door->epoll_fd, EPOLL_CTL_ADD, door->listen_fd, &event) ||
        pthread_create(&door->thread, NULL, stand, door)) {
        if (door->listen_fd >= 0) close(door->listen_fd);
        if (door->epoll_fd >= 0) close(door->epoll_fd);
        free(door->seen);
        return false;
    }
    return true;
}

void door_close(struct door *door)
{
    atomic_store(&door->closing, true);
    pthread_join(door->thread, NULL);
    close(door->listen_fd);
    for (struct waiting *w = door->waiting, *next; w; w = next) {
        next = w->next;
        door_drop(door, w);
    }
    close(door->epoll_fd);
    free(door->seen);
}
