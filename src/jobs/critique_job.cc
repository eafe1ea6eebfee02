#include "jobs/critique_job.h"

#include <algorithm>
#include <regex>
#include <utility>

#include <fmt/format.h>

#include "check/pixels/picture_checks.h"
#include "jobs/figure_checks.h"
#include "jobs/file_set.h"
#include "jobs/whole_checks.h"
#include "marks/marks_file.h"
#include "proposal/proposal.h"
#include "reading/head/character_file.h"
#include "report/critique_json.h"
#include "report/critique_page.h"
#include "report/guides.h"
#include "report/overlay.h"
#include "report/standing_plate.h"
#include "support/files.h"
#include "words/say.h"

namespace armslength {
namespace fs = std::filesystem;
namespace {

struct Evaluated {
  CritiqueOutcome outcome;
  Picture picture;
  std::vector<FreshEyeView> views;  // empty when not asked for
};

// A job's own share of the whole progress.
JobControl Part(const JobControl& whole, double from, double to) {
  JobControl part;
  part.stop_requested = whole.stop_requested;
  if (whole.report)
    part.report = [report = whole.report, from, to](double done, std::string_view what) {
      report(from + (to - from) * std::clamp(done, 0.0, 1.0), what);
    };
  return part;
}

tl::unexpected<Error> Cancelled() {
  return Fail(ErrorKind::kCancelled, "", "", "stopped by you", "Nothing was written");
}

Result<Evaluated> Evaluate(const CritiqueJobOptions& options, bool views) {
  const JobControl& control = options.control;
  // Marks and canons first: they are small, and their faults should not wait for a big picture.
  Marks marks;
  std::vector<FigureTask> tasks;
  if (options.marks) {
    auto loaded = LoadMarks(*options.marks);
    if (!loaded) return tl::unexpected(loaded.error());
    marks = std::move(*loaded);
    auto figures = FigureTasks(marks, *options.marks, options.canon, options.character);
    if (!figures) return tl::unexpected(figures.error());
    tasks = std::move(*figures);
  } else {
    if (options.canon)
      if (auto canon = FindCanon(*options.canon); !canon) return tl::unexpected(canon.error());
    if (options.character)
      if (auto character = LoadCharacter(*options.character); !character) return tl::unexpected(character.error());
  }

  control.Report(0.0, "opening the picture");
  PictureOptions picture_options;
  picture_options.control = Part(control, 0.0, 0.15);
  picture_options.load_layers = true;
  auto picture = LoadPicture(options.picture, picture_options);
  if (!picture) return tl::unexpected(picture.error());
  const PictureFacts& facts = picture->facts;
  if (options.marks && (marks.picture.width != facts.width || marks.picture.height != facts.height))
    return BadInput(options.marks->string(), "/picture",
                    fmt::format("the marks were placed on a picture of {} x {} px, but {} has {} x {} px",
                                marks.picture.width, marks.picture.height, options.picture.string(), facts.width,
                                facts.height),
                    "Export the picture at the size that was marked, or place the marks again on this one");

  std::string proposed;
  if (!options.marks && options.propose) {
    ProposalOptions proposal_options;
    proposal_options.control.stop_requested = control.stop_requested;
    auto proposal = ProposeMarks(*picture, proposal_options);
    if (!proposal) return tl::unexpected(proposal.error());
    if (proposal->figures.empty()) {
      proposed = Say("no figure was found, so no marks were proposed and only the picture itself was asked");
    } else {
      auto figures = FigureTasks(ToMarks(*proposal, facts), options.picture, options.canon);
      if (!figures) return tl::unexpected(figures.error());
      tasks = std::move(*figures);
      proposed = SayCount(tasks.size(),
                          "the marks of {} figure were proposed by the program and not confirmed: they call no construction off; "
                          "write them with `marks propose`, set them right and give them with --marks",
                          "the marks of {} figures were proposed by the program and not confirmed: they call no construction off; "
                          "write them with `marks propose`, set them right and give them with --marks",
                          tasks.size());
    }
  }
  for (FigureTask& task : tasks) task.picture = &*picture;
  auto results = CheckFigures(tasks, options.threads, Part(control, 0.15, 0.40));
  if (!results) return tl::unexpected(results.error());

  PictureCheckOptions checks;
  checks.stage = options.stage;
  checks.marks = options.marks ? &marks : nullptr;
  checks.make_views = views;
  checks.threads = options.threads;
  checks.control = Part(control, 0.40, 0.70);
  auto whole = CheckWhole(*picture, std::move(*results), std::move(checks));
  if (!whole) return tl::unexpected(whole.error());

  Evaluated out;
  out.outcome.notes = std::move(whole->picture.notes);
  out.outcome.critique = Rank(facts, std::move(whole->figures), std::move(whole->findings), options.stage);
  if (options.marks) out.outcome.critique.marks_file = options.marks->string();
  else if (!tasks.empty())
    out.outcome.critique.marks_file = Say("proposed by the program, not confirmed");
  if (!proposed.empty()) out.outcome.notes.push_back(std::move(proposed));
  out.picture = std::move(*picture);
  out.views = std::move(whole->picture.views);
  return out;
}

bool SameFile(const fs::path& a, const fs::path& b) {
  std::error_code error;
  return fs::equivalent(a, b, error) && !error;
}

// Guides and plates of an earlier critique in this folder: only names we give, and only
// beside a critique file of ours.
std::vector<std::string> Obsolete(const fs::path& folder) {
  std::error_code error;
  const fs::path earlier = folder / "critique.json";
  if (!fs::is_regular_file(earlier, error)) return {};
  const auto text = ReadFile(earlier, std::uintmax_t{64} << 20);
  if (!text || text->find("\"armslength-critique\"") == std::string::npos) return {};
  static const std::regex ours("guide-[0-9]{2}-[A-Za-z0-9_-]+(\\.[A-Za-z0-9_-]+)+\\.(png|svg)|standing\\.png|look-[a-z0-9_]+\\.jpg");
  std::vector<std::string> names;
  for (const auto& entry : fs::directory_iterator(folder, error))
    if (std::regex_match(entry.path().filename().string(), ours)) names.push_back(entry.path().filename().string());
  std::sort(names.begin(), names.end());
  return names;
}

}  // namespace

Result<CritiqueOutcome> EvaluateCritique(const CritiqueJobOptions& options) {
  auto evaluated = Evaluate(options, false);
  if (!evaluated) return tl::unexpected(evaluated.error());
  options.control.Report(1.0, "done");
  return std::move(evaluated->outcome);
}

Result<CritiqueOutcome> RunCritique(const CritiqueJobOptions& options) {
  const JobControl& control = options.control;
  for (const char* name : {"critique.json", "critique.html", "overlay.png", "standing.png", "guides.ora"}) {
    const fs::path target = options.out_dir / name;
    if (SameFile(target, options.picture) || (options.marks && SameFile(target, *options.marks)))
      return Fail(ErrorKind::kUsage, target.string(), "", "the result would take the place of the file it is about",
                  "Choose another folder with --out");
  }
  auto evaluated = Evaluate(options, true);
  if (!evaluated) return tl::unexpected(evaluated.error());
  const Critique& critique = evaluated->outcome.critique;
  const int width = critique.picture.width, height = critique.picture.height;

  auto files = FileSet::Open(options.out_dir);
  if (!files) return tl::unexpected(files.error());
  const auto add = [&](const std::string& name, const Result<std::string>& bytes) -> Result<void> {
    if (!bytes) return tl::unexpected(bytes.error());
    if (control.Stopped()) return Cancelled();
    return files->Add(name, *bytes);
  };

  control.Report(0.72, "writing the critique");
  if (auto done = add("critique.json", CritiqueToJson(critique)); !done) return tl::unexpected(done.error());
  auto standing = DrawStanding(critique);
  if (!standing) return tl::unexpected(standing.error());
  if (auto done = add("critique.html", CritiquePage(critique, {&evaluated->picture.image, &*standing, evaluated->views},
                                                    evaluated->outcome.notes, Part(control, 0.72, 0.78)));
      !done)
    return tl::unexpected(done.error());

  for (const FreshEyeView& view : evaluated->views)
    if (auto done = add("look-" + view.id + ".jpg", EncodeJpeg(view.image, 90)); !done)
      return tl::unexpected(done.error());
  evaluated->views.clear();

  const std::vector<Guide> guides = GuidesOf(critique, &evaluated->picture.image);
  control.Report(0.78, "drawing the overlay");
  ImageRgba8 overlay = std::move(evaluated->picture.image);  // nobody needs the plain picture any more
  evaluated->picture.layers.clear();
  if (std::max(overlay.width, overlay.height) > kOverlayLongSide) overlay = ShrinkTo(overlay, kOverlayLongSide);
  if (auto done = PaintOverlay(overlay, critique, Part(control, 0.78, 0.82)); !done) return tl::unexpected(done.error());
  if (auto done = add("overlay.png", EncodePng(overlay, critique.picture.has_alpha)); !done)
    return tl::unexpected(done.error());
  overlay = {};

  control.Report(0.88, "drawing the guides");
  if (auto done = add("guides.ora", GuidesOpenRaster(guides, width, height)); !done) return tl::unexpected(done.error());
  if (standing->width > 0)
    if (auto done = add("standing.png", EncodePng(*standing, false)); !done) return tl::unexpected(done.error());
  for (std::size_t i = 0; i < guides.size(); ++i) {
    const int number = static_cast<int>(i) + 1;
    if (auto done = add(GuideFileName(number, guides[i].id, "png"), GuidePng(guides[i], width, height)); !done)
      return tl::unexpected(done.error());
    if (!guides[i].preview)
      if (auto done = add(GuideFileName(number, guides[i].id, "svg"), GuideSvg(guides[i], width, height)); !done)
        return tl::unexpected(done.error());
  }
  if (control.Stopped()) return Cancelled();
  auto placed = files->Commit(Obsolete(options.out_dir));
  if (!placed) return tl::unexpected(placed.error());
  evaluated->outcome.files = std::move(*placed);
  control.Report(1.0, "done");
  return std::move(evaluated->outcome);
}

}  // namespace armslength
