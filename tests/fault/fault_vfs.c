/* SPDX-License-Identifier: MIT
 *
 * The VFS that fails on purpose. Each call counts, fails if it is its turn, tells fault_disk.c what
 * happens to the platter, and goes on to the machine's own VFS.
 */
#include "fault_vfs.h"

#include <sqlite3.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "fault_disk.h"

static struct {
    enum fault_kind kind;
    int nth;
    int count;
    gboolean lasting;
    gboolean fired;
    guint32 seed;
    int fd; /* told when it happens; 0: nobody */
} plan;

static sqlite3_vfs *under; /* the machine's own */
static sqlite3_mem_methods memory_under;

/* An open file; the machine's own sqlite3_file lies behind it in the same memory. */
struct file {
    sqlite3_file base;
    const char *path; /* SQLite keeps the name while the file is open; NULL: a temporary one */
};

static const char *const names[FAULT_KINDS] = {
    [FAULT_NONE] = "none",         [FAULT_WRITE] = "write",   [FAULT_FULL] = "full",
    [FAULT_SYNC] = "sync",         [FAULT_OPEN] = "open",     [FAULT_READ] = "read",
    [FAULT_TRUNCATE] = "truncate", [FAULT_DELETE] = "delete", [FAULT_LOCK] = "lock",
    [FAULT_MEMORY] = "memory",     [FAULT_DROP] = "drop",     [FAULT_TEAR] = "tear",
};

const char *fault_name(enum fault_kind kind)
{
    return kind < FAULT_KINDS ? names[kind] : NULL;
}

enum fault_kind fault_from_name(const char *name)
{
    for (int i = 0; i < FAULT_KINDS; i++)
        if (strcmp(names[i], name) == 0)
            return (enum fault_kind)i;
    return FAULT_NONE;
}

gboolean fault_is_power(void)
{
    return plan.kind == FAULT_DROP || plan.kind == FAULT_TEAR;
}

void fault_note_fired(void)
{
    if (!plan.fired && plan.fd > 0 && write(plan.fd, "!", 1) != 1)
        abort();
    plan.fired = TRUE;
}

/* Whether an operation of this kind fails now. */
static gboolean fails(enum fault_kind kind)
{
    if (plan.kind != kind)
        return FALSE;
    plan.count++;
    if (plan.count == plan.nth || (plan.lasting && plan.nth > 0 && plan.count > plan.nth)) {
        fault_note_fired();
        return TRUE;
    }
    return FALSE;
}

void fault_lose(void)
{
    fault_disk_lose(plan.kind == FAULT_TEAR, plan.seed);
}

void fault_power_out(void)
{
    fault_lose();
    _exit(FAULT_POWER_OUT);
}

/* An operation that changes the disk is about to happen. */
static void change(void)
{
    if (fault_is_power() && ++plan.count == plan.nth)
        fault_power_out();
}

static sqlite3_file *real(sqlite3_file *file)
{
    return (sqlite3_file *)(void *)((char *)file + sizeof(struct file));
}

static const char *path_of(sqlite3_file *file)
{
    return ((struct file *)(void *)file)->path;
}

static int file_close(sqlite3_file *file)
{
    return real(file)->pMethods->xClose(real(file));
}

static int file_read(sqlite3_file *file, void *bytes, int n, sqlite3_int64 offset)
{
    if (fails(FAULT_READ))
        return SQLITE_IOERR_READ;
    return real(file)->pMethods->xRead(real(file), bytes, n, offset);
}

static int file_write(sqlite3_file *file, const void *bytes, int n, sqlite3_int64 offset)
{
    change();
    if (fails(FAULT_FULL))
        return SQLITE_FULL;
    if (fails(FAULT_WRITE)) {
        real(file)->pMethods->xWrite(real(file), bytes, n / 2, offset);
        return SQLITE_IOERR_WRITE;
    }
    if (fault_is_power() && path_of(file) != NULL)
        fault_disk_write(path_of(file), bytes, n, offset);
    return real(file)->pMethods->xWrite(real(file), bytes, n, offset);
}

