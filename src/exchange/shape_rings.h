/* SPDX-License-Identifier: MIT
 *
 * From a shape as it stands in a file to sound ground on WGS 84: parts and rings checked and
 * closed, holes told from islands, turned, long edges split in the file's own system, crossings
 * mended.
 *
 * On doubt ground counts as covered: a hole is a hole only inside a ring that runs the other way.
 */
#ifndef SPL_EXCHANGE_SHAPE_RINGS_H
#define SPL_EXCHANGE_SHAPE_RINGS_H

#include <glib.h>
#include <shapefil.h>

#include "core/geometry.h"
#include "exchange/projection.h"

/* What a shape type is made of; FALSE for none that we know. */
gboolean spl_shape_kind(int shape_type, enum spl_geometry_kind *kind);

/*
 * One shape of the file, in the file's coordinates, into `raw`. FALSE with the reason (g_free it)
 * when it cannot be believed. `repaired` is set, never cleared.
 */
gboolean spl_shape_parts(const SHPObject *shape, enum spl_geometry_kind kind,
                         struct spl_geometry *raw, gboolean *repaired, char **reason);

/* Turns `raw` (spent) into `ground`: FALSE with the reason when it has no place on earth. */
gboolean spl_shape_settle(struct spl_geometry *raw, struct spl_projection *projection,
                          struct spl_geometry *ground, gboolean *repaired, char **reason);

/* TRUE: this single closed ring surely neither crosses nor touches itself. FALSE: GEOS must tell.
 */
gboolean spl_ring_is_surely_sound(const struct spl_position *ring, guint n);

#endif
