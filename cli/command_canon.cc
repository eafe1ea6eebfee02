#include <algorithm>
#include <optional>

#include <fmt/format.h>

#include "canon/canon.h"
#include "cli/command.h"
#include "marks/marks_file.h"
#include "reading/head/character_file.h"
#include "reading/learn/learn_canon.h"
#include "reading/learn/learn_head.h"

namespace armslength::cli {
namespace {

// "mara.canon.json" -> "mara.character.json".
std::string CharacterPath(const std::string& canon_path) {
  for (const std::string_view ending : {".canon.json", ".json"})
    if (canon_path.ends_with(ending)) return canon_path.substr(0, canon_path.size() - ending.size()) + ".character.json";
  return canon_path + ".character.json";
}

void AddFromMarks(CLI::App& canon, Session& session) {
  struct Options {
    std::vector<std::string> marks;
    std::string name = "own", out, start;
    bool json = false, one_character = false;
  };
  auto* command = canon.add_subcommand("from-marks", "Learn lengths and spreads from your own figures, and the head from "
                                                     "their faces");
  auto o = std::make_shared<Options>();
  command->add_option("MARKS", o->marks, "Marks files of figures drawn to one idea of proportion")->required();
  command->add_option("--name", o->name, "Name of the new canon");
  command->add_option("--out", o->out, "Where to write it (default: NAME.canon.json); a learned head goes beside it as "
                                        "NAME.character.json");
  command->add_flag("--one-character", o->one_character, "The heads are drawings of one character and are read jointly "
                                                         "(default: heads of several characters in one style)");
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
    const auto head = LearnHead(examples, {o->name, o->one_character});
    const bool bodies = std::any_of(examples.begin(), examples.end(), [](const CanonExample& e) { return HasBodyMarks(e.marks); });
    const bool faces = head && head->has_value();
    // Too few heads for a style must not stand in the way of a canon, nor must portraits without
    // a body stand in the way of their heads.
    if (!head && (!bodies || o->one_character)) {
      session.exit_code = Complain(head.error());
      return;
    }
    std::optional<LearnedCanon> canon_learned;
    if (bodies || !faces) {
      auto learned = LearnCanon(examples, options);
      if (!learned) {
        session.exit_code = Complain(learned.error());
        return;
      }
      canon_learned = std::move(*learned);
    }
    const std::string out = !o->out.empty() ? o->out : o->name + ".canon.json";
    const std::string head_out = CharacterPath(out);
    std::string text = canon_learned ? DescribeLearned(*canon_learned) : std::string{};
    if (faces) text += DescribeLearned(**head);
    if (!head) text += fmt::format("No head learned: {}. {}\n", head.error().cause, head.error().remedy);
    if (!o->json || !o->out.empty()) {
      if (faces)
        if (const auto saved = SaveCharacter((*head)->profile, head_out); !saved) {
          session.exit_code = Complain(saved.error());
          return;
        }
      if (canon_learned)
        if (const auto saved = SaveCanon(canon_learned->canon, out); !saved) {
          session.exit_code = Complain(saved.error());
          return;
        }
    }
    if (canon_learned) text += fmt::format("Written to {}\n", out);
    if (faces) text += fmt::format("Head written to {}\n", head_out);
    session.exit_code = Print(!o->json ? text : canon_learned ? CanonToJson(canon_learned->canon) : CharacterToJson((*head)->profile));
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
