/* SPDX-License-Identifier: MIT
 *
 * The verdict on a site and day out of all that the book knows: the one place where notes,
 * permission and hazards come together, used wherever picking is guarded.
 */
#ifndef SPL_SEASON_GROUND_H
#define SPL_SEASON_GROUND_H

#include "book/site.h"
#include "core/verdict.h"
#include "season/house_private.h"

/*
 * Judges `site` on `on`. `material` NULL: the site alone. Clear `result` with
 * spl_verdict_result_clear.
 */
gboolean spl_ground_judge(struct spl_house *house, const struct spl_site *site, struct spl_day on,
                          const struct spl_material *material, struct spl_verdict_result *result,
                          GError **error);

/* What the book knows about one site's ground, read once for many questions; the site is borrowed
 * and must outlive it. */
typedef struct spl_ground spl_ground;
struct spl_ground *spl_ground_load(struct spl_house *house, const struct spl_site *site,
                                   GError **error);
void spl_ground_free(struct spl_ground *ground); /* NULL is fine */
G_DEFINE_AUTOPTR_CLEANUP_FUNC(spl_ground, spl_ground_free)

/* As spl_ground_judge. */
void spl_ground_verdict(const struct spl_ground *ground, struct spl_day on,
                        const struct spl_material *material, struct spl_verdict_result *result);

/* As it is known today to have stood on a day that is past. */
void spl_ground_look_back(const struct spl_ground *ground, struct spl_day on,
                          const struct spl_material *material, struct spl_verdict_result *result);

/* The same without words, for many. */
enum spl_verdict spl_ground_look_back_grade(const struct spl_ground *ground, struct spl_day on,
                                            const struct spl_material *material);

/* Who last said something of the place: of leave to gather, or of spraying (then, where nobody did,
 * of leave). Free with g_free; NULL: nobody. */
char *spl_ground_speaker(const struct spl_ground *ground, gboolean of_leave);

/* Whom to ask at the place itself: who last vouched, warned or gave leave. Of a spraying that was
 * done the source may be what was seen, which nobody can ask. Free with g_free; NULL: nobody. */
char *spl_ground_whom(const struct spl_ground *ground);

/* The same whatever becomes of what was planned then: never milder. */
enum spl_verdict spl_ground_worst_grade(const struct spl_ground *ground, struct spl_day on,
                                        const struct spl_material *material);

/* The reasons as one line of JSON, for keeping with a harvest. Free with g_free. */
char *spl_ground_reasons_json(const struct spl_verdict_result *result);

/* The way back, of reasons kept by any version. */
GArray *spl_ground_reasons_read(const char *json);

/* Every reason against it in words, worst first, or the verdict's own words. Free with g_free. */
char *spl_ground_why(const struct spl_verdict_result *result);

/* Sets SPL_ERROR_CLOSED, the sentence followed by every reason; the error carries them, and what
 * would settle the worst that can be settled. Takes the reasons out of `result`. */
void spl_ground_refuse(GError **error, struct spl_verdict_result *result, const char *format, ...)
    G_GNUC_PRINTF(3, 4);

#endif
