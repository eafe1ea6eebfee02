#include <csignal>
#include <fstream>
#include <random>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/wait.h>
#include <unistd.h>

#include "journal/database.h"
#include "journal/journal.h"
#include "support/files.h"
#include "temp_folder.h"

namespace armslength {
namespace {

namespace fs = std::filesystem;
using test::OpenAt;
using test::Ref;
using test::TempFolder;
using testing::HasSubstr;

std::string Bytes(const fs::path& path) { return ReadFile(path).value_or("(unreadable)"); }

void Overwrite(const fs::path& path, std::size_t at, const std::string& bytes) {
  std::fstream file(path, std::ios::binary | std::ios::in | std::ios::out);
  file.seekp(static_cast<std::streamoff>(at));
  file.write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
}

// A closed journal with one saved piece; side files are gone after the last window closed.
void Fill(const fs::path& file, const std::string& marks = "marks", int notes = 40) {
  auto journal = OpenAt(file);
  ASSERT_TRUE(journal) << journal.error().Text();
  const RowId version = journal->OpenPicture(Ref("/a/dancer.png"))->version.id;
  SavedWork work = *journal->LoadWork(version);
  work.marks_json = marks;
  work.notes.clear();
  for (int i = 0; i < notes; ++i) {
    JournalNote note;
    note.number = i + 1;
    note.text = std::string(200, 'n');
    work.notes.push_back(note);
  }
  ASSERT_TRUE(journal->SaveWork(version, work));
}

// Work of save number i: every part of it carries the number, so that a torn save would show.
SavedWork Numbered(std::int64_t i) {
  SavedWork work;
  work.marks_json = std::to_string(i) + std::string(static_cast<std::size_t>(2000 + 37 * (i % 50)), ' ');
  for (int n = 0; n < static_cast<int>(i % 9); ++n) {
    JournalNote note;
    note.number = n + 1;
    note.text = std::to_string(i);
    work.notes.push_back(note);
  }
  if (i % 2) work.judgements.push_back({"f." + std::to_string(i), "", Answer::kNotSo, 0});
  work.revision = i - 1;
  return work;
}

TEST(JournalSafety, NothingSavedIsLostToKillMinusNine) {
  std::mt19937 rng(20260314);
  std::int64_t all_saves = 0;
  for (int round = 0; round < 8; ++round) {
    SCOPED_TRACE(round);
    const TempFolder folder;
    int ends[2];
    ASSERT_EQ(::pipe(ends), 0);
    const pid_t child = ::fork();
    ASSERT_GE(child, 0);
    if (child == 0) {  // saves as fast as it can until it is killed
      ::close(ends[0]);
      JournalOptions options;
      options.path = folder.File();
      auto journal = Journal::Open(options);
      if (!journal) ::_exit(1);
      auto opened = journal->OpenPicture(Ref("/a/dancer.png"));
      if (!opened) ::_exit(2);
      for (std::int64_t i = 1;; ++i) {
        const auto saved = journal->SaveWork(opened->version.id, Numbered(i));
        if (!saved || *saved != i) ::_exit(3);
        if (::write(ends[1], &i, sizeof i) != sizeof i) ::_exit(4);
      }
    }
    ::close(ends[1]);
    // At some moment after the third save, mostly in the middle of a later one.
    std::int64_t acknowledged = 0, got = 0;
    while (got < 3 && ::read(ends[0], &got, sizeof got) == sizeof got) acknowledged = got;
    ::usleep(static_cast<useconds_t>(std::uniform_int_distribution<>(0, 60'000)(rng)));
    ::kill(child, SIGKILL);
    int status = 0;
    ::waitpid(child, &status, 0);
    ASSERT_TRUE(WIFSIGNALED(status)) << "the child ended by itself with " << WEXITSTATUS(status);
    while (::read(ends[0], &got, sizeof got) == sizeof got) acknowledged = got;
    ::close(ends[0]);

    auto journal = OpenAt(folder.File());
    ASSERT_TRUE(journal) << journal.error().Text();
    EXPECT_TRUE(journal->Opening().set_aside.empty()) << journal->Opening().message;
    const RowId version = journal->OpenPicture(Ref("/a/dancer.png"))->version.id;
    const auto work = journal->LoadWork(version);
    ASSERT_TRUE(work);
    // What was acknowledged is there; at most the one save under way is there besides.
    EXPECT_GE(work->revision, acknowledged);
    EXPECT_LE(work->revision, acknowledged + 1);
    const SavedWork whole = Numbered(work->revision);
    EXPECT_EQ(work->marks_json, whole.marks_json);
    ASSERT_EQ(work->notes.size(), whole.notes.size());
    for (const JournalNote& note : work->notes) EXPECT_EQ(note.text, std::to_string(work->revision));
    ASSERT_EQ(work->judgements.size(), whole.judgements.size());
    for (const Judgement& j : work->judgements) EXPECT_EQ(j.finding, "f." + std::to_string(work->revision));
    all_saves += work->revision;
  }
  EXPECT_GE(all_saves, 24);
}

TEST(JournalSafety, ADamagedFileIsSetAsideUntouched) {
  const std::string garbage(300, '\x5a');
  const std::pair<const char*, std::function<void(const fs::path&)>> harms[] = {
      {"no header", [&](const fs::path& f) { Overwrite(f, 0, garbage); }},
      {"garbage in a page", [&](const fs::path& f) { Overwrite(f, fs::file_size(f) - 4096 + 8, garbage); }},
      {"cut short", [](const fs::path& f) { fs::resize_file(f, fs::file_size(f) / 2); }},
      {"three bytes", [](const fs::path& f) { fs::resize_file(f, 3); }},
  };
  for (const auto& [name, harm] : harms) {
    SCOPED_TRACE(name);
    const TempFolder folder;
    Fill(folder.File());
    harm(folder.File());
    const std::string before = Bytes(folder.File());
    auto journal = OpenAt(folder.File());
    ASSERT_TRUE(journal) << journal.error().Text();
    const JournalOpening& opening = journal->Opening();
    ASSERT_FALSE(opening.set_aside.empty());
    EXPECT_TRUE(opening.created);
    EXPECT_EQ(opening.set_aside.parent_path(), folder.File().parent_path());
    EXPECT_EQ(Bytes(opening.set_aside), before) << "the damaged file was changed";
    EXPECT_THAT(opening.message, HasSubstr(opening.set_aside.string()));
    EXPECT_THAT(opening.message, HasSubstr("backup"));
    EXPECT_TRUE(journal->RecentPieces()->empty());
    EXPECT_TRUE(journal->OpenPicture(Ref("/a/new.png")));
  }
}

TEST(JournalSafety, TwoDamagedFilesOfOneMinuteAreBothKept) {
  const TempFolder folder;
  std::vector<fs::path> aside;
  for (int i = 0; i < 2; ++i) {
    Fill(folder.File());
    Overwrite(folder.File(), 0, "damaged " + std::to_string(i));
    JournalOptions options;
    options.path = folder.File();
    options.now = [] { return TimeMs{1'773'478'800'000}; };
    const auto journal = Journal::Open(options);
    ASSERT_TRUE(journal);
    aside.push_back(journal->Opening().set_aside);
  }
  EXPECT_NE(aside[0], aside[1]);
  EXPECT_THAT(Bytes(aside[0]), testing::StartsWith("damaged 0"));
  EXPECT_THAT(Bytes(aside[1]), testing::StartsWith("damaged 1"));
}

TEST(JournalSafety, DatabasesOfOthersAndOfTheFutureAreLeftAlone) {
  const TempFolder folder;
  fs::create_directories(folder.File().parent_path());
  {
    SQLite::Database other(folder.File().string(), SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE);
    other.exec("CREATE TABLE letters (text); INSERT INTO letters VALUES ('dear')");
  }
  const std::string foreign = Bytes(folder.File());
  auto refused = OpenAt(folder.File());
  ASSERT_FALSE(refused);
  EXPECT_THAT(refused.error().cause, HasSubstr("another program"));
  EXPECT_EQ(Bytes(folder.File()), foreign);

  fs::remove(folder.File());
  Fill(folder.File());
  {
    SQLite::Database newer(folder.File().string(), SQLite::OPEN_READWRITE);
    newer.exec("PRAGMA user_version = 999");
  }
  const std::string future = Bytes(folder.File());
  refused = OpenAt(folder.File());
  ASSERT_FALSE(refused);
  EXPECT_THAT(refused.error().cause, HasSubstr("newer"));
  EXPECT_EQ(Bytes(folder.File()), future);
}

TEST(JournalSafety, ALockedJournalIsNotTakenForADamagedOne) {
  const TempFolder folder;
  Fill(folder.File());
  SQLite::Database holder(folder.File().string(), SQLite::OPEN_READWRITE);
  holder.exec("PRAGMA locking_mode = EXCLUSIVE; BEGIN EXCLUSIVE; UPDATE piece SET title = 'x'");
  const auto journal = OpenAt(folder.File(), 50);
  ASSERT_FALSE(journal);
  EXPECT_TRUE(fs::exists(folder.File()));
  for (const auto& entry : fs::directory_iterator(folder.File().parent_path()))
    EXPECT_THAT(entry.path().filename().string(), testing::Not(HasSubstr("damaged")));
}

TEST(JournalSafety, ABackupIsOneFileAndComesBack) {
  const TempFolder folder;
  Fill(folder.File(), "the first state");
  const fs::path backup = folder.Path() / "backup.sqlite";
  auto journal = *OpenAt(folder.File());
  auto window = *OpenAt(folder.File());  // another one, open all the time
  ASSERT_TRUE(journal.BackUp(backup));
  EXPECT_TRUE(CheckJournalFile(backup));
  EXPECT_FALSE(fs::exists(backup.string() + "-wal"));
  EXPECT_EQ(fs::status(backup).permissions(), fs::perms::owner_read | fs::perms::owner_write);

  const RowId version = journal.RecentPieces()->front().latest.id;
  SavedWork work = *journal.LoadWork(version);
  work.marks_json = "the second state";
  ASSERT_TRUE(journal.SaveWork(version, work));
  ASSERT_TRUE(journal.OpenPicture(Ref("/a/smith.png", "bb")));
  const auto kept = journal.RestoreFrom(backup);
  ASSERT_TRUE(kept) << kept.error().Text();
  EXPECT_EQ(journal.LoadWork(version)->marks_json, "the first state");
  EXPECT_EQ(window.LoadWork(version)->marks_json, "the first state");
  EXPECT_EQ(window.RecentPieces()->size(), 1u);
  // What was there before the restore is a backup itself.
  ASSERT_TRUE(journal.RestoreFrom(*kept));
  EXPECT_EQ(journal.LoadWork(version)->marks_json, "the second state");
  EXPECT_EQ(journal.RecentPieces()->size(), 2u);
  EXPECT_TRUE(CheckJournalFile(folder.File()));
}

TEST(JournalSafety, BackupsDoNotReplaceWhatIsNoJournal) {
  const TempFolder folder;
  Fill(folder.File());
  auto journal = *OpenAt(folder.File());
  const fs::path painting = folder.Path() / "painting.png";
  std::ofstream(painting) << "precious";
  EXPECT_FALSE(journal.BackUp(painting));
  EXPECT_EQ(Bytes(painting), "precious");
  EXPECT_FALSE(journal.BackUp(folder.File()));
  EXPECT_FALSE(journal.BackUp(folder.Path() / "nowhere" / "b.sqlite"));
  const fs::path backup = folder.Path() / "b.sqlite";
  EXPECT_TRUE(journal.BackUp(backup));
  EXPECT_TRUE(journal.BackUp(backup)) << "an older backup may be replaced";
  EXPECT_FALSE(journal.RestoreFrom(painting));
  EXPECT_FALSE(journal.RestoreFrom(folder.Path() / "missing.sqlite"));
  Overwrite(backup, 4096, std::string(300, 'x'));  // the head of the second page
  EXPECT_FALSE(journal.RestoreFrom(backup));
  EXPECT_EQ(journal.RecentPieces()->size(), 1u);
  for (const auto& entry : fs::directory_iterator(folder.Path()))
    EXPECT_THAT(entry.path().filename().string(), testing::Not(HasSubstr(".part")));
}

// The steps themselves are tried with steps of the test's own: the real list has one so far.
TEST(JournalSafety, AFailedStepLeavesTheFileAsItWas) {
  const TempFolder folder;
  Fill(folder.File());
  const char* const good = "CREATE TABLE extra (id INTEGER)";
  const char* const bad = "CREATE TABLE more (id INTEGER); INSERT INTO missing VALUES (1)";
  std::vector<const char*> steps(journal::Steps().begin(), journal::Steps().end());
  const int format = static_cast<int>(steps.size());
  steps.push_back(good);
  steps.push_back(bad);
  SQLite::Database db(folder.File().string(), SQLite::OPEN_READWRITE);
  EXPECT_THROW(static_cast<void>(journal::Migrate(db, folder.File(), steps, 1'773'478'800'000)), SQLite::Exception);
  EXPECT_EQ(db.execAndGet("PRAGMA user_version").getInt(), format + 1) << "the good step stays";
  EXPECT_TRUE(db.tableExists("extra"));
  EXPECT_FALSE(db.tableExists("more"));
  EXPECT_EQ(db.execAndGet("SELECT count(*) FROM note").getInt(), 40);
  // And the file as it was before is beside it.
  const fs::path kept = folder.File().parent_path() / ("journal-format-" + std::to_string(format) + "-20260314-090000.sqlite");
  ASSERT_TRUE(fs::exists(kept));
  EXPECT_TRUE(CheckJournalFile(kept));
}

// A journal as format 1 wrote it; every later program must open it.
TEST(JournalSafety, OpensAFileOfFormatOne) {
  const TempFolder folder;
  fs::create_directories(folder.File().parent_path());
  fs::copy_file(fs::path(AL_TEST_DATA) / "journal" / "format-1.sqlite", folder.File());
  auto journal = OpenAt(folder.File());
  ASSERT_TRUE(journal) << journal.error().Text();
  const auto pieces = journal->RecentPieces();
  ASSERT_EQ(pieces->size(), 1u);
  EXPECT_EQ(pieces->front().title, "dancer");
  EXPECT_EQ(pieces->front().versions, 2);
  const auto work = journal->LoadWork(pieces->front().latest.id);
  ASSERT_EQ(work->notes.size(), 1u);
  EXPECT_EQ(work->notes[0].text, "The near arm");
  EXPECT_EQ((*journal->Record()).at("body.legs.length").not_so, 1);
  EXPECT_TRUE(work->characters.empty());
  EXPECT_TRUE(fs::exists(journal->Opening().kept_old)) << "the file as it was stays beside it";
}

// Format 2 added the characters of a piece.
TEST(JournalSafety, OpensAFileOfFormatTwo) {
  const TempFolder folder;
  fs::create_directories(folder.File().parent_path());
  fs::copy_file(fs::path(AL_TEST_DATA) / "journal" / "format-2.sqlite", folder.File());
  auto journal = OpenAt(folder.File());
  ASSERT_TRUE(journal) << journal.error().Text();
  const auto pieces = journal->RecentPieces();
  ASSERT_EQ(pieces->size(), 1u);
  EXPECT_EQ(pieces->front().title, "smith");
  const auto work = journal->LoadWork(pieces->front().latest.id);
  EXPECT_EQ(work->stage, Stage::kSketch);
  EXPECT_EQ(work->characters, (std::map<std::string, std::string>{{"Smith", "/pictures/smith.character.json"}}));
}

}  // namespace
}  // namespace armslength
