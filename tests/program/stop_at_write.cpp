// Loaded into the program by LD_PRELOAD, so that a test can kill or stop it at a known point: just
// before one of its changes of the disk. Between two changes nothing on the disk differs, so these
// are all the instants there are.
//
//   STOP_FILE   counts changes of files whose name holds this word
//   STOP_AT     number of the change (from 1) at which to stop; none when absent
//   STOP_HOW    kill: SIGKILL before it; torn: after a part of its bytes; pause: SIGSTOP before it
//   STOP_COUNT  file that gets the number of changes when the program ends
//   STOP_CLOCK  when set, every reading of the steady clock is a second after the last, so that
//               what the program does once a second it does at every opportunity

#include <dlfcn.h>
#include <sys/types.h>
#include <unistd.h>

#include <array>
#include <atomic>
#include <csignal>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <ctime>

namespace {

std::atomic<long> changes{0};
std::atomic<long> readings{0};

bool is_watched(const char* name) {
  const char* word = std::getenv("STOP_FILE");
  return word != nullptr && std::strstr(name, word) != nullptr;
}

bool is_watched(int descriptor) {
  std::array<char, 64> link{};
  std::array<char, 4096> name{};
  std::snprintf(link.data(), link.size(), "/proc/self/fd/%d", descriptor);
  return readlink(link.data(), name.data(), name.size() - 1) > 0 && is_watched(name.data());
}

/// True when this change is the one to stop at.
bool is_the_one() {
  const char* at = std::getenv("STOP_AT");
  const long number = ++changes;
  return at != nullptr && number == std::atol(at);
}

bool is_wanted(const char* how) {
  const char* wanted = std::getenv("STOP_HOW");
  return wanted != nullptr && std::strcmp(wanted, how) == 0;
}

void stop() { std::raise(is_wanted("pause") ? SIGSTOP : SIGKILL); }

template <typename Function>
Function next(const char* name) {
  return reinterpret_cast<Function>(dlsym(RTLD_NEXT, name));
}

/// Before `count` bytes are written to `descriptor` by `put(bytes)`.
template <typename Put>
void before_write(int descriptor, std::size_t count, const Put& put) {
  if (!is_watched(descriptor) || !is_the_one()) return;
  if (is_wanted("torn")) put(count / 2);
  stop();
}

void before_change(const char* name) {
  if (is_watched(name) && is_the_one()) stop();
}

struct CountAtEnd {
  CountAtEnd() = default;
  CountAtEnd(const CountAtEnd&) = delete;
  CountAtEnd& operator=(const CountAtEnd&) = delete;
  CountAtEnd(CountAtEnd&&) = delete;
  CountAtEnd& operator=(CountAtEnd&&) = delete;
  ~CountAtEnd() {
    const char* file = std::getenv("STOP_COUNT");
    std::FILE* out = file == nullptr ? nullptr : std::fopen(file, "w");
    if (out == nullptr) return;
    std::fprintf(out, "%ld\n", changes.load());
    std::fclose(out);
  }
};
const CountAtEnd count_at_end;

}  // namespace

extern "C" {

ssize_t pwrite(int descriptor, const void* bytes, size_t count, off_t offset) {
  static const auto real = next<ssize_t (*)(int, const void*, size_t, off_t)>("pwrite");
  before_write(descriptor, count, [&](size_t some) { real(descriptor, bytes, some, offset); });
  return real(descriptor, bytes, count, offset);
}

ssize_t pwrite64(int descriptor, const void* bytes, size_t count, off64_t offset) {
  return pwrite(descriptor, bytes, count, offset);
}

ssize_t write(int descriptor, const void* bytes, size_t count) {
  static const auto real = next<ssize_t (*)(int, const void*, size_t)>("write");
  before_write(descriptor, count, [&](size_t some) { real(descriptor, bytes, some); });
  return real(descriptor, bytes, count);
}

int ftruncate(int descriptor, off_t size) noexcept {
  static const auto real = next<int (*)(int, off_t)>("ftruncate");
  if (is_watched(descriptor) && is_the_one()) stop();
  return real(descriptor, size);
}

int rename(const char* from, const char* to) noexcept {
  static const auto real = next<int (*)(const char*, const char*)>("rename");
  before_change(to);
  return real(from, to);
}

int unlink(const char* name) noexcept {
  static const auto real = next<int (*)(const char*)>("unlink");
  before_change(name);
  return real(name);
}

int clock_gettime(clockid_t clock, timespec* time) noexcept {
  static const auto real = next<int (*)(clockid_t, timespec*)>("clock_gettime");
  const int done = real(clock, time);
  if (clock == CLOCK_MONOTONIC && std::getenv("STOP_CLOCK") != nullptr) time->tv_sec = ++readings;
  return done;
}

}  // extern "C"
