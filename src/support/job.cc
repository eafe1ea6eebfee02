#include "support/job.h"

#include <algorithm>
#include <atomic>
#include <exception>
#include <mutex>
#include <system_error>
#include <thread>
#include <vector>

namespace armslength {

void ParallelFor(int count, int threads, const std::function<void(int)>& body) {
  if (threads <= 0) threads = std::max(1u, std::thread::hardware_concurrency());
  threads = std::min(threads, count);
  std::atomic<int> next{0};
  std::exception_ptr first;
  std::mutex lock;
  const auto work = [&] {
    for (int i = next++; i < count; i = next++) {
      try {
        body(i);
      } catch (...) {
        const std::scoped_lock hold(lock);
        if (!first) first = std::current_exception();
        next = count;
      }
    }
  };
  std::vector<std::thread> pool;
  try {
    for (int t = 1; t < threads; ++t) pool.emplace_back(work);
  } catch (const std::system_error&) {
    // No more threads to be had: those that run, and this one, do the work.
  }
  work();
  for (auto& thread : pool) thread.join();
  if (first) std::rethrow_exception(first);
}

}  // namespace armslength
