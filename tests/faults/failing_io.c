/* Laid under a program with LD_PRELOAD: makes its writes and syncs of files fail, as a bad or a full disk does.
 *
 * FAULT_CALLS  which calls count: "write" (write, pwrite, ftruncate), "sync" (fsync, fdatasync), "any"
 * FAULT_AT     the first call to fail, counted from 1
 * FAULT_COUNT  how many fail from there on; 0: all
 * FAULT_BYTES  instead of FAULT_AT: writes fail once so many bytes are written, the one in between is cut short
 * FAULT_ERROR  "EIO" or "ENOSPC"
 *
 * Only regular files count: what the program says on a pipe always gets through. */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <sys/types.h>
#include <unistd.h>

static long calls_so_far = 0;
static long long bytes_so_far = 0;

static long number(const char *name, long otherwise) {
    const char *text = getenv(name);
    return text ? atol(text) : otherwise;
}

static int error_number(void) {
    const char *text = getenv("FAULT_ERROR");
    return text && strcmp(text, "ENOSPC") == 0 ? ENOSPC : EIO;
}

static int is_file(int file) {
    struct stat found;
    int before = errno;
    int regular = fstat(file, &found) == 0 && S_ISREG(found.st_mode);
    errno = before;
    return regular;
}

/* Whether this call is one of those that fail. */
static int fails(int file, const char *kind) {
    const char *counted = getenv("FAULT_CALLS");
    long at = number("FAULT_AT", 0);
    if (!counted || at == 0 || !is_file(file)) return 0;
    if (strcmp(counted, "any") != 0 && strcmp(counted, kind) != 0) return 0;
    long call = __atomic_add_fetch(&calls_so_far, 1, __ATOMIC_SEQ_CST);
    long count = number("FAULT_COUNT", 1);
    return call >= at && (count == 0 || call < at + count);
}

/* How many of the bytes may still be written; all of them where no limit is set. */
static size_t room(int file, size_t length) {
    long long limit = number("FAULT_BYTES", -1);
    if (limit < 0 || !is_file(file)) return length;
    long long left = limit - __atomic_fetch_add(&bytes_so_far, (long long)length, __ATOMIC_SEQ_CST);
    if (left <= 0) return 0;
    return left < (long long)length ? (size_t)left : length;
}

static int failed(void) {
    errno = error_number();
    return -1;
}

ssize_t write(int file, const void *bytes, size_t length) {
    static ssize_t (*real)(int, const void *, size_t);
    if (!real) real = (ssize_t (*)(int, const void *, size_t))dlsym(RTLD_NEXT, "write");
    if (fails(file, "write")) return failed();
    size_t left = room(file, length);
    return left == 0 && length > 0 ? failed() : real(file, bytes, left);
}

ssize_t pwrite(int file, const void *bytes, size_t length, off_t at) {
    static ssize_t (*real)(int, const void *, size_t, off_t);
    if (!real) real = (ssize_t (*)(int, const void *, size_t, off_t))dlsym(RTLD_NEXT, "pwrite");
    if (fails(file, "write")) return failed();
    size_t left = room(file, length);
    return left == 0 && length > 0 ? failed() : real(file, bytes, left, at);
}

ssize_t pwrite64(int file, const void *bytes, size_t length, off64_t at) {
    static ssize_t (*real)(int, const void *, size_t, off64_t);
    if (!real) real = (ssize_t (*)(int, const void *, size_t, off64_t))dlsym(RTLD_NEXT, "pwrite64");
    if (fails(file, "write")) return failed();
    size_t left = room(file, length);
    return left == 0 && length > 0 ? failed() : real(file, bytes, left, at);
}

int ftruncate(int file, off_t length) {
    static int (*real)(int, off_t);
    if (!real) real = (int (*)(int, off_t))dlsym(RTLD_NEXT, "ftruncate");
    return fails(file, "write") ? failed() : real(file, length);
}

int ftruncate64(int file, off64_t length) {
    static int (*real)(int, off64_t);
    if (!real) real = (int (*)(int, off64_t))dlsym(RTLD_NEXT, "ftruncate64");
    return fails(file, "write") ? failed() : real(file, length);
}

int fsync(int file) {
    static int (*real)(int);
    if (!real) real = (int (*)(int))dlsym(RTLD_NEXT, "fsync");
    return fails(file, "sync") ? failed() : real(file);
}

int fdatasync(int file) {
    static int (*real)(int);
    if (!real) real = (int (*)(int))dlsym(RTLD_NEXT, "fdatasync");
    return fails(file, "sync") ? failed() : real(file);
}
