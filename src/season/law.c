/* SPDX-License-Identifier: MIT
 *
 * Protected plants. See season/law.h; the rules are the rows of protected.csv.
 */
#include "season/law.h"

#include <math.h>
#include <string.h>

#include "season/check_private.h"
#include "simpling/error.h"

GPtrArray *spl_law_rules(struct spl_house *house, const struct spl_material *material)
{
    g_autofree char *country = spl_house_setting_text(house, "country");

    if (country == NULL || house->tables == NULL)
        return g_ptr_array_new();
    return spl_tables_protected(house->tables, country, material->plant, material->part);
}

GPtrArray *spl_law_forbids(struct spl_house *house, const struct spl_material *material)
{
    GPtrArray *rules = spl_law_rules(house, material);

    for (guint i = rules->len; i > 0; i--) {
        const struct spl_protected *rule = g_ptr_array_index(rules, i - 1);

        if (rule->rule != SPL_PROTECTION_REFUSE)
            g_ptr_array_remove_index(rules, i - 1);
    }
    return rules;
}

gboolean spl_law_close(struct spl_house *house, const struct spl_material *material,
                       enum spl_verdict *verdict, GArray *reasons)
{
    g_autoptr(GPtrArray) rules = spl_law_forbids(house, material);

    for (guint i = rules->len; i > 0; i--) {
        const struct spl_protected *rule = g_ptr_array_index(rules, i - 1);
        struct spl_reason reason = {
            .verdict = SPL_VERDICT_CLOSED,
            .kind = SPL_REASON_OTHER,
            .what = g_strdup_printf("%s is protected by law", material->plant->common),
            .distance_m = NAN,
            .date = SPL_DAY_NONE,
            .rule = g_strdup_printf("%s: %s", rule->country, rule->words),
            .source = g_strdup(rule->source)};

        g_array_prepend_val(reasons, reason);
    }
    if (rules->len == 0)
        return FALSE;
    *verdict = SPL_VERDICT_CLOSED;
    return TRUE;
}

gboolean spl_law_refuses(struct spl_house *house, const struct spl_material *material,
                         GError **error)
{
    g_autoptr(GPtrArray) rules = spl_law_forbids(house, material);
    const struct spl_protected *rule;

    if (rules->len == 0)
        return FALSE;
    rule = g_ptr_array_index(rules, 0);
    g_set_error(error, SPL_ERROR, SPL_ERROR_REFUSED,
                "%s: is protected in %s: %s (%s); what is grown or bought goes in as a purchase",
                material->slug, rule->country, rule->words, rule->source);
    spl_error_explain(error, "law", NULL, NULL);
    return TRUE;
}

/* The countries and regions of the tables that lie in `country`, which has two letters: "IT-21,
 * IT-23"; "" where there are none. */
static char *regions_of(const struct spl_tables *tables, const char *country)
{
    const GPtrArray *rules = spl_tables_protections(tables);
    GString *regions = g_string_new(NULL);

    for (guint i = 0; i < rules->len; i++) {
        const struct spl_protected *rule = g_ptr_array_index(rules, i);

        if (strncmp(rule->country, country, 2) == 0 && rule->country[2] == '-' &&
            strstr(regions->str, rule->country) == NULL)
            g_string_append_printf(regions, "%s%s", regions->len > 0 ? ", " : "", rule->country);
    }
    return g_string_free(regions, FALSE);
}

void spl_law_caution(struct spl_house *house, GPtrArray *cautions)
{
    g_autofree char *country = spl_house_setting_text(house, "country");
    g_autofree char *regions = NULL;

    if (house->tables == NULL)
        return;
    if (country == NULL) {
        spl_caution_add(cautions,
                        "no country is set: what the law protects is not known here, ask");
        return;
    }
    if (!spl_tables_law_known(house->tables, country)) {
        spl_caution_add(cautions,
                        "no rules of law are known here for %s: ask what is protected there",
                        country);
        return;
    }
    regions = regions_of(house->tables, country);
    if (strlen(country) == 2 && *regions != '\0')
        spl_caution_add(cautions,
                        "parts of %s have rules of their own, which are not looked at (known here: "
                        "%s): set the country to yours",
                        country, regions);
}
