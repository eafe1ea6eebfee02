#include "journal/journal.h"

#include <fstream>
#include <thread>

#include <gmock/gmock.h>
#include <gtest/gtest.h>
#include <sys/stat.h>

#include "journal/data_folder.h"
#include "temp_folder.h"

namespace armslength {
namespace {

namespace fs = std::filesystem;
using test::OpenAt;
using test::Ref;
using test::TempFolder;

SavedWork SomeWork() {
  SavedWork work;
  work.marks_json = "{\"format\": \"armslength-marks\"}\n";
  work.stage = Stage::kLine;
  work.notes = {{3, "Left arm \"too\" long – ça va?", NoteKind::kWrong, NoteLook::kMirrored, {{10.5, 20.25, 30, 40}}, "body.arm_l.length"},
                {1, "The hair", NoteKind::kKeep, NoteLook::kFirst, std::nullopt, ""},
                {2, "Warmer?", NoteKind::kOtherwise, NoteLook::kChecklist, {{5, 6, 0, 0}}, ""}};
  work.judgements = {{"body.legs.length", "Mira", Answer::kNotSo, 0}, {"pixels.gaps", "", Answer::kAgree, 0}};
  return work;
}

Journal MustOpen(const fs::path& file) {
  auto journal = OpenAt(file);
  EXPECT_TRUE(journal) << journal.error().Text();
  return std::move(*journal);
}

unsigned Mode(const fs::path& path) {
  struct stat now {};
  return ::stat(path.c_str(), &now) == 0 ? now.st_mode & 0777 : 0;
}

class Environment {
 public:
  explicit Environment(const char* name) : name_(name) {
    if (const char* value = std::getenv(name)) value_ = value;
  }
  ~Environment() { value_ ? ::setenv(name_, value_->c_str(), 1) : ::unsetenv(name_); }

