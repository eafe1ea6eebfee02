#include <fmt/format.h>

#include "canon/canon.h"
#include "cli/command.h"
#include "marks/marks_file.h"
#include "reading/learn/learn_canon.h"

namespace armslength::cli {
namespace {

void AddFromMarks(CLI::App& canon, Session& session) {
  struct Options {
    std::vector<std::string> marks;
    std::string name = "own", out, start;
    bool json = false;
  };
  auto* command = canon.add_subcommand("from-marks", "Learn lengths and spreads from your own figures");
  auto o = std::make_shared<Options>();
  command->add_option("MARKS", o->marks, "Marks files of figures drawn to one idea of proportion")->required();
  command->add_option("--name", o->name, "Name of the new canon");
  command->add_option("--out", o->out, "Where to write it (default: NAME.canon.json)");
  command->add_option("--canon", o->start, "Canon to start from (default: the convention at your head count)");
  command->add_flag("--json", o->json, "Print the canon on stdout; writes a file only with --out");
  command->callback([&session, o] {
    std::vector<CanonExample> examples;
    for (const auto& file : o->marks) {
      auto marks = LoadMarks(file);
      if (!marks) {
        session.exit_code = Complain(marks.error());
        return;
      }
      for (auto& figure : marks->figures) examples.push_back({file, std::move(figure)});
    }
    LearnCanonOptions options;
    options.name = o->name;
    options.control = TerminalControl();
    Result<Canon> start = Canon{};
    if (!o->start.empty()) {
      start = FindCanon(o->start);
      if (!start) {
        session.exit_code = Complain(start.error());
        return;
      }
      options.start = &*start;
    }
    const auto learned = LearnCanon(examples, options);
    if (!learned) {
      session.exit_code = Complain(learned.error());
      return;
    }
    const std::string out = !o->out.empty() ? o->out : o->name + ".canon.json";
    if (!o->json || !o->out.empty())
      if (const auto saved = SaveCanon(learned->canon, out); !saved) {
        session.exit_code = Complain(saved.error());
        return;
      }
    session.exit_code = Print(o->json ? CanonToJson(learned->canon)
                                      : DescribeLearned(*learned) + fmt::format("Written to {}\n", out));
  });
}

}  // namespace

void AddCanon(CLI::App& app, Session& session) {
  auto* canon = app.add_subcommand("canon", "Proportions in head heights: list, show, learn from your figures");
  canon->require_subcommand(1);

  canon->add_subcommand("list", "The built-in canons")->callback([&session] {
    session.exit_code = Print(DescribeCanons(BuiltInCanons()));
  });

  struct Show {
    std::string name;
    bool json = false;
  };
  auto* show = canon->add_subcommand("show", "One canon: lengths, spreads, source");
  auto o = std::make_shared<Show>();
  show->add_option("CANON", o->name, "Name or canon file")->required();
  show->add_flag("--json", o->json, "As a canon file");
  show->callback([&session, o] {
    const auto found = FindCanon(o->name);
    session.exit_code = found ? Print(o->json ? CanonToJson(*found) : DescribeCanon(*found)) : Complain(found.error());
  });

  AddFromMarks(*canon, session);
}

}  // namespace armslength::cli
