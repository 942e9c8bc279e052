// Loaded before the C library (LD_PRELOAD), this stands for a system that is poorer, or that runs out of memory, and
// writes down what is asked of it.
//
//   INTERPOSED_MISSING=renameat2,link   these fail as where they do not exist
//   INTERPOSED_LOG=FILE                 a line for each call that changes files, or waits for the disk
//   INTERPOSED_ALLOCATION=N             the N-th allocation fails, counted from 1
//   INTERPOSED_ALLOCATIONS=FILE         gets how many there were
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <stdarg.h>
#include <stdatomic.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/syscall.h>
#include <unistd.h>

static int is_missing(const char* call) {
  const char* missing = getenv("INTERPOSED_MISSING");
  return missing != NULL && strstr(missing, call) != NULL;
}

// "fsync out.mid": the last part of a path alone, as the folders of tests have random names.
static void note(const char* call, const char* path) {
  const char* file = getenv("INTERPOSED_LOG");
  if (file == NULL) return;
  const char* slash = strrchr(path, '/');
  char line[512];
  const int length = snprintf(line, sizeof line, "%s %s\n", call, slash == NULL ? path : slash + 1);
  const int log = (int)syscall(SYS_openat, AT_FDCWD, file, O_WRONLY | O_CREAT | O_APPEND, 0666);
  syscall(SYS_write, log, line, length);
  syscall(SYS_close, log);
}

static void note_descriptor(const char* call, int descriptor) {
  char link[64], path[4096];
  snprintf(link, sizeof link, "/proc/self/fd/%d", descriptor);
  const ssize_t length = readlink(link, path, sizeof path - 1);
  path[length < 0 ? 0 : length] = '\0';
  note(call, path);
}

int renameat2(int from_folder, const char* from, int to_folder, const char* to, unsigned flags) {
  if (is_missing("renameat2")) {
    errno = ENOSYS;
    return -1;
  }
  const int result = (int)syscall(SYS_renameat2, from_folder, from, to_folder, to, flags);
  if (result == 0) note("rename", to);
  return result;
}

int rename(const char* from, const char* to) {
  const int result = (int)syscall(SYS_renameat2, AT_FDCWD, from, AT_FDCWD, to, 0);
  if (result == 0) note("rename", to);
  return result;
}

int link(const char* from, const char* to) {
  if (is_missing("link")) {
    errno = EPERM;
    return -1;
  }
  return (int)syscall(SYS_linkat, AT_FDCWD, from, AT_FDCWD, to, 0);
}

int fsync(int descriptor) {
  note_descriptor("fsync", descriptor);
  return 0;
}

int syncfs(int descriptor) {
  note_descriptor("syncfs", descriptor);
  return 0;
}

ssize_t write(int descriptor, const void* bytes, size_t count) {
  if (descriptor <= STDERR_FILENO) note(descriptor == STDOUT_FILENO ? "say" : "warn", "");
  return syscall(SYS_write, descriptor, bytes, count);
}

extern void* __libc_malloc(size_t);
extern void* __libc_calloc(size_t, size_t);
extern void* __libc_realloc(void*, size_t);

static atomic_long allocations;
static long failing;

__attribute__((constructor)) static void begin(void) {
  const char* number = getenv("INTERPOSED_ALLOCATION");
  atomic_store(&allocations, 0);
  failing = number == NULL ? 0 : atol(number);
}

__attribute__((destructor)) static void end(void) {
  const char* file = getenv("INTERPOSED_ALLOCATIONS");
  if (file == NULL) return;
  char line[32];
  const int length = snprintf(line, sizeof line, "%ld\n", atomic_load(&allocations));
  const int log = (int)syscall(SYS_openat, AT_FDCWD, file, O_WRONLY | O_CREAT | O_TRUNC, 0666);
  syscall(SYS_write, log, line, length);
  syscall(SYS_close, log);
}

static int fails(void) {
  if (atomic_fetch_add(&allocations, 1) + 1 != failing) return 0;
  errno = ENOMEM;
  return 1;
}

void* malloc(size_t size) { return fails() ? NULL : __libc_malloc(size); }
void* calloc(size_t count, size_t size) { return fails() ? NULL : __libc_calloc(count, size); }
void* realloc(void* old, size_t size) { return fails() ? NULL : __libc_realloc(old, size); }
