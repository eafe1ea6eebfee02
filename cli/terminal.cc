#include <signal.h>
#include <unistd.h>

#include <atomic>
#include <cstdio>
#include <mutex>

#include <fmt/format.h>

#include "cli/command.h"

#include "words/say.h"

namespace armslength::cli {
namespace {

std::atomic<bool> stop{false};
bool bar_shown = false;
std::mutex bar_lock;

void OnInterrupt(int) { stop = true; }

}  // namespace

int Complain(const Error& error) {
  EndProgress();
  fmt::print(stderr, "armslength: {}\n", error.Text());
  return ExitCode(error.kind);
}

void AddLanguage(CLI::App& command, std::string& language) {
  command.add_option("--language", language, fmt::format("Language of the texts: {} (default: en)", fmt::join(Languages(), ", ")));
}

bool Speak(const std::string& language, Session& session) {
  if (language.empty() || SpeakLanguage(language)) return true;
  session.exit_code = Complain({ErrorKind::kUsage, "", "--language", fmt::format("there is no language '{}'", language),
                                fmt::format("Languages: {}", fmt::join(Languages(), ", "))});
  return false;
}

JobControl TerminalControl() {
  struct sigaction action {};
  action.sa_handler = OnInterrupt;
  action.sa_flags = static_cast<int>(SA_RESETHAND);  // a second Ctrl-C ends the program at once
  ::sigaction(SIGINT, &action, nullptr);
  JobControl control;
  control.stop_requested = [] { return stop.load(); };
  if (::isatty(STDERR_FILENO))
    control.report = [](double done, std::string_view what) {
      const std::scoped_lock hold(bar_lock);
      const int filled = static_cast<int>(std::min(1.0, std::max(0.0, done)) * 24.0);
      fmt::print(stderr, "\r\033[K[{:=<{}}{: <{}}] {}", "", filled, "", 24 - filled, what);
      std::fflush(stderr);
      bar_shown = true;
    };
  return control;
}

void EndProgress() {
  const std::scoped_lock hold(bar_lock);
  if (bar_shown) fmt::print(stderr, "\r\033[K");
  bar_shown = false;
}

int Print(const std::string& text) {
  EndProgress();
  if (std::fwrite(text.data(), 1, text.size(), stdout) != text.size() || std::fflush(stdout) != 0)
    return Complain({ErrorKind::kInternal, "", "", "the output could not be written", "Check the disk or the pipe"});
  return 0;
}

}  // namespace armslength::cli
