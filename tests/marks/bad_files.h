#pragma once
#include <sys/wait.h>

#include <cstdlib>
#include <filesystem>
#include <string>
#include <vector>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <nlohmann/json.hpp>

#include "support/files.h"

// Malformed files under tests/data/bad with what must be said about each (expected.json).
namespace armslength::testing_files {

struct BadFile {
  std::filesystem::path path;
  std::string place, cause;
};

// Every file of the folder; one without an expectation fails the test, so none can be forgotten.
inline std::vector<BadFile> BadFiles(const std::string& folder) {
  const std::filesystem::path root = std::filesystem::path(AL_TEST_DATA) / "bad" / folder;
  const auto expected = nlohmann::json::parse(ReadFile(root / "expected.json").value());
  std::vector<BadFile> files;
  for (const auto& entry : std::filesystem::directory_iterator(root)) {
    const std::string name = entry.path().filename().string();
    if (name == "expected.json") continue;
    EXPECT_TRUE(expected.contains(name)) << name;
    if (!expected.contains(name)) continue;
    files.push_back({entry.path(), expected[name]["place"], expected[name]["cause"]});
  }
  EXPECT_EQ(files.size(), expected.size()) << "every expectation has its file";
  return files;
}

struct Ran {
  int exit_code = -1;
  std::string out, err;
  int files_made = 0;  // in the folder it ran in
};

// Runs the program in an empty folder. `arguments` are quoted by the caller.
inline Ran RunProgram(const std::string& arguments) {
  namespace fs = std::filesystem;
  std::string name = ::testing::TempDir() + "armslength_run_XXXXXX";
  EXPECT_NE(::mkdtemp(name.data()), nullptr);
  const fs::path folder = fs::path(name) / "empty";
  fs::create_directory(folder);
  const std::string command = "cd '" + folder.string() + "' && '" AL_BINARY "' " + arguments + " >../out 2>../err </dev/null";
  const int status = std::system(command.c_str());
  Ran ran;
  ran.exit_code = WIFEXITED(status) ? WEXITSTATUS(status) : -1;
  ran.out = ReadFile(fs::path(name) / "out").value_or("");
  ran.err = ReadFile(fs::path(name) / "err").value_or("");
  for ([[maybe_unused]] const auto& entry : fs::recursive_directory_iterator(folder)) ++ran.files_made;
  fs::remove_all(name);
  return ran;
}

// The program, run on each file of the folder, exits with 3, says file, place and cause, and leaves nothing behind.
inline void ExpectEachRefused(const std::string& folder, const std::string& before, const std::string& after) {
  using ::testing::HasSubstr;
  const std::vector<BadFile> files = BadFiles(folder);
  EXPECT_FALSE(files.empty());
  for (const BadFile& file : files) {
    SCOPED_TRACE(file.path.filename().string());
    const Ran ran = RunProgram(before + " '" + file.path.string() + "' " + after);
    EXPECT_EQ(ran.exit_code, 3) << ran.err;
    EXPECT_EQ(ran.out, "");
    EXPECT_THAT(ran.err, HasSubstr(file.path.filename().string()));
    EXPECT_THAT(ran.err, HasSubstr(file.place));
    EXPECT_THAT(ran.err, HasSubstr(file.cause));
    EXPECT_EQ(ran.files_made, 0);
  }
}

}  // namespace armslength::testing_files
