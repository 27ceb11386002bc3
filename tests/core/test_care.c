/* SPDX-License-Identifier: MIT
 *
 * Safety words in their order, with what is not known.
 */
#include "expect.h"

#include "core/care.h"

static struct spl_plant plant_of(const char *pregnancy, const char *children, const char *not_with)
{
    return (struct spl_plant){.pregnancy = pregnancy,
                              .children = children,
                              .contraindications = "ulcer",
                              .not_with = not_with,
                              .cautions = "bitter",
                              .picking = "gloves",
                              .status = "rare"};
}

static void expect_words(GPtrArray *words, const char *const *expected)
{
    for (guint i = 0; i < words->len; i++)
        assert_string_equal(g_ptr_array_index(words, i), expected[i]);
    assert_int_equal(words->len, g_strv_length((char **)(gpointer)expected));
    g_ptr_array_unref(words);
}

static void the_most_serious_comes_first(void **state)
{
    struct spl_plant plant = plant_of("not", "not under 6", "warfarin");
    struct spl_material material = {.plant = &plant, .cautions = "of raw fruit", .picking = "ripe"};
    static const char *const taker[] = {"pregnancy and breast-feeding: not",
                                        "children: not under 6",
                                        "not for: ulcer",
                                        "with other medicines: warfarin",
                                        "of raw fruit",
                                        "bitter",
                                        NULL};
    static const char *const picker[] = {"ripe", "gloves", "in the wild: rare", NULL};
    static const char *const of_common[] = {"ripe", "gloves", NULL};
    static const char *const left[] = {"ripe", "gloves", "in the wild: Leave flowers.", NULL};

    (void)state;
    expect_words(spl_care_of_taker(&material), taker);
    expect_words(spl_care_of_picker(&material), picker);
    plant.status = "Common."; /* that is no caution, what follows from it is */
    expect_words(spl_care_of_picker(&material), of_common);
    plant.status = "Common. Leave flowers.";
    expect_words(spl_care_of_picker(&material), left);
}

/* Each of the three that may be unknown, alone and together. */
static void what_is_not_known_is_said_once(void **state)
{
    static const struct {
        const char *pregnancy, *children, *not_with;
        guint at;
        const char *says;
    } rows[] = {
        {"", "a", "b", 0,
         "not enough is known of pregnancy and breast-feeding: not recommended without advice"},
        {"a", "", "b", 1,
         "not enough is known of children under 12 years: not recommended without advice"},
        {"a", "b", "", 3,
         "not enough is known of its use with other medicines: not recommended without advice"},
        {"", "", "b", 0,
         "not enough is known of pregnancy and breast-feeding or of children under 12 years: not "
         "recommended without advice"},
        {"", "", "", 0,
         "not enough is known of pregnancy and breast-feeding, of children under 12 years or of "
         "its use with other medicines: not recommended without advice"},
    };

    (void)state;
    for (gsize i = 0; i < G_N_ELEMENTS(rows); i++) {
        struct spl_plant plant = plant_of(rows[i].pregnancy, rows[i].children, rows[i].not_with);
        struct spl_material material = {.plant = &plant, .cautions = "", .picking = ""};
        g_autoptr(GPtrArray) words = spl_care_of_taker(&material);

        assert_string_equal(g_ptr_array_index(words, rows[i].at), rows[i].says);
    }
}

int main(void)
{
    const struct CMUnitTest tests[] = {
        cmocka_unit_test(the_most_serious_comes_first),
        cmocka_unit_test(what_is_not_known_is_said_once),
    };

    return cmocka_run_group_tests(tests, NULL, NULL);
}
