// A character learned from drawings of one head, then used to judge new drawings, as the command line does it.
#include <array>
#include <sstream>

#include "marks/bad_files.h"
#include "marks/marks_file.h"
#include "synth/head_figure.h"

namespace armslength {
namespace {

namespace fs = std::filesystem;
using nlohmann::json;
using testing_files::RunProgram;

class CharacterOnTheCommandLine : public ::testing::Test {
 protected:
  void SetUp() override {
    std::string name = ::testing::TempDir() + "armslength_character_XXXXXX";
    ASSERT_NE(::mkdtemp(name.data()), nullptr);
    folder_ = name;
  }
  void TearDown() override { fs::remove_all(folder_); }

  std::string Head(unsigned character, unsigned seed, double turn_deg, const std::string& who) {
    SynthHeadOptions options;
    options.character = character;
    options.seed = seed;
    options.yaw_deg = turn_deg;
    const SynthHead head = MakeHead(options);
    Marks marks;
    marks.picture = head.picture;
    marks.figures = {head.marks};
    marks.figures[0].name = who;
    const fs::path file = folder_ / (std::to_string(seed) + ".marks.json");
    EXPECT_TRUE(SaveMarks(marks, file));
    return " '" + file.string() + "'";
  }
  // Findings on the proportions of the character that are off, over all lines.
  static int Departures(const std::string& jsonl) {
    int count = 0;
    std::istringstream lines(jsonl);
    for (std::string line; std::getline(lines, line);) {
      const json whole = json::parse(line);
      for (const json& f : whole["findings"])
        count += f["id"].get<std::string>().starts_with("face.character.") && f["verdict"] == "off";
    }
    return count;
  }
  fs::path folder_;
};

TEST_F(CharacterOnTheCommandLine, LearnedFromItsDrawingsItTellsAStranger) {
  std::string known;
  for (unsigned i = 0; i < 5; ++i) known += Head(730'001, 740'000 + i, std::array{0.0, 30.0, -25.0, 50.0, -10.0}[i], "mara");
  const std::string canon = (folder_ / "mara.canon.json").string(), file = (folder_ / "mara.character.json").string();
  const auto learned = RunProgram("canon from-marks" + known + " --one-character --name mara --out '" + canon + "'");
  ASSERT_EQ(learned.exit_code, 0) << learned.err;
  ASSERT_TRUE(fs::exists(file)) << learned.out;

  std::string same, strangers;
  for (unsigned i = 0; i < 6; ++i) {
    same += Head(730'001, 741'000 + i, 5.0 * i, "mara");
    strangers += Head(730'100 + i, 742'000 + i, 5.0 * i, "mara");
  }
  const auto own = RunProgram("reading" + same + " --character '" + file + "' --jsonl");
  const auto other = RunProgram("reading" + strangers + " --character '" + file + "' --jsonl");
  ASSERT_EQ(own.exit_code, 0) << own.err;
  ASSERT_EQ(other.exit_code, 0) << other.err;
  EXPECT_LE(Departures(own.out), 2);    // eight proportions each of six drawings
  EXPECT_GE(Departures(other.out), 4);
  // Without the character style is free: nothing to depart from.
  EXPECT_EQ(Departures(RunProgram("reading" + strangers + " --jsonl").out), 0);
  // Together: each judged against the others of its name.
  const auto together = RunProgram("reading" + same + " --together --jsonl");
  ASSERT_EQ(together.exit_code, 0) << together.err;
  EXPECT_LE(Departures(together.out), 2);
}

TEST_F(CharacterOnTheCommandLine, ABadCharacterFileIsNamedAndNothingWritten) {
  const std::string head = Head(730'001, 740'900, 10.0, "mara");
  const fs::path bad = folder_ / "bad.character.json";
  ASSERT_TRUE(WriteFileAtomic(bad, "{\"format\": \"armslength-character\", \"version\": 1"));
  const auto ran = RunProgram("reading" + head + " --character '" + bad.string() + "' --jsonl");
  EXPECT_EQ(ran.exit_code, 3);
  EXPECT_THAT(ran.err, ::testing::HasSubstr("bad.character.json"));
  EXPECT_TRUE(ran.out.empty());
  EXPECT_EQ(ran.files_made, 0);
  const auto missing = RunProgram("reading" + head + " --character '" + (folder_ / "none.json").string() + "' --jsonl");
  EXPECT_EQ(missing.exit_code, 3);
  EXPECT_THAT(missing.err, ::testing::HasSubstr("none.json"));
}

}  // namespace
}  // namespace armslength
