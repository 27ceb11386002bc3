/* SPDX-License-Identifier: MIT
 *
 * Faults under SQLite, on purpose: a VFS over the machine's own that fails the n-th operation of a
 * kind, or that lets the power go out at the n-th: what was not synced by then is dropped, or kept
 * at random and torn. And an allocator that fails the n-th allocation.
 *
 * fault_install() comes before any other call of SQLite in the process. Faults count from
 * fault_arm() on. The model of the disk: a write, truncation or deletion lasts from the next sync
 * of that file on (a deletion: from the sync of its folder, which SQLite asks for with the
 * deletion); a file's creation lasts from its first sync on; sectors of 512 bytes are written whole
 * or not at all. Temporary files without a name can fail but are not part of the disk.
 */
#ifndef SPL_TESTS_FAULT_VFS_H
#define SPL_TESTS_FAULT_VFS_H

#include <glib.h>

enum fault_kind {
    FAULT_NONE,
    FAULT_WRITE,    /* half of the bytes are written, then an I/O error */
    FAULT_FULL,     /* the disk is full */
    FAULT_SYNC,     /* the sync fails */
    FAULT_OPEN,     /* the file cannot be opened */
    FAULT_READ,     /* an I/O error on reading */
    FAULT_TRUNCATE, /* a truncation fails */
    FAULT_DELETE,   /* a deletion fails (a journal stays) */
    FAULT_LOCK,     /* an I/O error on locking */
    FAULT_MEMORY,   /* SQLite gets no memory */
    FAULT_DROP,     /* power out: everything since the last syncs is lost */
    FAULT_TEAR,     /* power out: any part of it is lost, some sectors of a write too */
    FAULT_KINDS
};

/* Exit status of a process whose power went out. */
#define FAULT_POWER_OUT 99

/* "write", "full" …; NULL for a number that is none. */
const char *fault_name(enum fault_kind kind);

/* The kind of that name, FAULT_NONE if there is none. */
enum fault_kind fault_from_name(const char *name);

/* Makes the VFS SQLite's default one and the allocator SQLite's own. Once per process. */
void fault_install(void);

/*
 * From now on the `nth` operation (from 1) of that kind fails; with `lasting` every later one too.
 * For FAULT_DROP and FAULT_TEAR the count is of writes, syncs, truncations and deletions together,
 * and the process ends with status FAULT_POWER_OUT before the nth is done; `seed` chooses what is
 * torn. nth 0 never happens but keeps account for fault_power_out().
 */
void fault_arm(enum fault_kind kind, int nth, gboolean lasting, guint32 seed);

/* No more faults. TRUE if one happened since fault_arm(). */
gboolean fault_disarm(void);

/*
 * For actions that run in a program of their own, with fault_preload.so in LD_PRELOAD: what is
 * armed here, as the value of the environment variable SIMPLING_FAULT_PLAN there. `fd` is where
 * that program writes a byte when the fault happens. Free with g_free.
 */
char *fault_plan_text(int fd);

/* The reverse, in the program. FALSE: not such a text. */
gboolean fault_plan_parse(const char *text);

/* A fault happened in a program that was given our plan. */
void fault_note_fired(void);

/* TRUE while FAULT_DROP or FAULT_TEAR is armed. */
gboolean fault_is_power(void);

/* What the power takes is lost now, but the process goes on, to end by itself. */
void fault_lose(void);

/* The power goes out now (armed with FAULT_DROP or FAULT_TEAR): does not return. */
void fault_power_out(void) G_GNUC_NORETURN;

#endif
