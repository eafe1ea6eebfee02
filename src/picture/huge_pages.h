#pragma once
#include <cstddef>
#include <cstdint>
#include <vector>

#include <sys/mman.h>

namespace armslength {

// Asks for 2 MiB pages behind [data, data + bytes). Call before the memory is first touched;
// a hint only, so no error. Worth it from a few MiB up: a 35-megapixel picture is 34 000
// small pages, and faulting them in costs more than the zeroing (docs/notes/0002-picture-io.md).
inline void AdviseHugePages(void* data, std::size_t bytes) {
  constexpr std::uintptr_t kHuge = std::uintptr_t{2} << 20;
  if (bytes < 2 * kHuge) return;
  const std::uintptr_t begin = reinterpret_cast<std::uintptr_t>(data);
  const std::uintptr_t page = begin & ~std::uintptr_t{4095};  // down: the heap's header page is ours too
  ::madvise(reinterpret_cast<void*>(page), bytes + (begin - page), MADV_HUGEPAGE);
}

// values.resize(count) with large pages and without a spare copy of the old content: what the
// vector held before is dropped, every element becomes T{}.
template <typename T>
void ResizeHuge(std::vector<T>& values, std::size_t count) {
  values = std::vector<T>();
  values.reserve(count);
  AdviseHugePages(values.data(), count * sizeof(T));
  values.resize(count);
}

}  // namespace armslength
