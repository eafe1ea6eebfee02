// Every kind of file that the program writes, against our schemas by python3-jsonschema, an
// implementation of JSON Schema 2020-12 that is not ours.
#include <cstdlib>
#include <fstream>

#include "marks/bad_files.h"
#include "marks/schemas.h"

namespace armslength {
namespace {

namespace fs = std::filesystem;
using nlohmann::json;

int Validate(const std::string& arguments) {
  const int status = std::system(("/usr/bin/python3 '" AL_SOURCE_DIR "/tests/validate_schema.py' " + arguments).c_str());
  return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

std::string Quoted(const std::vector<fs::path>& files) {
  std::string text;
  for (const fs::path& file : files) text += " '" + file.string() + "'";
  return text;
}

class WrittenFiles : public ::testing::Test {
 protected:
  void SetUp() override {
    std::string name = ::testing::TempDir() + "armslength_written_XXXXXX";
    ASSERT_NE(::mkdtemp(name.data()), nullptr);
    folder_ = name;
  }
  void TearDown() override { fs::remove_all(folder_); }
  std::vector<fs::path> FilesEndingIn(const std::string& ending) const {
    std::vector<fs::path> files;
    for (const auto& entry : fs::recursive_directory_iterator(folder_))
      if (entry.path().string().ends_with(ending)) files.push_back(entry.path());
    return files;
  }
  fs::path folder_;
};

TEST_F(WrittenFiles, DemoCritiquesMarksAndReadingsAreValid) {
  const auto demo = testing_files::RunProgram("demo --out '" + folder_.string() + "'");
  ASSERT_EQ(demo.exit_code, 0) << demo.err;
  const auto critiques = FilesEndingIn("critique.json"), marks = FilesEndingIn(".marks.json");
  ASSERT_GE(critiques.size(), 2u);
  ASSERT_GE(marks.size(), 2u);
  EXPECT_EQ(Validate("critique" + Quoted(critiques)), 0);
  EXPECT_EQ(Validate("marks" + Quoted(marks)), 0);

  const auto readings = testing_files::RunProgram("reading" + Quoted(marks) + " '" AL_TEST_DATA "/marks/everything.marks.json' --jsonl");
  ASSERT_EQ(readings.exit_code, 0) << readings.err;
  EXPECT_EQ(static_cast<std::size_t>(std::count(readings.out.begin(), readings.out.end(), '\n')), marks.size() + 1);
  ASSERT_TRUE(WriteFileAtomic(folder_ / "lines.jsonl", readings.out));
  EXPECT_EQ(Validate("--jsonl reading-line" + Quoted({folder_ / "lines.jsonl"})), 0);

  const auto learned = testing_files::RunProgram("canon from-marks" + Quoted(marks) + " --name demo --out '" + (folder_ / "demo.canon.json").string() + "'");
  ASSERT_EQ(learned.exit_code, 0) << learned.err;
  EXPECT_EQ(Validate("canon" + Quoted({folder_ / "demo.canon.json"})), 0);

  // The schema is no open door: each of these damages must be refused.
  const json whole = json::parse(ReadFile(critiques.front()).value());
  ASSERT_FALSE(whole["findings"].empty());
  std::vector<fs::path> damaged;
  const auto damage = [&](auto&& change) {
    json copy = whole;
    change(copy);
    damaged.push_back(folder_ / ("damaged" + std::to_string(damaged.size()) + ".json"));
    ASSERT_TRUE(WriteFileAtomic(damaged.back(), copy.dump()));
  };
  damage([](json& j) { j["version"] = 2; });
  damage([](json& j) { j.erase("picture"); });
  damage([](json& j) { j["picture"]["sha256"] = "12"; });
  damage([](json& j) { j["extra"] = 1; });
  damage([](json& j) { j["findings"][0].erase("id"); });
  damage([](json& j) { j["findings"][0]["id"] = "Legs too long"; });
  damage([](json& j) { j["findings"][0]["verdict"] = "wrong"; });
  damage([](json& j) { j["findings"][0]["kind"] = "error"; });
  damage([](json& j) { j["findings"][0]["measured"] = nullptr; });
  damage([](json& j) { j["findings"][0]["sd"] = -0.1; });
  damage([](json& j) { j["findings"][0]["remedy"]["way"] = "paint"; });
  damage([](json& j) { j["findings"][0]["where"]["box"] = {1, 2, 3}; });
  damage([](json& j) { j["findings"][0]["stage"] = "colouring"; });
  damage([](json& j) { j["figures"][0]["reading"]["body"]["turn_deg"] = 400; });
  damage([](json& j) { j["figures"][0]["reading"]["body"]["joints"]["elbow"] = json::object(); });
  EXPECT_EQ(Validate("--refused critique" + Quoted(damaged)), 0);
}

TEST_F(WrittenFiles, TheReadingLineUsesTheCritiquesDefinitions) {
  const json critique = json::parse(Schema("critique")), line = json::parse(Schema("reading-line"));
  for (const auto& [name, definition] : line["$defs"].items()) EXPECT_EQ(definition, critique["$defs"][name]) << name;
  EXPECT_EQ(line["properties"]["findings"], critique["properties"]["findings"]);
  EXPECT_EQ(line["properties"]["figures"], critique["properties"]["figures"]);
}

}  // namespace
}  // namespace armslength
