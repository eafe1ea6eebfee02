#pragma once
#include <functional>
#include <string_view>

namespace armslength {

// What a long task needs from whoever runs it. Both may be empty. Called from any
// thread; must be thread-safe and cheap.
struct JobControl {
  std::function<bool()> stop_requested;                              // true: give up soon
  std::function<void(double done_0_to_1, std::string_view what)> report;

  [[nodiscard]] bool Stopped() const { return stop_requested && stop_requested(); }
  void Report(double done, std::string_view what) const {
    if (report) report(done, what);
  }
};

// Runs body(i) for i in [0, count) on up to `threads` threads (0: all cores).
// Order is not promised. Exceptions from body reach the caller (the first one).
void ParallelFor(int count, int threads, const std::function<void(int)>& body);

}  // namespace armslength