 private:
  const char* name_;
  std::optional<std::string> value_;
};

// XDG Base Directory Specification 0.8: the variable must be absolute, else it is ignored; unset
// or empty means $HOME/.local/share.
TEST(DataFolder, FollowsTheOverrideThenXdgThenHome) {
  const Environment own("ARMSLENGTH_DATA"), xdg("XDG_DATA_HOME"), home("HOME");
  ::setenv("HOME", "/home/mira", 1);
  ::unsetenv("ARMSLENGTH_DATA");
  ::unsetenv("XDG_DATA_HOME");
  EXPECT_EQ(DataFolder(), "/home/mira/.local/share/armslength");
  ::setenv("XDG_DATA_HOME", "", 1);
  EXPECT_EQ(DataFolder(), "/home/mira/.local/share/armslength");
  ::setenv("XDG_DATA_HOME", "relative/share", 1);
  EXPECT_EQ(DataFolder(), "/home/mira/.local/share/armslength");
  ::setenv("XDG_DATA_HOME", "/data", 1);
  EXPECT_EQ(DataFolder(), "/data/armslength");
  ::setenv("ARMSLENGTH_DATA", "/mine", 1);
  EXPECT_EQ(DataFolder(), "/mine");
  EXPECT_EQ(JournalPath(), "/mine/journal.sqlite");
}

TEST(Journal, OnlyItsOwnerMayReadIt) {
  const TempFolder folder;
  auto journal = MustOpen(folder.File());
  EXPECT_TRUE(journal.Opening().created);
  ASSERT_TRUE(journal.OpenPicture(Ref("/a/dancer.png")));
  EXPECT_EQ(Mode(folder.File()), 0600u);
  EXPECT_EQ(Mode(folder.File().parent_path()), 0700u);
  EXPECT_EQ(Mode(folder.File().string() + "-wal"), 0600u);
  EXPECT_EQ(Mode(folder.File().string() + "-shm"), 0600u);
}

TEST(Journal, ClosesAFileThatOthersCouldRead) {
  const TempFolder folder;
  { MustOpen(folder.File()); }
  ::chmod(folder.File().c_str(), 0644);
  const auto journal = MustOpen(folder.File());
  EXPECT_EQ(Mode(folder.File()), 0600u);
}

TEST(Journal, GivesTheWorkBackAsItWasSaved) {
  const TempFolder folder;
  RowId version = 0;
  {
    auto journal = MustOpen(folder.File());
    const auto opened = journal.OpenPicture(Ref("/a/dancer.png"));
    ASSERT_TRUE(opened);
    EXPECT_TRUE(opened->is_new);
    version = opened->version.id;
    EXPECT_EQ(journal.SaveWork(version, SomeWork()).value_or(-1), 1);
  }
  auto journal = MustOpen(folder.File());
  EXPECT_FALSE(journal.Opening().created);
  const auto work = journal.LoadWork(version);
  ASSERT_TRUE(work) << work.error().Text();
  const SavedWork sent = SomeWork();
  EXPECT_EQ(work->marks_json, sent.marks_json);
  EXPECT_EQ(work->stage, sent.stage);
  EXPECT_EQ(work->revision, 1);
  ASSERT_EQ(work->notes.size(), sent.notes.size());
  for (std::size_t i = 0; i < sent.notes.size(); ++i) {  // in the artist's order, not by number
    SCOPED_TRACE(i);
    EXPECT_EQ(work->notes[i].number, sent.notes[i].number);
    EXPECT_EQ(work->notes[i].text, sent.notes[i].text);
    EXPECT_EQ(work->notes[i].kind, sent.notes[i].kind);
    EXPECT_EQ(work->notes[i].look, sent.notes[i].look);
    EXPECT_EQ(work->notes[i].where_px, sent.notes[i].where_px);
    EXPECT_EQ(work->notes[i].finding, sent.notes[i].finding);
  }
  ASSERT_EQ(work->judgements.size(), 2u);
  EXPECT_EQ(work->judgements[0].finding, "body.legs.length");
  EXPECT_EQ(work->judgements[0].figure, "Mira");
  EXPECT_EQ(work->judgements[0].answer, Answer::kNotSo);
  EXPECT_GT(work->judgements[0].at, 0);
}

TEST(Journal, AnAnswerKeepsItsTimeUntilItChanges) {
  const TempFolder folder;
  auto journal = MustOpen(folder.File());
  const RowId version = journal.OpenPicture(Ref("/a/dancer.png"))->version.id;
  SavedWork work = SomeWork();
  work.revision = *journal.SaveWork(version, work);
  const TimeMs first = journal.LoadWork(version)->judgements[0].at;
  work.revision = *journal.SaveWork(version, work);
  EXPECT_EQ(journal.LoadWork(version)->judgements[0].at, first);
  work.judgements[0].answer = Answer::kAgree;
  work.revision = *journal.SaveWork(version, work);
  EXPECT_GT(journal.LoadWork(version)->judgements[0].at, first);
  work.judgements.clear();  // undone
  work.revision = *journal.SaveWork(version, work);
  EXPECT_TRUE(journal.LoadWork(version)->judgements.empty());
}

TEST(Journal, ASecondWindowDoesNotOverwriteTheFirst) {
  const TempFolder folder;
  auto one = MustOpen(folder.File());
  auto two = MustOpen(folder.File());
  const RowId version = one.OpenPicture(Ref("/a/dancer.png"))->version.id;
  ASSERT_EQ(two.OpenPicture(Ref("/a/dancer.png"))->version.id, version);
  SavedWork mine = SomeWork(), theirs;
  theirs.marks_json = "other";
  ASSERT_TRUE(one.SaveWork(version, mine));
  const auto late = two.SaveWork(version, theirs);
  ASSERT_FALSE(late);
  EXPECT_EQ(late.error().kind, ErrorKind::kUsage);
  EXPECT_THAT(late.error().cause, testing::HasSubstr("another window"));
  EXPECT_EQ(two.LoadWork(version)->marks_json, mine.marks_json);
}

TEST(Journal, WindowsThatSaveAtOnceAllGetThrough) {
  const TempFolder folder;
  { MustOpen(folder.File()); }
  constexpr int kWindows = 4, kSaves = 25;
  std::vector<std::thread> windows;
  std::atomic<int> failed{0};
  for (int w = 0; w < kWindows; ++w)
    windows.emplace_back([&, w] {
      JournalOptions options;
      options.path = folder.File();
      auto journal = Journal::Open(options);
      if (!journal) return void(failed += kSaves);
      auto opened = journal->OpenPicture(Ref("/a/" + std::to_string(w) + ".png", std::to_string(w)));
      if (!opened) return void(failed += kSaves);
      SavedWork work = SomeWork();
      for (int i = 0; i < kSaves; ++i) {
        const auto saved = journal->SaveWork(opened->version.id, work);
        if (!saved) ++failed;
        else work.revision = *saved;
      }
    });
  for (auto& window : windows) window.join();
  EXPECT_EQ(failed.load(), 0);
  auto journal = MustOpen(folder.File());
  const auto pieces = journal.RecentPieces();
  ASSERT_EQ(pieces->size(), static_cast<std::size_t>(kWindows));
  for (const PieceInfo& piece : *pieces)
    EXPECT_EQ(journal.LoadWork(piece.latest.id)->revision, kSaves) << piece.title;
}

TEST(Journal, KnowsThePictureAgain) {
  const TempFolder folder;
  auto journal = MustOpen(folder.File());
  const auto path = [&](const char* name) { return (folder.Path() / name).string(); };
  const auto first = journal.OpenPicture(Ref(path("a.png"), "s1"));
  const auto again = journal.OpenPicture(Ref(path("a.png"), "s1"));
  EXPECT_EQ(again->version.id, first->version.id);
  EXPECT_FALSE(again->is_new || again->changed || again->moved);
  const auto saved = journal.OpenPicture(Ref(path("a.png"), "s2"));  // saved elsewhere meanwhile
  EXPECT_EQ(saved->version.id, first->version.id);
  EXPECT_TRUE(saved->changed);
  EXPECT_EQ(saved->version.picture.sha256, "s2");
  const auto moved = journal.OpenPicture(Ref(path("b.png"), "s2"));  // a.png does not exist
  EXPECT_EQ(moved->version.id, first->version.id);
  EXPECT_TRUE(moved->moved);
  EXPECT_EQ(moved->version.picture.path, path("b.png"));
  std::ofstream(path("b.png")) << "there";
  const auto copy = journal.OpenPicture(Ref(path("c.png"), "s2"));  // b.png exists: c.png is a copy
  EXPECT_TRUE(copy->is_new);
  EXPECT_NE(copy->version.piece, first->version.piece);
}

TEST(Journal, AFurtherVersionTakesMarksAndNotesButNoAnswers) {
  const TempFolder folder;
  auto journal = MustOpen(folder.File());
  const VersionInfo old = journal.OpenPicture(Ref("/a/dancer.png"))->version;
  ASSERT_TRUE(journal.SaveWork(old.id, SomeWork()));
  const auto redo = journal.AddVersion(old.piece, Ref("/a/dancer-2.png", "bb"), old.id);
  ASSERT_TRUE(redo) << redo.error().Text();
  EXPECT_EQ(redo->number, 2);
  const auto work = journal.LoadWork(redo->id);
  EXPECT_EQ(work->marks_json, SomeWork().marks_json);
  EXPECT_EQ(work->stage, Stage::kLine);
  EXPECT_EQ(work->notes.size(), 3u);
  EXPECT_TRUE(work->judgements.empty());
  EXPECT_EQ(journal.Versions(old.piece)->size(), 2u);
  EXPECT_FALSE(journal.AddVersion(old.piece + 99, Ref("/a/x.png")));
  EXPECT_FALSE(journal.AddVersion(old.piece, Ref("/a/x.png"), 9999));
  EXPECT_EQ(journal.Versions(old.piece)->size(), 2u) << "a refused version left a row";
}

TEST(Journal, CharactersBelongToThePieceAndAllItsVersions) {
  const TempFolder folder;
  auto journal = MustOpen(folder.File());
  const VersionInfo old = journal.OpenPicture(Ref("/a/dancer.png"))->version;
  const VersionInfo other = journal.OpenPicture(Ref("/a/smith.png", "cc"))->version;
  SavedWork work = SomeWork();
  work.characters = {{"Mira", "/a/mira.character.json"}, {"figure 2", "/a/tom.character.json"}};
  ASSERT_TRUE(journal.SaveWork(old.id, work));
  EXPECT_EQ(journal.LoadWork(old.id)->characters, work.characters);
  const auto redo = journal.AddVersion(old.piece, Ref("/a/dancer-2.png", "bb"));
  EXPECT_EQ(journal.LoadWork(redo->id)->characters, work.characters);
  EXPECT_TRUE(journal.LoadWork(other.id)->characters.empty());
  auto now = *journal.LoadWork(redo->id);
  now.characters.erase("figure 2");
  ASSERT_TRUE(journal.SaveWork(redo->id, now));
  EXPECT_EQ(journal.LoadWork(old.id)->characters.size(), 1u);
  ASSERT_TRUE(journal.RemovePiece(old.piece));
  EXPECT_EQ(journal.RecentPieces()->size(), 1u);
}

TEST(Journal, ListsRecentPiecesWithThumbnailAndTime) {
  const TempFolder folder;
  auto journal = MustOpen(folder.File());
  const VersionInfo a = journal.OpenPicture(Ref("/a/dancer.png", "a"))->version;
  const VersionInfo b = journal.OpenPicture(Ref("/a/smith.png", "b"))->version;
  ASSERT_TRUE(journal.SaveWork(a.id, SomeWork()));  // a is now the one last worked on
  const std::string png("\x89PNG\0\x01\xff", 7);
  ASSERT_TRUE(journal.SetThumbnail(a.piece, png));
  EXPECT_FALSE(journal.SetThumbnail(a.piece, std::string((std::size_t{256} << 10) + 1, 'x')));
  ASSERT_TRUE(journal.SetTitle(b.piece, "The smith"));
  const auto look = journal.BeginSession(a.id, "look");
  ASSERT_TRUE(journal.Tick(*look, 90));
  ASSERT_TRUE(journal.Tick(*look, 100'000));  // the computer slept: ten minutes count
  ASSERT_TRUE(journal.Tick(*look, -5));
  ASSERT_TRUE(journal.Tick(*journal.BeginSession(a.id, "mark"), 30));
  const auto pieces = journal.RecentPieces();
  ASSERT_EQ(pieces->size(), 2u);
  EXPECT_EQ((*pieces)[0].title, "dancer");
  EXPECT_EQ((*pieces)[0].thumbnail_png, png);
  EXPECT_DOUBLE_EQ((*pieces)[0].minutes, 12.0);
  EXPECT_EQ((*pieces)[1].title, "The smith");
  const auto times = journal.Times(a.piece);
  ASSERT_EQ(times->size(), 2u);
  EXPECT_EQ((*times)[0].place, "look");
  EXPECT_DOUBLE_EQ((*times)[0].minutes, 11.5);
  EXPECT_EQ(journal.RecentPieces(1)->size(), 1u);
  ASSERT_TRUE(journal.RemovePiece(a.piece));
  EXPECT_FALSE(journal.LoadWork(a.id));
  EXPECT_FALSE(journal.RemovePiece(a.piece));
  EXPECT_FALSE(journal.BeginSession(a.id, "look"));
}

TEST(Journal, KeepsTheFindingsOfTheLastCritique) {
  const TempFolder folder;
  auto journal = MustOpen(folder.File());
  const RowId version = journal.OpenPicture(Ref("/a/dancer.png"))->version.id;
  Finding off;
  off.id = "body.legs.length";
  off.figure = "Mira";
  off.title = "Legs too long";
  off.kind = Kind::kCanon;
  off.verdict = Verdict::kOff;
  off.measured = 1.2;
  off.expected = 1.0;
  off.unit = "ratio";
  off.evidence = 14.0;
  off.test = "2 ln Bayes factor";
  off.remedy.minutes = 45.0;
  Finding open;
  open.id = "body.head.size";
  open.verdict = Verdict::kCannotTell;
  const std::vector<const Finding*> both = {&off, &open};
  ASSERT_TRUE(journal.SaveFindings(version, both));
  ASSERT_TRUE(journal.SaveFindings(version, both));  // replaces
  const auto kept = journal.Findings(version);
  ASSERT_EQ(kept->size(), 2u);
  const KeptFinding& f = (*kept)[0];
  EXPECT_EQ(f.id, "body.legs.length");
  EXPECT_EQ(f.figure, "Mira");
  EXPECT_EQ(f.kind, Kind::kCanon);
  EXPECT_EQ(f.verdict, Verdict::kOff);
  EXPECT_EQ(f.measured, std::optional(1.2));
  EXPECT_EQ(f.sd, std::nullopt);  // not known is not zero
  EXPECT_EQ(f.certainty, std::optional(3));
  EXPECT_DOUBLE_EQ(f.minutes, 45.0);
  EXPECT_EQ((*kept)[1].verdict, Verdict::kCannotTell);
  EXPECT_EQ((*kept)[1].certainty, std::nullopt);
}

TEST(Journal, CountsAnswersByPiece) {
  const TempFolder folder;
  auto journal = MustOpen(folder.File());
  const auto answer = [&](RowId version, Answer given) {
    SavedWork work = *journal.LoadWork(version);
    work.judgements = {{"body.legs.length", "", given, 0}};
    EXPECT_TRUE(journal.SaveWork(version, work));
  };
  const VersionInfo a = journal.OpenPicture(Ref("/a/1.png", "1"))->version;
  const VersionInfo a2 = *journal.AddVersion(a.piece, Ref("/a/1b.png", "1b"));
  const VersionInfo b = journal.OpenPicture(Ref("/a/2.png", "2"))->version;
  const VersionInfo c = journal.OpenPicture(Ref("/a/3.png", "3"))->version;
  answer(a.id, Answer::kNotSo);
  answer(a2.id, Answer::kNotSo);  // the same piece again: one answer
  answer(b.id, Answer::kNotSo);
  answer(c.id, Answer::kMeant);   // meant is neither
  auto record = *journal.Record();
  EXPECT_EQ(record["body.legs.length"].not_so, 2);
  EXPECT_EQ(record["body.legs.length"].agreed, 0);
  answer(c.id, Answer::kAgree);
  answer(b.id, Answer::kAgree);
  record = *journal.Record();
  EXPECT_EQ(record["body.legs.length"].not_so, 1);
  EXPECT_EQ(record["body.legs.length"].agreed, 2);
}

TEST(Journal, RefusesAFolderItCannotWrite) {
  const TempFolder folder;
  std::ofstream(folder.Path() / "data") << "a file, not a folder";
  const auto journal = OpenAt(folder.File());
  ASSERT_FALSE(journal);
  EXPECT_EQ(journal.error().kind, ErrorKind::kInput);
  EXPECT_THAT(journal.error().remedy, testing::HasSubstr("ARMSLENGTH_DATA"));
  EXPECT_FALSE(Journal::Open({}));
}

}  // namespace
}  // namespace armslength
