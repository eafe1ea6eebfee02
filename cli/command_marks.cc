#include <fmt/format.h>

#include "cli/command.h"
#include "marks/marks_file.h"

namespace armslength::cli {

void AddMarks(CLI::App& app, Session& session) {
  auto* marks = app.add_subcommand("marks", "Check marks files, or list the names a marks file may use");
  marks->require_subcommand(1);

  auto* check = marks->add_subcommand("check", "Say whether marks files can be read, and what each holds");
  auto files = std::make_shared<std::vector<std::string>>();
  check->add_option("FILES", *files, "Marks files")->required();
  check->callback([&session, files] {
    std::string text;
    for (const std::string& file : *files) {
      const auto loaded = LoadMarks(file);
      if (!loaded) {
        session.exit_code = Complain(loaded.error());
        return;
      }
      text += fmt::format("{}: fits {} ({} x {} px)\n", file, loaded->picture.file, loaded->picture.width,
                          loaded->picture.height);
      for (const FigureMarks& figure : loaded->figures)
        text += fmt::format("  {}: {} points, {} depth flags, {} rings, {} areas\n", figure.name,
                            figure.points.size(), figure.depth.size(), figure.rings.size(), figure.areas.size());
    }
    session.exit_code = Print(text);
  });

  auto* names = marks->add_subcommand("names", "List the point and bone names");
  names->callback([&session] {
    std::string text = "points:\n";
    for (const auto name : PointNames()) text += fmt::format("  {:<16}{}\n", name, SpokenName(*PointFromName(name)));
    text += "bones that may carry a depth flag (toward, away, flat):\n";
    for (const auto name : DepthBoneNames()) text += fmt::format("  {:<16}{}\n", name, SpokenName(*BoneFromName(name)));
    session.exit_code = Print(text);
  });
}

}  // namespace armslength::cli