static int file_truncate(sqlite3_file *file, sqlite3_int64 size)
{
    change();
    if (fails(FAULT_TRUNCATE))
        return SQLITE_IOERR_TRUNCATE;
    if (fault_is_power() && path_of(file) != NULL)
        fault_disk_truncate(path_of(file), size);
    return real(file)->pMethods->xTruncate(real(file), size);
}

static int file_sync(sqlite3_file *file, int flags)
{
    change();
    if (fails(FAULT_SYNC))
        return SQLITE_IOERR_FSYNC;
    int rc = real(file)->pMethods->xSync(real(file), flags);
    if (rc == SQLITE_OK && fault_is_power() && path_of(file) != NULL)
        fault_disk_sync(path_of(file));
    return rc;
}

static int file_size(sqlite3_file *file, sqlite3_int64 *size)
{
    return real(file)->pMethods->xFileSize(real(file), size);
}

static int file_lock(sqlite3_file *file, int level)
{
    if (fails(FAULT_LOCK))
        return SQLITE_IOERR_LOCK;
    return real(file)->pMethods->xLock(real(file), level);
}

static int file_unlock(sqlite3_file *file, int level)
{
    return real(file)->pMethods->xUnlock(real(file), level);
}

static int file_reserved(sqlite3_file *file, int *out)
{
    if (fails(FAULT_LOCK))
        return SQLITE_IOERR_CHECKRESERVEDLOCK;
    return real(file)->pMethods->xCheckReservedLock(real(file), out);
}

static int file_control(sqlite3_file *file, int op, void *arg)
{
    return real(file)->pMethods->xFileControl(real(file), op, arg);
}

static int file_sector(sqlite3_file *file)
{
    return real(file)->pMethods->xSectorSize(real(file));
}

static int file_characteristics(sqlite3_file *file)
{
    /* Nothing is promised that a plain disk does not keep. */
    return real(file)->pMethods->xDeviceCharacteristics(real(file)) &
           SQLITE_IOCAP_POWERSAFE_OVERWRITE;
}

/* Version 1: no shared memory and no mapping, so that every byte comes past here. */
static const sqlite3_io_methods methods = {
    .iVersion = 1,
    .xClose = file_close,
    .xRead = file_read,
    .xWrite = file_write,
    .xTruncate = file_truncate,
    .xSync = file_sync,
    .xFileSize = file_size,
    .xLock = file_lock,
    .xUnlock = file_unlock,
    .xCheckReservedLock = file_reserved,
    .xFileControl = file_control,
    .xSectorSize = file_sector,
    .xDeviceCharacteristics = file_characteristics,
};

static int vfs_open(sqlite3_vfs *vfs, const char *name, sqlite3_file *file, int flags, int *out)
{
    struct file *ours = (struct file *)(void *)file;
    (void)vfs;
    memset(ours, 0, sizeof *ours);
    if (fails(FAULT_OPEN))
        return SQLITE_CANTOPEN;
    ours->path = (flags & SQLITE_OPEN_DELETEONCLOSE) == 0 ? name : NULL;
    if (fault_is_power() && ours->path != NULL)
        fault_disk_open(ours->path, (flags & SQLITE_OPEN_CREATE) != 0);
    int rc = under->xOpen(under, name, real(file), flags, out);
    if (rc == SQLITE_OK)
        ours->base.pMethods = &methods;
    return rc;
}

static int vfs_delete(sqlite3_vfs *vfs, const char *name, int sync_folder)
{
    (void)vfs;
    change();
    if (fails(FAULT_DELETE))
        return SQLITE_IOERR_DELETE;
    if (fault_is_power())
        fault_disk_delete(name, sync_folder != 0);
    return under->xDelete(under, name, sync_folder);
}

