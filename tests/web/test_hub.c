/* News for many listeners: the form is that of server-sent events (HTML standard, from memory). */
#include "../test.h"
#include "hub.h"
#include <pthread.h>
#include <stdlib.h>
#include <string.h>

static void in_order(void **state)
{
    (void)state;
    struct hub *hub = malloc(sizeof *hub);
    char out[HUB_BYTES];
    uint64_t seen = 0;
    hub_start(hub);
    seen = hub_newest(hub);
    hub_say(hub, "change", "{\"revision\": 1}");
    hub_say(hub, "change", "{\"revision\": 2}\n");
    size_t length = hub_wait(hub, &seen, out);
    assert_int_equal(length, strlen(out));
    assert_string_equal(out, "id: 1\nevent: change\ndata: {\"revision\": 1}\n\n");
    hub_wait(hub, &seen, out);
    assert_string_equal(out, "id: 2\nevent: change\ndata: {\"revision\": 2}\n\n");
    hub_close(hub);
    assert_int_equal(hub_wait(hub, &seen, out), 0);
    hub_end(hub);
    free(hub);
}

static void who_falls_behind_reads_again(void **state)
{
    (void)state;
    struct hub *hub = malloc(sizeof *hub);
    char out[HUB_BYTES], big[HUB_BYTES + 10];
    uint64_t seen = 0;
    hub_start(hub);
    for (int i = 0; i < HUB_MESSAGES + 5; i++) hub_say(hub, "change", "{}");
    hub_wait(hub, &seen, out);
    assert_non_null(strstr(out, "event: again"));
    assert_int_equal(seen, HUB_MESSAGES + 5);
    memset(big, 'x', sizeof big);
    big[sizeof big - 1] = 0;
    hub_say(hub, "work", big);
    hub_wait(hub, &seen, out);
    assert_non_null(strstr(out, "event: again"));
    hub_close(hub);
    hub_end(hub);
    free(hub);
}

enum { LISTENERS = 8, MESSAGES = 100 };

static void *listen(void *argument)
{
    struct hub *hub = argument;
    char out[HUB_BYTES];
    uint64_t seen = 0;
    size_t count = 0;
    while (count < MESSAGES && hub_wait(hub, &seen, out)) count += out[0] == 'i';
    return (void *)count;
}

static void everyone_hears_everything(void **state)
{
    (void)state;
    struct hub *hub = malloc(sizeof *hub);
    pthread_t threads[LISTENERS];
    hub_start(hub);
    for (int i = 0; i < LISTENERS; i++) assert_int_equal(pthread_create(&threads[i], NULL, listen, hub), 0);
    for (int i = 0; i < MESSAGES; i++) hub_say(hub, "change", "{}");
    for (int i = 0; i < LISTENERS; i++) {
        void *count;
        pthread_join(threads[i], &count);
        assert_int_equal((size_t)count, MESSAGES);
    }
    hub_close(hub);
    hub_end(hub);
    free(hub);
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(in_order),
        cmocka_unit_test(who_falls_behind_reads_again),
        cmocka_unit_test(everyone_hears_everything),
    };
    return cmocka_run_group_tests(tests, NULL, NULL);
}
