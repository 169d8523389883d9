/* Makes one of a process's writes to a record fail, or every write from one on, or kills the process there: loaded
   before the C library by the fault tests. What is counted are writes, truncations and syncs of files named after the
   record; where it kills, new names and removals too.

   PLINTH_FAIL_NAME what the paths of the files contain; record.plinth where it is not set
   PLINTH_FAIL_AT   which of them fails, counted from 1
   PLINTH_FAIL_EVER set: those after it fail too
   PLINTH_FAIL_AS   the errno
   PLINTH_FAIL_KILL set: the process is killed before it instead
   PLINTH_FAIL_LOG  the file into which the number of them is written at the end */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <signal.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/types.h>
#include <unistd.h>

static long counted;

static long number(const char *name) {
  const char *text = getenv(name);
  return text ? atol(text) : 0;
}

static int counts(const char *path) {
  const char *name = getenv("PLINTH_FAIL_NAME");
  if (!strstr(path, name ? name : "record.plinth")) return 0;
  long at = number("PLINTH_FAIL_AT");
  counted++;
  if (counted == at && getenv("PLINTH_FAIL_KILL")) raise(SIGKILL);
  if (counted == at || (getenv("PLINTH_FAIL_EVER") && counted > at)) {
    errno = (int)number("PLINTH_FAIL_AS");
    return 1;
  }
  return 0;
}

static int fails(int fd) {
  char link[64], path[4096];
  snprintf(link, sizeof link, "/proc/self/fd/%d", fd);
  ssize_t length = readlink(link, path, sizeof path - 1);
  if (length <= 0) return 0;
  path[length] = 0;
  return counts(path);
}

__attribute__((destructor)) static void tell(void) {
  const char *log = getenv("PLINTH_FAIL_LOG");
  FILE *file = log ? fopen(log, "w") : NULL;
  if (!file) return;
  fprintf(file, "%ld\n", counted);
  fclose(file);
}

#define WRAP(result, name, args, given)                              \
  result name args {                                                 \
    static result(*real) args;                                       \
    if (!real) real = (result(*) args)dlsym(RTLD_NEXT, #name);       \
    return fails(fd) ? -1 : real given;                              \
  }

WRAP(ssize_t, write, (int fd, const void *from, size_t length), (fd, from, length))
WRAP(ssize_t, pwrite, (int fd, const void *from, size_t length, off_t at), (fd, from, length, at))
WRAP(ssize_t, pwrite64, (int fd, const void *from, size_t length, off64_t at), (fd, from, length, at))
WRAP(int, ftruncate, (int fd, off_t length), (fd, length))
WRAP(int, ftruncate64, (int fd, off64_t length), (fd, length))
WRAP(int, fsync, (int fd), (fd))
WRAP(int, fdatasync, (int fd), (fd))

int rename(const char *from, const char *to) {
  static int (*real)(const char *, const char *);
  if (!real) real = (int (*)(const char *, const char *))dlsym(RTLD_NEXT, "rename");
  if (getenv("PLINTH_FAIL_KILL")) counts(from);
  return real(from, to);
}

int unlink(const char *path) {
  static int (*real)(const char *);
  if (!real) real = (int (*)(const char *))dlsym(RTLD_NEXT, "unlink");
  if (getenv("PLINTH_FAIL_KILL")) counts(path);
  return real(path);
}
