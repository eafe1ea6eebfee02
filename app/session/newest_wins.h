#pragma once
#include <condition_variable>
#include <functional>
#include <mutex>
#include <optional>
#include <thread>

#include "app/session/background.h"
#include "support/job.h"

namespace armslength::app {

// A thread of its own that always works on the newest request: a newer one replaces those still
// waiting and tells the one under way to stop. Make it the last member of its owner: the work
// may begin at once, and ends before anything else of the owner goes.
template <typename Request>
class NewestWins {
 public:
  enum class Priority : std::uint8_t { kAsTheWindow, kAfterTheWindow };
  // `work` runs on that thread; `control` says when to stop.
  using Work = std::function<void(Request& request, const JobControl& control)>;

  NewestWins(Priority priority, Work work)
      : work_(std::move(work)), thread_([this, priority] {
          if (priority == Priority::kAfterTheWindow) LetTheWindowGoFirst();
          Run();
        }) {}
  NewestWins(const NewestWins&) = delete;
  NewestWins& operator=(const NewestWins&) = delete;
  ~NewestWins() {
    {
      const std::scoped_lock hold(lock_);
      quit_ = true;
    }
    wake_.notify_all();
    thread_.join();
  }

  void Ask(Request request) {
    {
      const std::scoped_lock hold(lock_);
      next_ = std::move(request);
    }
    wake_.notify_one();
  }
  [[nodiscard]] bool Busy() const {
    const std::scoped_lock hold(lock_);
    return busy_ || next_.has_value();
  }

 private:
  void Run() {
    JobControl control;
    control.stop_requested = [this] {
      const std::scoped_lock hold(lock_);
      return quit_ || next_.has_value();
    };
    for (;;) {
      std::optional<Request> request;
      {
        std::unique_lock hold(lock_);
        busy_ = false;
        wake_.wait(hold, [this] { return quit_ || next_; });
        if (quit_) return;
        request = std::move(next_);
        next_.reset();
        busy_ = true;
      }
      work_(*request, control);
    }
  }

  Work work_;
  mutable std::mutex lock_;
  std::condition_variable wake_;
  std::optional<Request> next_;
  bool quit_ = false, busy_ = false;
  std::thread thread_;
};

}  // namespace armslength::app
