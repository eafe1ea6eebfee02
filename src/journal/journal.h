#pragma once
#include <filesystem>
#include <functional>
#include <memory>
#include <span>
#include <string>
#include <vector>

#include "critique/artist_record.h"
#include "journal/records.h"
#include "support/error.h"

namespace armslength {

struct JournalOptions {
  std::filesystem::path path;      // REQUIRED; JournalPath() for the artist's own
  int busy_timeout_ms = 5000;      // how long a window waits for another one's save. REQUIRES: >= 0
  std::function<TimeMs()> now;     // empty: the system's clock
};

// What opening did, for the artist to read.
struct JournalOpening {
  bool created = false;            // there was none
  std::filesystem::path set_aside; // the damaged file was moved here; empty: none was
  std::filesystem::path kept_old;  // copy made before the format was brought up to date; empty: none
  std::string message;             // one sentence; empty when there is nothing to say
};

// One artist's pieces, versions, marks, notes, answers and times in one SQLite file that only its
// owner can read (0600). Every change is one transaction on disk before the call returns, so a
// killed program loses nothing that was saved. Several windows may have it open: each has its own
// Journal. Not thread-safe: one object, one thread at a time.
// Errors: kInput with the file and a way out; never an exception.
class Journal {
 public:
  // Opens or makes the file and its folder. A damaged one is moved aside, whole, and a new one
  // is begun; a file of another program or of a newer Armslength is refused and left alone.
  [[nodiscard]] static Result<Journal> Open(const JournalOptions& options);
  Journal(Journal&&) noexcept;
  Journal& operator=(Journal&&) noexcept;
  ~Journal();

  [[nodiscard]] const JournalOpening& Opening() const;
  [[nodiscard]] const std::filesystem::path& Path() const;

  // The version for a picture that is being opened: the newest one of that path; else one with
  // the same bytes whose own file is gone (the picture was moved); else a new piece named after
  // the file. The stored hash and size become those given.
  struct Opened {
    VersionInfo version;
    bool is_new = false;
    bool changed = false;  // same path, other bytes than last time
    bool moved = false;
  };
  [[nodiscard]] Result<Opened> OpenPicture(const PictureRef& picture);
  // The picture as a further version of a piece. `copy_work_of` > 0: begins with the marks, notes
  // and stage of that version; answers are not copied, they were about another picture.
  [[nodiscard]] Result<VersionInfo> AddVersion(RowId piece, const PictureRef& picture, RowId copy_work_of = 0);
  [[nodiscard]] Result<void> SetTitle(RowId piece, const std::string& title);
  // REQUIRES: at most 256 KiB.
  [[nodiscard]] Result<void> SetThumbnail(RowId piece, std::string_view png);
  // Takes a piece with everything on it out of the journal. The picture files are not touched.
  [[nodiscard]] Result<void> RemovePiece(RowId piece);

  // Newest change first.
  [[nodiscard]] Result<std::vector<PieceInfo>> RecentPieces(int limit = 24);
  // Oldest first.
  [[nodiscard]] Result<std::vector<VersionInfo>> Versions(RowId piece);

  [[nodiscard]] Result<SavedWork> LoadWork(RowId version);
  // All of it or nothing. `work.revision` must be the one last loaded or saved, else another
  // window has saved meanwhile: then nothing is written and the error says so (kUsage). Returns
  // the new revision.
  [[nodiscard]] Result<std::int64_t> SaveWork(RowId version, const SavedWork& work);

  // Replaces the findings of the version's last critique.
  [[nodiscard]] Result<void> SaveFindings(RowId version, std::span<const Finding* const> findings);
  [[nodiscard]] Result<std::vector<KeptFinding>> Findings(RowId version);

  // What this artist has answered, over all pieces.
  [[nodiscard]] Result<ArtistRecord> Record();

  // Time spent. A session belongs to one place of the bench; `Tick` adds to it, in steps of at most
  // ten minutes, so that a clock set forward or a sleeping computer does not count as work.
  [[nodiscard]] Result<RowId> BeginSession(RowId version, const std::string& place);
  [[nodiscard]] Result<void> Tick(RowId session, double seconds);
  [[nodiscard]] Result<std::vector<TimeShare>> Times(RowId piece);

  // The whole journal as one file (no side files), safe while windows are working. Written beside
  // and renamed, 0600. An existing file is replaced only when it is a journal itself.
  [[nodiscard]] Result<void> BackUp(const std::filesystem::path& to);
  // Takes over a backup's content. It is checked first; what is here now is kept as a backup
  // beside the journal, whose path is returned. Other windows see the change at once.
  [[nodiscard]] Result<std::filesystem::path> RestoreFrom(const std::filesystem::path& backup);

 private:
  struct Inside;
  explicit Journal(std::unique_ptr<Inside> inside);
  std::unique_ptr<Inside> in_;
};

// Everything is in order: SQLite's integrity check, foreign keys, our application id and a format
// we know. Opens read-only. Errors: kInput saying what is wrong.
[[nodiscard]] Result<void> CheckJournalFile(const std::filesystem::path& path);

}  // namespace armslength
