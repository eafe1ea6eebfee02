#pragma once
#include <memory>
#include <string>
#include <vector>

#include <CLI/CLI.hpp>

#include "jobs/critique_job.h"
#include "support/error.h"
#include "support/job.h"

namespace armslength::cli {

// One command = one job. `Add…` declares the options on `app` and returns nothing; the
// chosen command's callback stores its exit code in `exit_code`.
// Exit codes: 0 done, 2 bad usage, 3 bad input, 4 cancelled, 5 internal.
struct Session {
  int exit_code = 0;
};

void AddCritique(CLI::App& app, Session& session);
void AddReading(CLI::App& app, Session& session);
void AddCanon(CLI::App& app, Session& session);
void AddMarks(CLI::App& app, Session& session);
void AddDemo(CLI::App& app, Session& session);

// --language NAME of a command that writes texts, and speaking it; false: no such language, said on stderr.
void AddLanguage(CLI::App& command, std::string& language);
[[nodiscard]] bool Speak(const std::string& language, Session& session);

// Prints the error on stderr and returns its exit code.
int Complain(const Error& error);

// The first findings in words, the counts, and where the page is.
[[nodiscard]] std::string Summary(const CritiqueOutcome& outcome);

// Ctrl-C stops the job at its next step; progress is a bar on a terminal, else silent.
[[nodiscard]] JobControl TerminalControl();
void EndProgress();

// Prints `text` on stdout, checking for a full disk or closed pipe. Exit code.
int Print(const std::string& text);

}  // namespace armslength::cli
