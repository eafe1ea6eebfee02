#include <fmt/format.h>

#include "cli/command.h"
#include "jobs/critique_job.h"
#include "synth/demo.h"

namespace armslength::cli {

void AddDemo(CLI::App& app, Session& session) {
  struct Options {
    std::string out = "armslength-demo";
    bool pictures_only = false;
  };
  auto* command = app.add_subcommand("demo", "Draw the demo character in three versions and critique them");
  auto o = std::make_shared<Options>();
  command->add_option("--out", o->out, "Folder for pictures, marks and critiques");
  command->add_flag("--pictures-only", o->pictures_only, "Pictures and marks, no critiques");
  command->callback([&session, o] {
    const std::filesystem::path folder = o->out;
    const JobControl control = TerminalControl();
    control.Report(0.0, "drawing the demo pictures");
    if (const auto written = WriteDemo(folder); !written) {
      session.exit_code = Complain(written.error());
      return;
    }
    std::string text = fmt::format("Demo pictures and marks: {}\n", std::filesystem::absolute(folder).string());
    const std::pair<const char*, const char*> versions[] = {
        {"old", "The old picture"}, {"repaired", "The repaired picture"}, {"redraw", "The clean redraw"}};
    for (const auto& [name, title] : versions) {
      if (o->pictures_only) break;
      CritiqueJobOptions options;
      options.picture = folder / fmt::format("{}.png", name);
      options.marks = folder / fmt::format("{}.marks.json", name);
      options.out_dir = folder / fmt::format("{}.critique", name);
      options.control = control;
      const auto outcome = RunCritique(options);
      if (!outcome) {
        session.exit_code = Complain(outcome.error());
        return;
      }
      text += fmt::format("\n{}\n{}", title, Summary(*outcome));
    }
    session.exit_code = Print(text);
  });
}

}  // namespace armslength::cli
