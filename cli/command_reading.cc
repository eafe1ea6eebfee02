#include "cli/command.h"
#include "jobs/readings_job.h"

namespace armslength::cli {

void AddReading(CLI::App& app, Session& session) {
  struct Options {
    std::vector<std::string> marks;
    std::string canon, character, language;
    int threads = 0;
    bool jsonl = false, together = false;
  };
  auto* command = app.add_subcommand("reading", "Read many marks files without their pictures, one JSON line each");
  auto o = std::make_shared<Options>();
  command->add_option("MARKS", o->marks, "Marks files")->required();
  command->add_option("--canon", o->canon, "Canon for every figure: a name (see: canon list) or a canon file");
  command->add_option("--character", o->character, "Character file to judge the heads against (see: canon from-marks); the figure of its "
                                                   "name, or every figure when none bears it");
  command->add_flag("--together", o->together, "Read the heads of figures of one name together, as drawings of one character, each "
                                                "judged against the others");
  command->add_option("--threads", o->threads, "Cores to use (default: all)")->check(CLI::Range(0, 256));
  AddLanguage(*command, o->language);
  command->add_flag("--jsonl", o->jsonl, "One JSON line per file (the only form there is)");
  command->callback([&session, o] {
    if (!Speak(o->language, session)) return;
    ReadingsJobOptions options;
    options.marks.assign(o->marks.begin(), o->marks.end());
    if (!o->canon.empty()) options.canon = o->canon;
    if (!o->character.empty()) options.character = o->character;
    options.together = o->together;
    options.threads = o->threads;
    options.control = TerminalControl();
    const auto lines = RunReadings(options);
    if (!lines) {
      session.exit_code = Complain(lines.error());
      return;
    }
    std::string text;
    for (const auto& line : *lines) text += line + "\n";
    session.exit_code = Print(text);
  });
}

}  // namespace armslength::cli
