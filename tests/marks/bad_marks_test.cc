#include <random>

#include "marks/bad_files.h"
#include "marks/marks_file.h"

namespace armslength {
namespace {

using testing_files::BadFiles;
using ::testing::HasSubstr;

TEST(BadMarks, EachSaysFilePlaceAndCause) {
  const auto files = BadFiles("marks");
  EXPECT_GE(files.size(), 60u);
  for (const auto& file : files) {
    SCOPED_TRACE(file.path.filename().string());
    const auto marks = LoadMarks(file.path);
    ASSERT_FALSE(marks);
    EXPECT_EQ(marks.error().kind, ErrorKind::kInput);
    EXPECT_EQ(marks.error().file, file.path.string());
    EXPECT_EQ(marks.error().place, file.place);
    EXPECT_THAT(marks.error().cause, HasSubstr(file.cause));
    EXPECT_FALSE(marks.error().remedy.empty());
    EXPECT_LT(marks.error().Text().size(), 1200u);
  }
}

TEST(BadMarks, UnknownNamesComeWithTheNearest) {
  const auto error = [](const char* name) {
    return LoadMarks(std::filesystem::path(AL_TEST_DATA) / "bad" / "marks" / name).error().remedy;
  };
  EXPECT_EQ(error("unknown_point.marks.json"), "Did you mean 'elbow_l'?");
  EXPECT_EQ(error("proposed_unknown.marks.json"), "Did you mean 'chin'?");
  EXPECT_EQ(error("depth_word.marks.json"), "Did you mean 'toward'?");
  EXPECT_EQ(error("area_kind.marks.json"), "Did you mean 'pattern'?");
  EXPECT_EQ(error("unknown_figure_field.marks.json"), "Did you mean 'marking_error_px'?");
  EXPECT_THAT(error("depth_on_width.marks.json"), HasSubstr("Valid names: upper_arm_l"));
}

// A file of more than 16 MB, and one million brackets: refused at once, in little memory.
TEST(BadMarks, HugeAndDeepFilesAreRefused) {
  const std::string huge = "{\"format\": \"armslength-marks\", \"note\": \"" + std::string(17 << 20, 'x') + "\"}";
  EXPECT_THAT(ParseMarks(huge, "huge").error().cause, HasSubstr("more than 16777216"));
  EXPECT_THAT(ParseMarks(std::string(1 << 20, '['), "deep").error().cause, HasSubstr("32 deep"));
}

TEST(BadMarks, TheProgramExitsWithThreeAndWritesNothing) {
  testing_files::ExpectEachRefused("marks", "reading", "--jsonl");
}

// Random damage to a whole file: any outcome but a crash, a hang, or an error without words.
TEST(BadMarks, RandomDamageNeverCrashes) {
  const std::string valid = ReadFile(std::filesystem::path(AL_TEST_DATA) / "marks" / "everything.marks.json").value();
  ASSERT_TRUE(ParseMarks(valid, "f"));
  const std::string_view bits[] = {"{", "}", "[", "]", ",", ":", "\"", "null", "true", "-1", "1e999", "\\u0000", "\xC3", "\x00",
                                   "0", "[[", "{\"a\":", "99999999999999999999", "\xEF\xBB\xBF", "points", "e", ".", "-"};
  std::mt19937 random(20260725);
  const auto below = [&](std::size_t n) { return static_cast<std::size_t>(random()) % n; };
  int accepted = 0, refused = 0;
  for (int trial = 0; trial < 4000; ++trial) {
    std::string text = valid;
    const std::size_t cuts = 1 + below(4);
    for (std::size_t c = 0; c < cuts && !text.empty(); ++c) {
      const std::size_t at = below(text.size());
      switch (below(5)) {
        case 0: text[at] = static_cast<char>(below(256)); break;
        case 1: text.erase(at, 1 + below(20)); break;
        case 2: text.insert(at, bits[below(std::size(bits))]); break;
        case 3: text.insert(at, text.substr(below(text.size()), 1 + below(60))); break;
        default: text.resize(at); break;
      }
    }
    const auto marks = ParseMarks(text, "f");
    if (marks) {
      ++accepted;
      // What is taken is also written and read back.
      ASSERT_TRUE(ParseMarks(MarksToJson(*marks), "again")) << text;
    } else {
      ++refused;
      ASSERT_EQ(marks.error().kind, ErrorKind::kInput) << text;
      ASSERT_FALSE(marks.error().cause.empty()) << text;
    }
  }
  EXPECT_GT(refused, 2000);
  EXPECT_GT(accepted, 20) << "damage inside texts and numbers leaves a file whole";
}

}  // namespace
}  // namespace armslength
