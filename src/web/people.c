/* Adding people and taking them out, for the page and for the command line. */
#include "floor/floor.h"
#include "session.h"
#include "web/web.h"
#include "base/sentence.h"
#include <string.h>

static const char *name_trouble(const char *name)
{
    size_t length = strlen(name);
    if (!length || length > FACT_NAME_MOST || !str_is_utf8(str_from(name)))
        return sentence_plain("name-is-1-to-64-bytes");
    for (const char *at = name; *at; at++)
        if ((unsigned char)*at < ' ' || *at == 0x7f) return sentence_plain("name-has-no-control-characters");
    return NULL;
}

/* The last person of the role shop stays: without one nobody could add people any more. */
static bool someone_else_may(struct floor *floor, const char *name, struct arena *arena, struct error *error)
{
    struct person *people;
    size_t count;
    if (!floor_people(floor, arena, &people, &count, error)) return false;
    for (size_t i = 0; i < count; i++)
        if (people[i].role == ROLE_SHOP && strcmp(people[i].name, name)) return true;
    return error_set(error, FAILURE_INPUT, "must-stay-nobody-else-has-role",
                     ARGUMENTS(arg_words("name", name)));
}

static bool set_person(struct floor *floor, const char *name, const char *role, const char *password,
                       struct arena *arena, struct error *error)
{
    const char *trouble = name_trouble(name);
    char hash[PASSWORD_HASH];
    bool shop = !strcmp(role, "shop");
    if (trouble) return error_words(error, FAILURE_INPUT, trouble);
    if (!shop && strcmp(role, "viewer"))
        return error_set(error, FAILURE_INPUT, "role-must-be-shop-or-viewer",
                         ARGUMENTS(arg_words("role", role)));
    if ((trouble = password_trouble(password))) return error_words(error, FAILURE_INPUT, trouble);
    if (!shop && !someone_else_may(floor, name, arena, error)) return false;
    if (!password_hash(password, hash))
        return error_set(error, FAILURE_MACHINE, "no-memory-for-passwords-hash", NULL);
    struct person person = {name, shop ? ROLE_SHOP : ROLE_VIEWER, hash};
    return floor_set_person(floor, &person, error);
}

bool web_set_person(struct machine *machine, const char *folder, const char *name, const char *role,
                    const char *password, struct error *error)
{
    struct floor *floor = NULL;
    if (!floor_open(machine, folder, true, &floor, error)) return false;
    struct arena *arena = arena_new(machine);
    bool ok = set_person(floor, name, role, password, arena, error);
    arena_free(arena);
    floor_close(floor);
    return ok;
}

bool web_remove_person(struct machine *machine, const char *folder, const char *name, struct error *error)
{
    struct floor *floor = NULL;
    if (!floor_open(machine, folder, true, &floor, error)) return false;
    struct arena *arena = arena_new(machine);
    bool ok = someone_else_may(floor, name, arena, error) && floor_remove_person(floor, name, error);
    arena_free(arena);
    floor_close(floor);
    return ok;
}
