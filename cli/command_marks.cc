#include <algorithm>
#include <array>
#include <filesystem>

#include <fmt/format.h>

#include "cli/command.h"
#include "marks/marks_file.h"
#include "proposal/carry.h"
#include "proposal/proposal.h"

namespace armslength::cli {
namespace {

// Says so and answers true when the file exists: it may be the artist's work.
bool RefuseToReplace(const std::string& out, Session& session) {
  std::error_code error;
  if (!std::filesystem::exists(out, error)) return false;
  session.exit_code = Complain({ErrorKind::kUsage, out, "--out", "this file exists already and may hold your own marks",
                                "Name another file, or add --force"});
  return true;
}

}  // namespace

void AddMarks(CLI::App& app, Session& session) {
  auto* marks = app.add_subcommand("marks", "Check, propose or carry marks, or list the names a marks file may use");
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

  struct Propose {
    std::string picture, out;
    int figures = 4;
    bool other = false, force = false;
  };
  auto* propose = marks->add_subcommand("propose", "Find the figures of a picture and write first marks for you to set right");
  auto p = std::make_shared<Propose>();
  propose->add_option("PICTURE", p->picture, "PNG, JPEG, WebP, TIFF or OpenRaster; only read")->required();
  propose->add_option("--out", p->out, "Marks file to write")->required();
  propose->add_option("--figures", p->figures, "At most this many figures")->check(CLI::Range(1, 16));
  propose->add_flag("--other", p->other, "The second reading of each figure: sides of limbs exchanged");
  propose->add_flag("--force", p->force, "Replace the file when it exists");
  propose->callback([&session, p] {
    if (!p->force && RefuseToReplace(p->out, session)) return;
    auto picture = LoadPicture(p->picture);
    if (!picture) {
      session.exit_code = Complain(picture.error());
      return;
    }
    ProposalOptions options;
    options.max_figures = p->figures;
    options.control = TerminalControl();
    const auto proposal = ProposeMarks(*picture, options);
    EndProgress();
    if (!proposal) {
      session.exit_code = Complain(proposal.error());
      return;
    }
    if (proposal->figures.empty()) {
      session.exit_code = Complain({ErrorKind::kInput, p->picture, "", "no figure found",
                                    "Place the marks yourself; small, cut off or very unusual figures are not found"});
      return;
    }
    Marks written = ToMarks(*proposal, picture->facts);
    std::string text;
    for (std::size_t i = 0; i < proposal->figures.size(); ++i) {
      const ProposedFigure& figure = proposal->figures[i];
      if (p->other) written.figures[i] = figure.OtherMarks(written.figures[i].name);
      text += fmt::format("{}: {} points proposed{}\n", written.figures[i].name, written.figures[i].points.size(),
                          figure.undecided ? "; left and right are undecided, see --other" : "");
      std::vector<ProposedPoint> doubtful = figure.points;
      std::stable_sort(doubtful.begin(), doubtful.end(), [](const auto& a, const auto& b) { return a.confidence < b.confidence; });
      std::string names;
      for (std::size_t j = 0; j < doubtful.size() && j < 5 && doubtful[j].confidence < 0.5; ++j)
        names += fmt::format("{}{}", names.empty() ? "" : ", ", SpokenName(doubtful[j].id));
      if (!names.empty()) text += fmt::format("  look first at: {}\n", names);
    }
    if (const auto saved = SaveMarks(written, p->out); !saved) {
      session.exit_code = Complain(saved.error());
      return;
    }
    text += fmt::format("Written: {}. Every mark is a proposal until you confirm it (take its name out of \"proposed\").\n", p->out);
    session.exit_code = Print(text);
  });

  struct Carry {
    std::string before, after, marks, out;
    bool force = false;
  };
  auto* carry = marks->add_subcommand("carry", "Take the marks of an earlier version over to a later version of the picture");
  auto k = std::make_shared<Carry>();
  carry->add_option("BEFORE", k->before, "The earlier picture; only read")->required();
  carry->add_option("AFTER", k->after, "The later picture; only read")->required();
  carry->add_option("--marks", k->marks, "Marks file of the earlier picture; only read")->required();
  carry->add_option("--out", k->out, "Marks file to write for the later picture")->required();
  carry->add_flag("--force", k->force, "Replace the file when it exists");
  carry->callback([&session, k] {
    if (!k->force && RefuseToReplace(k->out, session)) return;
    const auto before = LoadPicture(k->before), after = LoadPicture(k->after);
    auto known = LoadMarks(k->marks);
    if (!before || !after || !known) {
      session.exit_code = Complain(!before ? before.error() : !after ? after.error() : known.error());
      return;
    }
    if (known->picture.width != before->image.width || known->picture.height != before->image.height) {
      session.exit_code = Complain({ErrorKind::kInput, k->marks, "picture",
                                    fmt::format("these marks belong to a picture of {} x {} px, this one has {} x {} px",
                                                known->picture.width, known->picture.height, before->image.width, before->image.height),
                                    "Name the picture the marks were placed on first"});
      return;
    }
    CarryOptions options;
    options.control = TerminalControl();
    std::string text;
    known->picture = {std::filesystem::path(k->after).filename().string(), after->image.width, after->image.height};
    auto all = CarryFigures(*before, known->figures, *after, options);
    EndProgress();
    if (!all) {
      session.exit_code = Complain(all.error());
      return;
    }
    for (std::size_t f = 0; f < known->figures.size(); ++f) {
      FigureMarks& figure = known->figures[f];
      CarriedFigure* carried = &(*all)[f];
      std::array<std::string, 3> named;
      std::array<int, 3> count{};
      for (const auto& [id, how] : carried->how) {
        const auto i = static_cast<std::size_t>(how);
        named[i] += fmt::format("{}{}", count[i] ? ", " : "", SpokenName(id));
        ++count[i];
      }
      text += fmt::format("{}: {} of {} marks lie on the same drawing\n", figure.name, count[0], carried->how.size());
      if (count[1]) text += fmt::format("  redrawn, moved as proposed: {}\n", named[1]);
      if (count[2]) text += fmt::format("  left where they were: {}\n", named[2]);
      figure = std::move(carried->marks);
    }
    if (const auto saved = SaveMarks(*known, k->out); !saved) {
      session.exit_code = Complain(saved.error());
      return;
    }
    text += fmt::format("Written: {}. Marks not on the same drawing are proposals until you confirm them.\n", k->out);
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
