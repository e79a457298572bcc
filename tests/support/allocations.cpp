#include "support/allocations.hpp"

#include <atomic>
#include <cerrno>
#include <cstddef>

namespace {
std::atomic<long> count{0};
}

namespace thawline::test {
long allocations() { return count; }
}  // namespace thawline::test

#if defined(__SANITIZE_ADDRESS__) || defined(__SANITIZE_THREAD__)

#include <sanitizer/allocator_interface.h>

// Sanitizers bring their own malloc and tell of its calls.
namespace {
const int installed = __sanitizer_install_malloc_and_free_hooks(
    [](const volatile void*, std::size_t) { ++count; }, [](const volatile void*) {});
}

#else

// glibc lets a program define these in its place and keeps its own under other names.
extern "C" {

void* __libc_malloc(std::size_t size);
void* __libc_calloc(std::size_t number, std::size_t size);
void* __libc_realloc(void* old, std::size_t size);
void* __libc_memalign(std::size_t alignment, std::size_t size);
void __libc_free(void* memory);

void* malloc(std::size_t size) {
  ++count;
  return __libc_malloc(size);
}

void* calloc(std::size_t number, std::size_t size) {
  ++count;
  return __libc_calloc(number, size);
}

void* realloc(void* old, std::size_t size) {
  ++count;
  return __libc_realloc(old, size);
}

void* memalign(std::size_t alignment, std::size_t size) {
  ++count;
  return __libc_memalign(alignment, size);
}

void* aligned_alloc(std::size_t alignment, std::size_t size) {
  ++count;
  return __libc_memalign(alignment, size);
}

int posix_memalign(void** memory, std::size_t alignment, std::size_t size) {
  ++count;
  *memory = __libc_memalign(alignment, size);
  return *memory == nullptr ? ENOMEM : 0;
}

void free(void* memory) { __libc_free(memory); }

}  // extern "C"

#endif
