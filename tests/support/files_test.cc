#include "support/files.h"

#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <csignal>
#include <cstdlib>
#include <fstream>

#include <gmock/gmock.h>
#include <gtest/gtest.h>

namespace armslength {
namespace {

namespace fs = std::filesystem;
using ::testing::HasSubstr;

class Files : public ::testing::Test {
 protected:
  void SetUp() override {
    std::string name = ::testing::TempDir() + "armslength_files_XXXXXX";
    ASSERT_NE(::mkdtemp(name.data()), nullptr);
    folder_ = name;
  }
  void TearDown() override {
    std::error_code code;
    fs::permissions(folder_, fs::perms::owner_all, code);
    fs::remove_all(folder_, code);
  }
  // Every name in the folder, hidden ones too: a left-over part shows here.
  int Entries() const {
    int n = 0;
    for ([[maybe_unused]] const auto& entry : fs::recursive_directory_iterator(folder_)) ++n;
    return n;
  }
  fs::path folder_;
};

TEST_F(Files, WhatIsWrittenIsReadBack) {
  const std::string bytes("line\n\0\xFF end", 11);
  ASSERT_TRUE(WriteFileAtomic(folder_ / "a" / "b" / "file", bytes));
  const auto read = ReadFile(folder_ / "a" / "b" / "file");
  ASSERT_TRUE(read) << read.error().Text();
  EXPECT_EQ(*read, bytes);
  EXPECT_EQ(Entries(), 3) << "two folders and the file, no part left";
}

TEST_F(Files, AnEmptyFileIsFine) {
  ASSERT_TRUE(WriteFileAtomic(folder_ / "empty", ""));
  EXPECT_EQ(ReadFile(folder_ / "empty").value(), "");
}

TEST_F(Files, ReplacingKeepsPermissionsAndLinks) {
  ASSERT_TRUE(WriteFileAtomic(folder_ / "real", "old"));
  fs::permissions(folder_ / "real", fs::perms::owner_read | fs::perms::owner_write);
  fs::create_symlink("real", folder_ / "link");
  ASSERT_TRUE(WriteFileAtomic(folder_ / "link", "new"));
  EXPECT_TRUE(fs::is_symlink(folder_ / "link"));
  EXPECT_EQ(ReadFile(folder_ / "real").value(), "new");
  EXPECT_EQ(fs::status(folder_ / "real").permissions(), fs::perms::owner_read | fs::perms::owner_write);
}

TEST_F(Files, MissingFileFolderAndTooLargeSayWhatIsWrong) {
  const auto missing = ReadFile(folder_ / "nothing");
  ASSERT_FALSE(missing);
  EXPECT_EQ(missing.error().kind, ErrorKind::kInput);
  EXPECT_THAT(missing.error().Text(), HasSubstr("nothing: there is no such file"));
  EXPECT_THAT(ReadFile(folder_).error().cause, HasSubstr("not a regular file"));
  ASSERT_TRUE(WriteFileAtomic(folder_ / "ten", "0123456789"));
  EXPECT_TRUE(ReadFile(folder_ / "ten", 10));
  EXPECT_THAT(ReadFile(folder_ / "ten", 9).error().cause, HasSubstr("10 bytes, more than the limit of 9"));
}

TEST_F(Files, AFolderThatCannotBeMadeIsNamed) {
  ASSERT_TRUE(WriteFileAtomic(folder_ / "file", "x"));
  const auto under_a_file = WriteFileAtomic(folder_ / "file" / "below", "y");
  ASSERT_FALSE(under_a_file);
  EXPECT_EQ(under_a_file.error().kind, ErrorKind::kInput);
  EXPECT_THAT(under_a_file.error().Text(), HasSubstr("below"));
  EXPECT_EQ(Entries(), 1);
}

TEST_F(Files, WhenPuttingInPlaceFailsNothingIsLeft) {
  fs::create_directories(folder_ / "taken" / "inner");  // a folder that is not empty cannot be replaced
  ASSERT_FALSE(WriteFileAtomic(folder_ / "taken", "x"));
  EXPECT_EQ(Entries(), 2);
  ASSERT_FALSE(WriteFileAtomic(folder_ / std::string(300, 'n'), "x"));  // longer than a name may be
  EXPECT_EQ(Entries(), 2);
}

// Runs `body` in a child process, so that limits and identity end with it.
int InChild(const std::function<int()>& body) {
  const pid_t pid = ::fork();
  if (pid == 0) ::_exit(body());
  int status = 0;
  ::waitpid(pid, &status, 0);
  return WIFEXITED(status) ? WEXITSTATUS(status) : -1;
}

TEST_F(Files, AFullDiskKeepsTheOldFileAndLeavesNoPart) {
  ASSERT_TRUE(WriteFileAtomic(folder_ / "file", "old"));
  const int code = InChild([&] {
    // Stands for a full disk: the system refuses to let a file grow beyond 1000 bytes.
    std::signal(SIGXFSZ, SIG_IGN);
    const rlimit limit{1000, 1000};
    if (::setrlimit(RLIMIT_FSIZE, &limit) != 0) return 2;
    const auto written = WriteFileAtomic(folder_ / "file", std::string(100'000, 'n'));
    return !written && written.error().kind == ErrorKind::kInput ? 0 : 1;
  });
  EXPECT_EQ(code, 0);
  EXPECT_EQ(ReadFile(folder_ / "file").value(), "old");
  EXPECT_EQ(Entries(), 1);
}

TEST_F(Files, AReadOnlyFolderIsNamedAndUntouched) {
  ASSERT_TRUE(WriteFileAtomic(folder_ / "file", "old"));
  fs::permissions(folder_, fs::perms::owner_read | fs::perms::owner_exec | fs::perms::others_read | fs::perms::others_exec);
  const int code = InChild([&] {
    if (::geteuid() == 0 && ::setuid(65534) != 0) return 2;  // root may write anywhere
    const auto written = WriteFileAtomic(folder_ / "file", "new");
    return !written && written.error().file == (folder_ / "file").string() ? 0 : 1;
  });
  EXPECT_EQ(code, 0);
  EXPECT_EQ(ReadFile(folder_ / "file").value(), "old");
  EXPECT_EQ(Entries(), 1);
}

// FIPS 180-4; digests of the NIST example values for SHA-256 ("abc", 448 bits, empty).
TEST(Sha256, GivesThePublishedDigests) {
  EXPECT_EQ(Sha256Hex("abc"), "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  EXPECT_EQ(Sha256Hex("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq"),
            "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
  EXPECT_EQ(Sha256Hex(""), "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
  EXPECT_EQ(Sha256Hex(std::string(1'000'000, 'a')), "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
}

// RFC 4648, section 10.
TEST(Base64Text, GivesTheVectorsOfTheStandard) {
  EXPECT_EQ(Base64(""), "");
  EXPECT_EQ(Base64("f"), "Zg==");
  EXPECT_EQ(Base64("fo"), "Zm8=");
  EXPECT_EQ(Base64("foo"), "Zm9v");
  EXPECT_EQ(Base64("foob"), "Zm9vYg==");
  EXPECT_EQ(Base64("fooba"), "Zm9vYmE=");
  EXPECT_EQ(Base64("foobar"), "Zm9vYmFy");
  EXPECT_EQ(Base64(std::string("\xFB\xFF\x00", 3)), "+/8A");
}

}  // namespace
}  // namespace armslength