static int vfs_access(sqlite3_vfs *vfs, const char *name, int flags, int *out)
{
    (void)vfs;
    return under->xAccess(under, name, flags, out);
}

static int vfs_full(sqlite3_vfs *vfs, const char *name, int n, char *out)
{
    (void)vfs;
    return under->xFullPathname(under, name, n, out);
}

static int vfs_randomness(sqlite3_vfs *vfs, int n, char *out)
{
    (void)vfs;
    return under->xRandomness(under, n, out);
}

static int vfs_sleep(sqlite3_vfs *vfs, int us)
{
    (void)vfs;
    return under->xSleep(under, us);
}

static int vfs_time(sqlite3_vfs *vfs, double *out)
{
    (void)vfs;
    return under->xCurrentTime(under, out);
}

static int vfs_last_error(sqlite3_vfs *vfs, int n, char *out)
{
    (void)vfs;
    return under->xGetLastError != NULL ? under->xGetLastError(under, n, out) : 0;
}

static int vfs_time_ms(sqlite3_vfs *vfs, sqlite3_int64 *out)
{
    (void)vfs;
    return under->xCurrentTimeInt64(under, out);
}

static sqlite3_vfs fault = {
    .iVersion = 2,
    .zName = "fault",
    .xOpen = vfs_open,
    .xDelete = vfs_delete,
    .xAccess = vfs_access,
    .xFullPathname = vfs_full,
    .xRandomness = vfs_randomness,
    .xSleep = vfs_sleep,
    .xCurrentTime = vfs_time,
    .xGetLastError = vfs_last_error,
    .xCurrentTimeInt64 = vfs_time_ms,
};

static void *memory_get(int n)
{
    return fails(FAULT_MEMORY) ? NULL : memory_under.xMalloc(n);
}

static void *memory_resize(void *memory, int n)
{
    return fails(FAULT_MEMORY) ? NULL : memory_under.xRealloc(memory, n);
}

void fault_install(void)
{
    sqlite3_mem_methods ours;
    int rc = sqlite3_config(SQLITE_CONFIG_GETMALLOC, &memory_under);
    ours = memory_under;
    ours.xMalloc = memory_get;
    ours.xRealloc = memory_resize;
    if (rc == SQLITE_OK)
        rc = sqlite3_config(SQLITE_CONFIG_MALLOC, &ours);
    /* Without look-aside memory every allocation is one that can fail. */
    if (rc == SQLITE_OK)
        rc = sqlite3_config(SQLITE_CONFIG_LOOKASIDE, 0, 0);
    under = rc == SQLITE_OK ? sqlite3_vfs_find(NULL) : NULL;
    if (under == NULL) {
        fprintf(stderr, "fault_install: SQLite was in use already\n");
        abort();
    }
    fault_disk_reset();
    fault.szOsFile = (int)sizeof(struct file) + under->szOsFile;
    fault.mxPathname = under->mxPathname;
    sqlite3_vfs_register(&fault, 1);
}

void fault_arm(enum fault_kind kind, int nth, gboolean lasting, guint32 seed)
{
    memset(&plan, 0, sizeof plan);
    plan.kind = kind;
    plan.nth = nth;
    plan.lasting = lasting;
    plan.seed = seed;
    fault_disk_reset();
}

gboolean fault_disarm(void)
{
    gboolean fired = plan.fired;
    memset(&plan, 0, sizeof plan);
    return fired;
}

char *fault_plan_text(int fd)
{
    return g_strdup_printf("%s %d %d %u %d", fault_name(plan.kind), plan.nth, plan.lasting,
                           plan.seed, fd);
}

gboolean fault_plan_parse(const char *text)
{
    char name[16];
    int nth, lasting, fd;
    unsigned seed;
    if (sscanf(text, "%15s %d %d %u %d", name, &nth, &lasting, &seed, &fd) != 5)
        return FALSE;
    fault_arm(fault_from_name(name), nth, lasting, seed);
    plan.fd = fd;
    return TRUE;
}
