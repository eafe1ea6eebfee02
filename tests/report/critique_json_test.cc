#include "report/critique_json.h"

#include <filesystem>
#include <limits>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include "report/demo_critique.h"
#include "support/files.h"

namespace armslength {
namespace {

const std::string kFolder = std::string(AL_TEST_DATA) + "/report";

// Checked by the Python library jsonschema against data/schemas, not by our own code.
int Validate(const std::string& schema, const std::filesystem::path& file, const std::string& option = "") {
  const std::string command = "python3 " AL_SOURCE_DIR "/tests/validate_schema.py " + option + " " + schema + " " + file.string();
  return std::system(command.c_str());
}

std::filesystem::path Temp(const std::string& name) {
  return std::filesystem::temp_directory_path() / ("armslength-" + std::to_string(getpid()) + "-" + name);
}

TEST(CritiqueJson, IsValidAgainstItsSchema) {
  const DemoCritique demo = MakeDemoCritique(kFolder);
  const auto file = Temp("critique.json");
  ASSERT_TRUE(WriteFileAtomic(file, CritiqueToJson(demo.critique)));
  EXPECT_EQ(Validate("critique", file), 0);
  const auto lines = Temp("lines.jsonl");
  ASSERT_TRUE(WriteFileAtomic(lines, ReadingLine("a.marks.json", demo.critique) + "\n"));
  EXPECT_EQ(Validate("reading-line", lines, "--jsonl"), 0);
  std::filesystem::remove(file);
  std::filesystem::remove(lines);
}

TEST(CritiqueJson, KeepsTheRankAndSaysWhatIsFirstAndCovered) {
  const DemoCritique demo = MakeDemoCritique(kFolder);
  const auto json = nlohmann::json::parse(CritiqueToJson(demo.critique));
  const auto& findings = json.at("findings");
  ASSERT_EQ(findings.size(), demo.critique.All().size());
  EXPECT_EQ(findings[0].at("id"), "body.legs.length");  // 8 / 25 min, but of the whole figure
  EXPECT_EQ(findings[1].at("id"), "body.balance");  // 5 / 8
  EXPECT_EQ(findings[2].at("id"), "body.forearm_l.length");  // 3 / 12
  for (std::size_t i = 0; i < findings.size(); ++i) EXPECT_EQ(findings[i].contains("first"), i < 3);
  const auto thigh = std::find_if(findings.begin(), findings.end(), [](const auto& f) { return f.at("id") == "body.thigh_l.length"; });
  ASSERT_NE(thigh, findings.end());
  EXPECT_EQ(thigh->at("covered_by"), "body.legs.length");
}

TEST(CritiqueJson, ALineHasTheSameIdsAndVerdicts) {
  const DemoCritique demo = MakeDemoCritique(kFolder);
  const std::string text = ReadingLine("a.marks.json", demo.critique);
  EXPECT_EQ(text.find('\n'), std::string::npos);
  const auto line = nlohmann::json::parse(text), whole = nlohmann::json::parse(CritiqueToJson(demo.critique));
  EXPECT_EQ(line.at("findings"), whole.at("findings"));
  EXPECT_EQ(line.at("figures"), whole.at("figures"));
  EXPECT_EQ(line.size(), 3u);
}

TEST(CritiqueJson, WhatIsNotFiniteIsLeftOutAndDigitsAreFew) {
  constexpr double kNan = std::numeric_limits<double>::quiet_NaN();
  Finding f;
  f.id = "a.b";
  f.title = "A";
  f.why = "because";
  f.verdict = Verdict::kOff;
  f.measured = 1.0 / 3.0;
  f.expected = kNan;
  f.sd = std::numeric_limits<double>::infinity();
  f.gain = kNan;
  f.remedy.minutes = kNan;
  f.where.points = {{1.0 / 3.0, 2.0}, {kNan, 1.0}};
  f.where.box = {{0.0, kNan, 1.0, 1.0}};
  const std::string text = CritiqueToJson(Rank({}, {}, {f}));
  const auto out = nlohmann::json::parse(text).at("findings").at(0);
  EXPECT_EQ(out.at("measured").dump(), "0.3333");
  for (const char* key : {"expected", "sd", "gain"}) EXPECT_FALSE(out.contains(key)) << key;
  EXPECT_EQ(out.at("where").at("points").dump(), "[[0.33,2.0]]");
  EXPECT_FALSE(out.at("where").contains("box"));
  EXPECT_EQ(text.find("null"), std::string::npos);
}

TEST(CritiqueJson, BytesThatAreNotTextDoNotThrow) {
  Finding f;
  f.id = "a.b";
  f.title = "bad \xff\xc0 bytes";
  EXPECT_NO_THROW(nlohmann::json::parse(CritiqueToJson(Rank({}, {}, {f}))));
}

}  // namespace
}  // namespace armslength
