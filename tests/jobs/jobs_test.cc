#include <atomic>
#include <filesystem>
#include <fstream>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include "jobs/critique_job.h"
#include "jobs/file_set.h"
#include "jobs/readings_job.h"
#include "marks/marks_file.h"
#include "jobs/figure_checks.h"
#include "jobs/whole_checks.h"
#include "picture/picture.h"
#include "reading/head/character_file.h"
#include "reading/head/head_reading.h"
#include "report/critique_json.h"
#include "support/files.h"
#include "synth/figure.h"
#include "synth/head_figure.h"
#include "synth/worn.h"
#include "words/say.h"

namespace armslength {
namespace {
namespace fs = std::filesystem;
using testing::ElementsAre;
using testing::HasSubstr;
using testing::IsEmpty;

const fs::path kData = fs::path(AL_TEST_DATA) / "report";

class Jobs : public testing::Test {
 protected:
  void SetUp() override {
    folder_ = fs::temp_directory_path() / ("armslength-jobs-" + std::to_string(getpid()) + "-" +
                                           testing::UnitTest::GetInstance()->current_test_info()->name());
    fs::remove_all(folder_);
    fs::create_directories(folder_);
  }
  void TearDown() override {
    std::error_code error;
    fs::permissions(folder_, fs::perms::owner_all, error);
    fs::remove_all(folder_, error);
  }
  [[nodiscard]] CritiqueJobOptions Options() const {
    CritiqueJobOptions options;
    options.picture = kData / "ragazzo.png";
    options.marks = kData / "ragazzo.marks.json";
    options.out_dir = folder_ / "out";
    return options;
  }
  // Names in a folder, hidden ones too.
  static std::vector<std::string> Names(const fs::path& folder) {
    std::vector<std::string> names;
    if (fs::exists(folder))
      for (const auto& entry : fs::directory_iterator(folder)) names.push_back(entry.path().filename().string());
    std::sort(names.begin(), names.end());
    return names;
  }
  fs::path folder_;
};

TEST_F(Jobs, WritesEveryFileAndTheJsonIsValid) {
  const auto out = RunCritique(Options());
  ASSERT_TRUE(out) << out.error().Text();
  std::vector<std::string> names;
  for (const fs::path& file : out->files) {
    names.push_back(file.filename().string());
    EXPECT_GT(fs::file_size(file), 100u) << file;
  }
  EXPECT_THAT(names, testing::IsSupersetOf({"critique.json", "critique.html", "overlay.png", "guides.ora", "standing.png",
                                                   "look-mirrored.jpg", "look-grey.jpg", "look-edges.jpg"}));
  std::sort(names.begin(), names.end());
  EXPECT_EQ(Names(folder_ / "out"), names);  // nothing hidden is left
  const std::string command = "python3 " AL_SOURCE_DIR "/tests/validate_schema.py critique " + (folder_ / "out/critique.json").string();
  EXPECT_EQ(std::system(command.c_str()), 0);
  const Picture overlay = LoadPicture(folder_ / "out/overlay.png").value();
  EXPECT_EQ(overlay.image.width, 708);
  EXPECT_EQ(overlay.image.height, 1580);
}

TEST_F(Jobs, TheSameInputGivesTheSameBytes) {
  auto options = Options();
  ASSERT_TRUE(RunCritique(options));
  options.out_dir = folder_ / "again";
  options.threads = 1;
  ASSERT_TRUE(RunCritique(options));
  for (const char* name : {"critique.json", "critique.html", "overlay.png", "standing.png"})
    EXPECT_EQ(ReadFile(folder_ / "out" / name).value(), ReadFile(folder_ / "again" / name).value()) << name;
}

TEST_F(Jobs, PictureAloneIsEnough) {
  auto options = Options();
  options.marks.reset();
  const auto out = RunCritique(options);
  ASSERT_TRUE(out) << out.error().Text();
  EXPECT_THAT(Names(folder_ / "out"), testing::Not(testing::Contains("standing.png")));
  EXPECT_FALSE(out->critique.All().empty());
  EXPECT_THAT(out->critique.figures, IsEmpty());
}

TEST_F(Jobs, ThePictureAndMarksAreOnlyRead) {
  const std::string picture = ReadFile(kData / "ragazzo.png").value();
  fs::copy_file(kData / "ragazzo.png", folder_ / "overlay.png");
  auto options = Options();
  options.picture = folder_ / "overlay.png";
  options.out_dir = folder_;  // overlay.png would be replaced
  const auto out = RunCritique(options);
  ASSERT_FALSE(out);
  EXPECT_EQ(out.error().kind, ErrorKind::kUsage);
  EXPECT_EQ(ReadFile(folder_ / "overlay.png").value(), picture);
  EXPECT_THAT(Names(folder_), ElementsAre("overlay.png"));
}

TEST_F(Jobs, MarksOfAnotherSizeAreRefusedWithBothSizes) {
  Marks marks = LoadMarks(kData / "ragazzo.marks.json").value();
  marks.picture.width = 1416;
  marks.picture.height = 3160;
  ASSERT_TRUE(SaveMarks(marks, folder_ / "big.marks.json"));
  auto options = Options();
  options.marks = folder_ / "big.marks.json";
  const auto out = RunCritique(options);
  ASSERT_FALSE(out);
  EXPECT_EQ(out.error().kind, ErrorKind::kInput);
  EXPECT_THAT(out.error().Text(), testing::AllOf(HasSubstr("1416 x 3160"), HasSubstr("708 x 1580")));
  EXPECT_FALSE(fs::exists(folder_ / "out"));
}

TEST_F(Jobs, UnknownCanonIsAnErrorBeforeThePictureIsOpened) {
  auto options = Options();
  options.canon = "adult-75";
  options.picture = folder_ / "missing.png";
  const auto out = RunCritique(options);
  ASSERT_FALSE(out);
  EXPECT_THAT(out.error().Text(), HasSubstr("adult-75"));
  EXPECT_FALSE(fs::exists(folder_ / "out"));
}

TEST_F(Jobs, CancellingAnywhereLeavesTheFolderAsItWas) {
  auto options = Options();
  ASSERT_TRUE(RunCritique(options));
  std::vector<std::string> before = Names(folder_ / "out");
  const std::string json = ReadFile(folder_ / "out/critique.json").value();
  // Stop at each stage that is reported, one run each.
  for (const char* stage : {"opening the picture", "reading the figures", "writing the critique", "drawing the overlay", "drawing the guides"}) {
    std::atomic<bool> stop{false};
    auto stopped = options;
    stopped.control.report = [&stop, stage](double, std::string_view what) {
      if (what == stage) stop = true;
    };
    stopped.control.stop_requested = [&stop] { return stop.load(); };
    const auto out = RunCritique(stopped);
    ASSERT_FALSE(out) << stage;
    EXPECT_EQ(out.error().kind, ErrorKind::kCancelled) << stage;
    EXPECT_EQ(Names(folder_ / "out"), before) << stage;
    EXPECT_EQ(ReadFile(folder_ / "out/critique.json").value(), json) << stage;
    // And where there was no folder there is none.
    stop = false;
    stopped.out_dir = folder_ / "deep/er/out";
    ASSERT_FALSE(RunCritique(stopped)) << stage;
    EXPECT_FALSE(fs::exists(folder_ / "deep")) << stage;
  }
}

TEST_F(Jobs, AnOutFolderThatIsAFileIsAnInputError) {
  ASSERT_TRUE(WriteFileAtomic(folder_ / "out", "a file"));
  const auto out = RunCritique(Options());
  ASSERT_FALSE(out);
  EXPECT_EQ(out.error().kind, ErrorKind::kInput);
  EXPECT_EQ(ReadFile(folder_ / "out").value(), "a file");
}

TEST_F(Jobs, AFolderInTheWayOfAFileUndoesWhatWasPlaced) {
  fs::create_directories(folder_ / "out/guides.ora");  // comes after json, html and overlay
  ASSERT_TRUE(WriteFileAtomic(folder_ / "out/overlay.png", "mine"));
  const auto out = RunCritique(Options());
  ASSERT_FALSE(out);
  EXPECT_EQ(out.error().kind, ErrorKind::kInput);
  EXPECT_THAT(Names(folder_ / "out"), ElementsAre("guides.ora", "overlay.png"));
  EXPECT_EQ(ReadFile(folder_ / "out/overlay.png").value(), "mine");
}

TEST_F(Jobs, GuidesOfAnEarlierCritiqueGoOthersStay) {
  ASSERT_TRUE(RunCritique(Options()));
  ASSERT_TRUE(WriteFileAtomic(folder_ / "out/guide-03-body.legs.length.png", "old"));
  ASSERT_TRUE(WriteFileAtomic(folder_ / "out/guide-my-own.png", "mine"));
  ASSERT_TRUE(RunCritique(Options()));
  EXPECT_THAT(Names(folder_ / "out"), testing::Not(testing::Contains("guide-03-body.legs.length.png")));
  EXPECT_THAT(Names(folder_ / "out"), testing::Contains("guide-my-own.png"));
  // Without a critique of ours beside it nothing is taken away.
  ASSERT_TRUE(WriteFileAtomic(folder_ / "other/guide-03-body.legs.length.png", "theirs"));
  auto options = Options();
  options.out_dir = folder_ / "other";
  ASSERT_TRUE(RunCritique(options));
  EXPECT_EQ(ReadFile(folder_ / "other/guide-03-body.legs.length.png").value(), "theirs");
}

TEST_F(Jobs, FileSetLeavesNothingWithoutCommit) {
  {
    auto files = FileSet::Open(folder_ / "a/b");
    ASSERT_TRUE(files);
    ASSERT_TRUE(files->Add("x.txt", "x"));
    EXPECT_FALSE(fs::exists(folder_ / "a/b/x.txt"));
  }
  EXPECT_FALSE(fs::exists(folder_ / "a"));
}

TEST_F(Jobs, ABodyReadAlreadyGivesTheSameFindings) {
  const Picture picture = LoadPicture(kData / "ragazzo.png").value();
  FigureTask task;
  task.marks = LoadMarks(kData / "ragazzo.marks.json").value().figures.at(0);
  task.picture = &picture;
  const FigureResult first = CheckFigure(task, {}).value();
  ASSERT_TRUE(first.figure.body);
  ASSERT_GT(first.findings.size(), 5u);
  const auto same = [&](const FigureResult& again) {
    return std::ranges::equal(again.findings, first.findings, [](const Finding& a, const Finding& b) {
      return a.id == b.id && a.verdict == b.verdict && a.measured == b.measured && a.evidence == b.evidence;
    });
  };
  task.body = first.figure.body;
  EXPECT_TRUE(same(CheckFigure(task, {}).value()));
  task.body->usable = false;  // so it is this reading that is asked
  EXPECT_FALSE(same(CheckFigure(task, {}).value()));
}

// A drawn figure whose arms are lit from the other side: both checks of light call it, critique.json has both, the page one card.
TEST_F(Jobs, LightFromTwoPlacesIsOneCard) {
  for (const unsigned seed : {62000u, 62002u, 62004u}) {
    WearOptions drawn;
    drawn.seed = seed;
    drawn.areas = false;
    drawn.change = [](FigureDrawing& drawing, SynthRandom&) {
      drawing.faults.second_light = true;
      drawing.to_light = Vec3(0.8, -0.3, -0.45).normalized();
    };
    const WornFigure worn = Wear(drawn);
    FigureTask task;
    task.marks = worn.marks;
    task.body = worn.reading;
    task.picture = &worn.picture;
    PictureCheckOptions checks;
    checks.make_views = false;
    const auto whole = CheckWhole(worn.picture, {CheckFigure(task, {}).value()}, checks);
    ASSERT_TRUE(whole) << whole.error().Text();
    const auto calls = [&](const char* id) {
      return std::ranges::any_of(whole->findings, [&](const Finding& f) { return f.id == id && f.verdict == Verdict::kOff; });
    };
    if (!calls("value.light") || !calls("value.light.parts")) continue;

    CritiqueJobOptions options;
    options.picture = folder_ / "lit.png";
    options.marks = folder_ / "lit.png.marks.json";
    options.out_dir = folder_ / "out";
    options.stage = Stage::kFinish;
    ASSERT_TRUE(WriteFileAtomic(options.picture, EncodePng(worn.picture.image, false, 1).value()));
    Marks marks;
    marks.picture.file = "lit.png";
    marks.picture.width = worn.picture.image.width;
    marks.picture.height = worn.picture.image.height;
    marks.figures = {worn.marks};
    if (marks.figures[0].name.empty()) marks.figures[0].name = "anna";
    ASSERT_TRUE(SaveMarks(marks, *options.marks));
    ASSERT_TRUE(RunCritique(options));
    std::map<std::string, nlohmann::json> found;
    const auto json = nlohmann::json::parse(ReadFile(options.out_dir / "critique.json").value());
    for (const auto& f : json.at("findings"))
      if (f.at("id").get<std::string>().starts_with("value.light")) found[f.at("id")] = f;
    ASSERT_EQ(found.size(), 2u);
    for (const auto& [id, f] : found) EXPECT_EQ(f.at("verdict"), "off") << id;
    EXPECT_FALSE(found.at("value.light").contains("covered_by"));
    EXPECT_EQ(found.at("value.light.parts").at("covered_by"), "value.light");

    const std::string page = ReadFile(options.out_dir / "critique.html").value();
    const std::string title = found.at("value.light").at("title"), limbs = found.at("value.light.parts").at("title");
    const auto times = [&](const std::string& text) {
      int n = 0;
      for (std::size_t at = page.find(text); at != std::string::npos; at = page.find(text, at + 1)) ++n;
      return n;
    };
    EXPECT_EQ(times("<h3>" + title + "</h3>") + times("<li><h4>" + title), 1);
    EXPECT_EQ(times("<h3>" + limbs + "</h3>"), 0);
    EXPECT_EQ(times("Mended along with this: " + limbs + "."), 1);
    return;
  }
  FAIL() << "no figure was called by both checks";
}

// ---- readings ----

class Readings : public Jobs {
 protected:
  fs::path WriteMarks(unsigned seed) const {
    SynthFigureOptions options;
    options.seed = seed;
    SynthFigure figure = MakeFigure(options);
    if (figure.marks.name.empty()) figure.marks.name = "figure " + std::to_string(seed);
    const fs::path file = folder_ / ("f" + std::to_string(seed) + ".marks.json");
    Marks marks;
    marks.picture = figure.picture;
    if (marks.picture.file.empty()) marks.picture.file = "none.png";
    marks.figures = {figure.marks};
    EXPECT_TRUE(SaveMarks(marks, file));
    return file;
  }
};

TEST_F(Readings, OneLinePerFileInOrderOnAnyNumberOfThreads) {
  ReadingsJobOptions options;
  for (unsigned seed : {7u, 3u, 5u}) options.marks.push_back(WriteMarks(seed));
  options.threads = 2;
  const auto two = RunReadings(options);
  ASSERT_TRUE(two) << two.error().Text();
  options.threads = 1;
  EXPECT_EQ(*two, RunReadings(options).value());
  ASSERT_EQ(two->size(), 3u);
  std::string all;
  for (std::size_t i = 0; i < 3; ++i) {
    EXPECT_EQ(nlohmann::json::parse((*two)[i]).at("file"), options.marks[i].string());
    all += (*two)[i] + "\n";
  }
  ASSERT_TRUE(WriteFileAtomic(folder_ / "lines.jsonl", all));
  const std::string command = "python3 " AL_SOURCE_DIR "/tests/validate_schema.py --jsonl reading-line " + (folder_ / "lines.jsonl").string();
  EXPECT_EQ(std::system(command.c_str()), 0);
}

TEST_F(Readings, GivesTheBodyFindingsOfTheCritique) {
  const auto critique = EvaluateCritique(Options());
  ASSERT_TRUE(critique);
  ReadingsJobOptions options;
  options.marks = {kData / "ragazzo.marks.json"};
  const auto line = nlohmann::json::parse(RunReadings(options).value().front());
  std::map<std::string, std::string> from_line, from_critique;
  for (const auto& f : line.at("findings")) from_line[f.at("id")] = f.at("verdict");
  for (const Finding* f : critique->critique.All())
    if (f->id.starts_with("body.")) from_critique[f->id] = Name(f->verdict);
  EXPECT_EQ(from_line, from_critique);
  EXPECT_GT(from_line.size(), 5u);
}

TEST_F(Readings, OneBadFileStopsTheBatchBeforeAnyLine) {
  ReadingsJobOptions options;
  options.marks = {WriteMarks(1), folder_ / "bad.marks.json", WriteMarks(2)};
  ASSERT_TRUE(WriteFileAtomic(folder_ / "bad.marks.json", "{ not json"));
  const auto out = RunReadings(options);
  ASSERT_FALSE(out);
  EXPECT_EQ(out.error().kind, ErrorKind::kInput);
  EXPECT_THAT(out.error().file, HasSubstr("bad.marks.json"));
}

TEST_F(Readings, AFiguresOwnUnknownCanonNamesThePlace) {
  Marks marks = LoadMarks(kData / "ragazzo.marks.json").value();
  marks.figures[0].canon = "adlt-8";
  ASSERT_TRUE(SaveMarks(marks, folder_ / "x.marks.json"));
  ReadingsJobOptions options;
  options.marks = {folder_ / "x.marks.json"};
  const auto out = RunReadings(options);
  ASSERT_FALSE(out);
  EXPECT_EQ(out.error().place, "/figures/0/canon");
  EXPECT_THAT(out.error().file, HasSubstr("x.marks.json"));
}

// Drawings of one character as marks files; `change` is what the last one departs by.
class Characters : public Jobs {
 protected:
  FigureMarks Head(unsigned seed, double turn, std::vector<std::pair<HeadFaultKind, double>> faults = {}) {
    SynthHeadOptions o;
    o.character = 431'000;
    o.seed = 531'000 + seed;
    o.yaw_deg = turn;
    o.faults = std::move(faults);
    FigureMarks marks = MakeHead(o).marks;
    marks.name = "mara";
    return marks;
  }
  fs::path Write(const std::string& name, std::vector<FigureMarks> figures) {
    Marks marks;
    marks.picture = {"head.png", 4000, 4000};
    marks.figures = std::move(figures);
    EXPECT_TRUE(SaveMarks(marks, folder_ / name));
    return folder_ / name;
  }
  fs::path Character(const std::string& name) {
    const std::vector<FigureMarks> sheet = {Head(1, 0), Head(2, 30), Head(3, -45)};
    HeadProfile p = ReadCharacter(sheet).value().profile;
    p.name = name;
    EXPECT_TRUE(SaveCharacter(p, folder_ / "x.character.json"));
    return folder_ / "x.character.json";
  }
  static std::map<std::string, std::string> Verdicts(const std::string& line) {
    std::map<std::string, std::string> out;
    const auto json = nlohmann::json::parse(line);
    for (const auto& f : json.at("findings")) out[f.at("id")] = f.at("verdict");
    return out;
  }
};

TEST_F(Characters, ADepartureFromTheFileIsACanonFinding) {
  FigureMarks low = Head(7, 10);
  for (auto& [id, at] : low.points)  // both eyes an eighth of the head lower
    if (id >= PointId::kEyeLInner && id <= PointId::kEyeRBottom) at.y() += 120;
  ReadingsJobOptions options;
  options.marks = {Write("low.marks.json", {low}), Write("same.marks.json", {Head(8, 12)})};
  const auto without = RunReadings(options).value();
  EXPECT_FALSE(Verdicts(without[0]).contains("face.character.eye_height"));
  options.character = Character("mara");
  const auto with = RunReadings(options);
  ASSERT_TRUE(with) << with.error().Text();
  EXPECT_EQ(Verdicts((*with)[0])["face.character.eye_height"], "off");
  EXPECT_NE(Verdicts((*with)[0])["face.character.nose_height"], "off");  // low eyes are no long nose
  EXPECT_NE(Verdicts((*with)[1])["face.character.eye_height"], "off");
}

TEST_F(Characters, TheFigureOfItsNameOrAll) {
  Marks marks;
  marks.picture = {"head.png", 4000, 4000};
  marks.figures = {Head(1, 0), Head(2, 20)};
  marks.figures[1].name = "tom";
  const auto named = FigureTasks(marks, "m.marks.json", std::nullopt, Character("mara"));
  ASSERT_TRUE(named);
  EXPECT_TRUE((*named)[0].character.has_value());
  EXPECT_FALSE((*named)[1].character.has_value());
  const auto all = FigureTasks(marks, "m.marks.json", std::nullopt, Character("my style"));
  ASSERT_TRUE(all);
  EXPECT_TRUE((*all)[0].character.has_value() && (*all)[1].character.has_value());
}

TEST_F(Characters, ABadFileIsNamedBeforeThePictureIsOpened) {
  auto options = Options();
  options.picture = folder_ / "no such picture.png";
  options.character = folder_ / "none.character.json";
  auto out = EvaluateCritique(options);
  ASSERT_FALSE(out);
  EXPECT_THAT(out.error().file, HasSubstr("none.character.json"));
  ASSERT_TRUE(WriteFileAtomic(folder_ / "bad.character.json", "{\"format\": \"armslength-canon\"}"));
  options.character = folder_ / "bad.character.json";
  for (const bool marked : {true, false}) {
    if (!marked) options.marks.reset();
    out = EvaluateCritique(options);
    ASSERT_FALSE(out);
    EXPECT_EQ(out.error().kind, ErrorKind::kInput);
    EXPECT_EQ(out.error().place, "/format");
  }
}

TEST_F(Characters, DrawingsOfOneNameAreReadTogetherWhenAsked) {
  ReadingsJobOptions options;
  options.marks = {Write("a.marks.json", {Head(1, 0)}), Write("b.marks.json", {Head(2, 30)}), Write("c.marks.json", {Head(3, -45)}),
                   Write("d.marks.json", {Head(4, 35, {{HeadFaultKind::kChinOffset, 0.08}})})};
  EXPECT_FALSE(Verdicts(RunReadings(options).value()[3]).contains("face.character.eye_height"));
  options.together = true;
  const auto lines = RunReadings(options);
  ASSERT_TRUE(lines) << lines.error().Text();
  EXPECT_EQ(Verdicts((*lines)[3])["face.chin.offset"], "off");
  for (std::size_t i = 0; i < 3; ++i) EXPECT_NE(Verdicts((*lines)[i])["face.chin.offset"], "off") << i;
  EXPECT_TRUE(Verdicts((*lines)[3]).contains("face.character.eye_height"));
}

// A whole critique in German: no English is left in what people read, and ids, numbers and verdicts are the same.
TEST_F(Jobs, SpeaksGerman) {
  const auto english = EvaluateCritique(Options());
  ASSERT_TRUE(english.has_value()) << english.error().Text();
  ASSERT_TRUE(SpeakLanguage("de"));
  const auto german = RunCritique(Options());
  SpeakLanguage("en");
  ASSERT_TRUE(german.has_value()) << german.error().Text();
  const auto all = [](const Critique& c) {
    std::vector<Finding> out;
    for (const auto* part : {&c.first, &c.rest, &c.keep, &c.cannot_tell, &c.clear, &c.observations})
      out.insert(out.end(), part->begin(), part->end());
    return out;
  };
  const auto in_english = all(english->critique), in_german = all(german->critique);
  ASSERT_EQ(in_english.size(), in_german.size());
  ASSERT_GT(in_german.size(), 10U);
  const auto no_english = [](std::string text, const std::string& id) {
    const std::string book = "The New Drawing on the Right Side of the Brain";
    if (const auto at = text.find(book); at != std::string::npos) text.erase(at, book.size());
    for (const char* word : {" the ", " of ", " is ", " are ", " and ", " with ", "The ", "default, "})
      EXPECT_EQ(text.find(word), std::string::npos) << id << ": " << text;
  };
  for (std::size_t i = 0; i < in_german.size(); ++i) {
    const Finding &e = in_english[i], &g = in_german[i];
    EXPECT_EQ(e.id, g.id);
    EXPECT_EQ(e.verdict, g.verdict) << e.id;
    EXPECT_EQ(e.measured, g.measured) << e.id;
    EXPECT_NE(e.title, g.title) << e.id;
    for (const std::string& text : {g.title, g.why, g.ask, g.source, g.remedy.detail}) no_english(text, g.id);
  }
  std::ifstream file(folder_ / "out/critique.html");
  std::string page((std::istreambuf_iterator<char>(file)), {});
  EXPECT_THAT(page, HasSubstr("<html lang=\"de\">"));
  // What stands between tags, without the script and the style.
  for (const char* tag : {"script", "style"})
    if (const auto from = page.find(std::string("<") + tag + ">"), to = page.find(std::string("</") + tag + ">");
        from != std::string::npos && to != std::string::npos)
      page.erase(from, to - from);
  for (std::size_t at = page.find('>'); at != std::string::npos; at = page.find('>', at + 1)) {
    const std::size_t end = page.find('<', at);
    if (end != std::string::npos && end > at + 1) no_english(page.substr(at + 1, end - at - 1), "page");
  }
}

}  // namespace
}  // namespace armslength
