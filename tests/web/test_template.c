/* Pages with holes; escaping against the HTML standard's list of characters that end text or an attribute. */
#include "../test.h"
#include "base/arena.h"
#include "base/machine.h"
#include "template.h"

struct page {
    struct machine machine;
    struct arena *arena;
    struct template_values values;
};

static struct page new_page(struct page *page)
{
    page->machine = machine_real("/proc/self/exe");
    page->arena = arena_new(&page->machine);
    page->values = (struct template_values){0};
    return *page;
}

static const char *filled(struct page *page, const char *html)
{
    struct text out = text_new(page->arena);
    template_fill(str_from(html), &page->values, &out);
    return text_string(&out);
}

static void holes(void **state)
{
    (void)state;
    struct page page;
    new_page(&page);
    template_set(page.arena, &page.values, "title", "<script>\"a\" & 'b'</script>");
    template_set(page.arena, &page.values, "empty", NULL);
    assert_string_equal(filled(&page, "<p>{{title}}</p>"),
                        "<p>&lt;script&gt;&quot;a&quot; &amp; &#39;b&#39;&lt;/script&gt;</p>");
    assert_string_equal(filled(&page, "{{{title}}}"), "<script>\"a\" & 'b'</script>");
    assert_string_equal(filled(&page, "[{{empty}}{{unknown}}]{{! a word to whoever reads this }}."), "[].");
    arena_free(page.arena);
}

static void sections(void **state)
{
    (void)state;
    struct page page;
    new_page(&page);
    template_set(page.arena, &page.values, "late", "yes");
    template_set(page.arena, &page.values, "early", NULL);
    assert_string_equal(
        filled(&page, "{{#late}}late{{/late}}{{#early}}early{{/early}}{{^early}}not early{{/early}}"),
        "latenot early");
    arena_free(page.arena);
}

static void lists(void **state)
{
    (void)state;
    struct page page;
    new_page(&page);
    struct template_values entries[2] = {0};
    template_set(page.arena, &entries[0], "word", "printed");
    template_set(page.arena, &entries[1], "word", "<hung>");
    template_set(page.arena, &entries[1], "again", "!");
    template_set(page.arena, &page.values, "job", "LV-2031");
    template_set_list(page.arena, &page.values, "facts", entries, 2);
    template_set_list(page.arena, &page.values, "none", entries, 0);
    assert_string_equal(
        filled(
            &page,
            "{{#facts}}{{job}} "
            "{{word}}{{#again}}{{again}}{{/again}};{{/facts}}{{#none}}x{{/none}}{{^none}}nothing{{/none}}"),
        "LV-2031 printed;LV-2031 &lt;hung&gt;!;nothing");
    arena_free(page.arena);
}

int main(void)
{
    const struct CMUnitTest tests[] = {cmocka_unit_test(holes), cmocka_unit_test(sections),
                                       cmocka_unit_test(lists)};
    return cmocka_run_group_tests(tests, NULL, NULL);
}
