#include <fmt/format.h>

#include "cli/command.h"
#include "jobs/critique_job.h"
#include "report/critique_json.h"
#include "support/files.h"
#include "words/say.h"

namespace armslength::cli {

void AddCritique(CLI::App& app, Session& session) {
  struct Options {
    std::string picture, marks, canon, character, stage, out, language;
    int threads = 0;
    bool json = false, no_proposals = false;
  };
  auto* command = app.add_subcommand("critique", "Measure one picture and write the critique beside it");
  auto o = std::make_shared<Options>();
  command->add_option("PICTURE", o->picture, "PNG, JPEG, WebP, TIFF or OpenRaster; only read")->required();
  command->add_option("--marks", o->marks, "Marks file of this picture; without it marks are proposed where figures are found");
  command->add_option("--canon", o->canon, "Canon for every figure: a name (see: canon list) or a canon file");
  command->add_option("--character", o->character, "Character file to judge the heads against (see: canon from-marks); the figure of its "
                                                   "name, or every figure when none bears it");
  command->add_option("--stage", o->stage, "Only what is asked by the end of this stage: thumbnail, construction, sketch, "
                                           "line, flats, shading, lighting, finish");
  command->add_option("--out", o->out, "Folder for the files (default: PICTURE without ending, plus .critique)");
  command->add_option("--threads", o->threads, "Cores to use (default: all)")->check(CLI::Range(0, 256));
  command->add_flag("--no-proposals", o->no_proposals, "Without --marks: propose none, read only the picture itself");
  AddLanguage(*command, o->language);
  command->add_flag("--json", o->json, "Print critique.json on stdout; writes files only with --out");
  command->callback([&session, o] {
    if (!Speak(o->language, session)) return;
    CritiqueJobOptions options;
    options.picture = o->picture;
    if (!o->marks.empty()) options.marks = o->marks;
    if (!o->canon.empty()) options.canon = o->canon;
    if (!o->character.empty()) options.character = o->character;
    if (!o->stage.empty()) {
      options.stage = StageFromName(o->stage);
      if (!options.stage) {
        session.exit_code = Complain({ErrorKind::kUsage, "", "--stage", fmt::format("there is no stage '{}'", o->stage),
                                      "Stages: thumbnail, construction, sketch, line, flats, shading, lighting, finish"});
        return;
      }
    }
    options.propose = !o->no_proposals;
    options.threads = o->threads;
    options.control = TerminalControl();
    const bool write = !o->json || !o->out.empty();
    options.out_dir = o->out.empty() ? std::filesystem::path(o->picture).replace_extension("critique")
                                     : std::filesystem::path(o->out);
    const auto outcome = write ? RunCritique(options) : EvaluateCritique(options);
    EndProgress();
    if (!outcome) {
      session.exit_code = Complain(outcome.error());
      return;
    }
    for (const auto& note : outcome->notes) fmt::print(stderr, "note: {}\n", note);
    if (o->json) {
      session.exit_code = Print(CritiqueToJson(outcome->critique) + "\n");
      return;
    }
    session.exit_code = Print(Summary(*outcome));
  });
}

std::string Summary(const CritiqueOutcome& outcome) {
  std::string text;
  const Critique& critique = outcome.critique;
  if (critique.first.empty()) text += Say("Nothing is off as far as this view can tell.") + "\n";
  int number = 0;
  for (const Finding& finding : critique.first) {
    text += fmt::format("{}. {}\n", ++number, finding.title);
    if (!finding.why.empty()) text += fmt::format("   {}\n", finding.why);
  }
  const auto more = critique.rest.size() + critique.covered.size();
  if (more > 0) text += Say("{} more below them; ", more);
  text += Say("{} clear, {} that this view cannot tell, {} to keep.", critique.clear.size(), critique.cannot_tell.size(),
              critique.keep.size()) +
          "\n";
  for (const auto& file : outcome.files)
    if (file.extension() == ".html") text += Say("Page: {}", std::filesystem::absolute(file).string()) + "\n";
  return text;
}

}  // namespace armslength::cli
