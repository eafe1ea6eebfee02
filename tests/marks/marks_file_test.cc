#include "marks/marks_file.h"

#include <algorithm>
#include <cmath>
#include <cstdlib>
#include <limits>
#include <set>
#include <sstream>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include "marks/bad_files.h"
#include "marks/schemas.h"

namespace armslength {
namespace {

namespace fs = std::filesystem;
using ::testing::HasSubstr;

const fs::path kEverything = fs::path(AL_TEST_DATA) / "marks" / "everything.marks.json";

Marks OnePoint(int width, int height, PointId id, const Vec2& at) {
  Marks marks;
  marks.picture = {"p.png", width, height};
  marks.figures.emplace_back().name = "f";
  marks.figures[0].points[id] = at;
  return marks;
}

TEST(MarksFile, EveryFieldIsRead) {
  const auto marks = LoadMarks(kEverything);
  ASSERT_TRUE(marks) << marks.error().Text();
  EXPECT_EQ(marks->picture.file, "two friends.png");
  EXPECT_EQ(marks->picture.width, 1200);
  EXPECT_EQ(marks->picture.height, 1600);
  ASSERT_EQ(marks->figures.size(), 2u);
  const FigureMarks& f = marks->figures[0];
  EXPECT_EQ(f.name, "Zoë");
  EXPECT_EQ(f.canon, "adult-7.5");
  EXPECT_EQ(f.points.size(), 10u);
  EXPECT_EQ(*f.At(PointId::kCrown), Vec2(600.25, 100));
  EXPECT_EQ(*f.At(PointId::kHandTipL), Vec2(-40, 700));
  EXPECT_FALSE(f.At(PointId::kKneeL));
  EXPECT_EQ(f.marking_error_px, 4.5);
  EXPECT_EQ(f.point_error_px.at(PointId::kElbowL), 9);
  EXPECT_EQ(f.proposed, (std::vector{PointId::kElbowL, PointId::kHandTipL}));
  EXPECT_EQ(f.depth, (std::map<BoneId, Depth>{{BoneId::kForearmL, Depth::kAway},
                                              {BoneId::kThighL, Depth::kFlat},
                                              {BoneId::kThighR, Depth::kToward},
                                              {BoneId::kNeck, Depth::kFlat}}));
  ASSERT_EQ(f.centre_front.size(), 2u);
  EXPECT_EQ(f.centre_front[1].name, "buckle");
  EXPECT_EQ(f.centre_front[1].at, Vec2(602, 720));
  ASSERT_EQ(f.rings.size(), 2u);
  EXPECT_EQ(f.rings[1].name, "cuff \"left\"");
  EXPECT_EQ(f.rings[1].around, "forearm_l");
  EXPECT_EQ(f.rings[1].points[2], Vec2(765, 611));
  ASSERT_EQ(f.areas.size(), 2u);
  EXPECT_EQ(f.areas[0].kind, "pattern");
  EXPECT_EQ(f.areas[0].on, "upper_arm_l");
  EXPECT_EQ(f.areas[1].on, "");
  EXPECT_EQ(f.areas[1].outline.size(), 4u);
  EXPECT_EQ(f.meant, (std::vector<std::string>{"body.balance", "body.head.length"}));
  ASSERT_EQ(f.features.size(), 2u);
  EXPECT_TRUE(f.features[0].present);
  EXPECT_EQ(f.features[0].at, Vec2(630, 170));
  EXPECT_FALSE(f.features[1].present);
  EXPECT_FALSE(f.features[1].at);
  EXPECT_THAT(f.note, HasSubstr("dancing,\nhair"));
  EXPECT_EQ(marks->figures[1].points.size(), 0u);
}

TEST(MarksFile, WritingGivesTheSameTextAgain) {
  // The stored file is laid out as the writer does, except for the order of points.
  const auto marks = LoadMarks(kEverything);
  ASSERT_TRUE(marks);
  const std::string once = MarksToJson(*marks);
  const auto again = ParseMarks(once, "again");
  ASSERT_TRUE(again) << again.error().Text();
  EXPECT_EQ(MarksToJson(*again), once);
  EXPECT_EQ(nlohmann::json::parse(once), nlohmann::json::parse(ReadFile(kEverything).value()))
      << "nothing lost, nothing added";
}

TEST(MarksFile, OneMovedPointIsOneChangedLine) {
  auto marks = LoadMarks(kEverything).value();
  const auto lines = [](const std::string& text) {
    std::multiset<std::string> all;
    std::istringstream in(text);
    for (std::string line; std::getline(in, line);) all.insert(line);
    return all;
  };
  const auto before = lines(MarksToJson(marks));
  marks.figures[0].points[PointId::kChin] += Vec2(0.5, -3);
  marks.figures[0].rings[0].points[1] += Vec2(1, 1);
  const auto after = lines(MarksToJson(marks));
  std::vector<std::string> gone;
  std::set_difference(before.begin(), before.end(), after.begin(), after.end(), std::back_inserter(gone));
  EXPECT_EQ(gone.size(), 2u);
  EXPECT_EQ(before.size(), after.size());
}

TEST(MarksFile, CoordinatesComeBackToAMillionth) {
  Marks marks{{"p.png", 100, 100}, {}};
  FigureMarks figure;
  figure.name = "f";
  for (int i = 0; i < kPointCount; ++i)
    figure.points[static_cast<PointId>(i)] = Vec2(std::sin(i) * 99.7, 17.0 / (i + 3));
  marks.figures.push_back(figure);
  const auto back = ParseMarks(MarksToJson(marks), "f");
  ASSERT_TRUE(back) << back.error().Text();
  for (const auto& [id, at] : figure.points)
    EXPECT_LT((*back->figures[0].At(id) - at).cwiseAbs().maxCoeff(), 0.6e-6) << Name(id);
}

TEST(MarksFile, AByteOrderMarkIsSkipped) {
  EXPECT_TRUE(ParseMarks("\xEF\xBB\xBF" + ReadFile(kEverything).value(), "f"));
}

TEST(MarksFile, PointsALittleOutsideThePictureAreFine) {
  // One picture size beyond each edge, the corners included.
  for (const Vec2& at : {Vec2(-100, -50), Vec2(200, 100), Vec2(-100, 100)}) {
    Marks marks = OnePoint(100, 50, PointId::kToeL, at);
    EXPECT_TRUE(ParseMarks(MarksToJson(marks), "f")) << at.transpose();
    marks.figures[0].points[PointId::kToeL] += Vec2(at.x() < 0 ? -0.01 : 0.01, 0);
    EXPECT_FALSE(ParseMarks(MarksToJson(marks), "f")) << at.transpose();
  }
}

TEST(MarksFile, SavingRefusesWhatLoadingWould) {
  std::string folder = ::testing::TempDir() + "armslength_marks_XXXXXX";
  ASSERT_NE(::mkdtemp(folder.data()), nullptr);
  const Marks marks = OnePoint(100, 100, PointId::kChin, Vec2(1, 2));
  ASSERT_TRUE(SaveMarks(marks, fs::path(folder) / "a.marks.json"));
  EXPECT_EQ(LoadMarks(fs::path(folder) / "a.marks.json")->figures[0].points, marks.figures[0].points);
  Marks bad = marks;
  bad.figures[0].points[PointId::kChin].x() = std::numeric_limits<double>::quiet_NaN();
  EXPECT_FALSE(SaveMarks(bad, fs::path(folder) / "a.marks.json"));
  bad = marks;
  bad.figures.push_back(bad.figures[0]);
  EXPECT_THAT(SaveMarks(bad, fs::path(folder) / "a.marks.json").error().cause, HasSubstr("two figures are called"));
  EXPECT_TRUE(LoadMarks(fs::path(folder) / "a.marks.json")) << "the old file is still there";
  int entries = 0;
  for ([[maybe_unused]] const auto& e : fs::directory_iterator(folder)) ++entries;
  EXPECT_EQ(entries, 1);
  fs::remove_all(folder);
}

// Schemas ---------------------------------------------------------------------

// Exit code of the outside validator; what it says goes to the test's output.
int Validate(const std::string& arguments) {
  return std::system(("/usr/bin/python3 '" AL_SOURCE_DIR "/tests/validate_schema.py' " + arguments).c_str());
}

TEST(Schemas, AreBuiltInAsTheyLieInTheFolder) {
  EXPECT_THAT(SchemaNames(), ::testing::IsSupersetOf({"canon", "character", "critique", "marks", "reading-line"}));
  EXPECT_THAT(SchemaNames(), ::testing::WhenSorted(::testing::ElementsAreArray(SchemaNames())));
  for (std::string_view name : SchemaNames()) {
    const auto file = ReadFile(fs::path(AL_SOURCE_DIR) / "data" / "schemas" / (std::string(name) + ".schema.json"));
    EXPECT_EQ(Schema(name), file.value());
  }
  EXPECT_EQ(Schema("nothing"), "");
}

TEST(Schemas, NameTheSamePointsBonesAndWordsAsTheProgram) {
  const auto schema = nlohmann::json::parse(Schema("marks"));
  const auto list = [](std::span<const std::string_view> names) {
    return std::vector<std::string>(names.begin(), names.end());
  };
  EXPECT_EQ(schema["$defs"]["point_name"]["enum"], list(PointNames()));
  EXPECT_EQ(schema["$defs"]["depth_bone"]["enum"], list(DepthBoneNames()));
  for (const auto& bone : schema["$defs"]["surface_bone"]["enum"]) EXPECT_TRUE(BoneFromName(bone.get<std::string>()));
  EXPECT_EQ(schema["$defs"]["surface_bone"]["enum"].size(), static_cast<std::size_t>(kBoneCount - 2));
  const auto critique = nlohmann::json::parse(Schema("critique"));
  EXPECT_EQ(critique["$defs"]["body"]["else"]["properties"]["lengths"]["propertyNames"]["enum"], list(BoneNames()));
  EXPECT_EQ(critique["$defs"]["body"]["else"]["properties"]["joints"]["propertyNames"]["enum"],
            list(PointNames().first(kBodyPointCount)));
}

// An outside implementation of JSON Schema 2020-12 (python3-jsonschema) agrees with our reader.
TEST(Schemas, AWrittenMarksFileIsValid) {
  std::string folder = ::testing::TempDir() + "armslength_schema_XXXXXX";
  ASSERT_NE(::mkdtemp(folder.data()), nullptr);
  const auto marks = LoadMarks(kEverything).value();
  ASSERT_TRUE(SaveMarks(marks, fs::path(folder) / "written.marks.json"));
  EXPECT_EQ(Validate("marks '" + folder + "/written.marks.json' '" + kEverything.string() + "'"), 0);
  fs::remove_all(folder);
}

TEST(Schemas, RefuseWhatTheReaderRefuses) {
  // What a schema cannot say: the sizes and names of one part against another.
  const std::set<std::string> beyond = {"doubled_figure", "error_of_unmarked_point", "proposed_unmarked", "point_far_right",
                                        "point_far_above", "point_absurd", "deep_lists", "point_twice", "picture_file_with_nul"};
  std::string files;
  for (const auto& file : testing_files::BadFiles("marks")) {
    const bool text_fault = file.place.starts_with("line") || file.place.empty();
    if (!text_fault && !beyond.contains(file.path.stem().stem().string())) files += " '" + file.path.string() + "'";
  }
  EXPECT_EQ(Validate("--refused marks" + files), 0);
}

}  // namespace
}  // namespace armslength
