#pragma once
#include <condition_variable>
#include <deque>
#include <functional>
#include <memory>
#include <mutex>
#include <optional>
#include <thread>

#include <QObject>
#include <QString>

#include "critique/artist_record.h"
#include "journal/records.h"

namespace armslength {
class Journal;
}

namespace armslength::app {

// What the journal had about the picture that was opened.
struct Remembered {
  VersionInfo version;
  SavedWork work;
  bool is_new = false, moved = false;
};

// Keeps the work in the journal, on a thread of its own, so that the disk never holds up a pen.
// Each change is on disk a few milliseconds after it was made; while a save runs, newer states
// replace each other and only the newest is written. All signals come from that thread: connect
// them queued.
class Keeper : public QObject {
  Q_OBJECT
 public:
  // `path` empty: the artist's own journal.
  explicit Keeper(const QString& path = {}, QObject* parent = nullptr);
  ~Keeper() override;  // after everything asked for is on disk

  void Open(const PictureRef& picture, const std::string& thumbnail_png);
  void Save(const SavedWork& work);  // of the version opened last
  void SaveFindings(std::vector<Finding> findings);
  void Tick(const QString& place, double seconds);
  void AskRecent();
  void BackUp(const QString& to);
  // Calls `wait` on this thread's turn: a disk that takes its time.
  void Hold(std::function<void()> wait);
  // Waits until nothing is left to write.
  void Flush();
  [[nodiscard]] QString Path() const { return path_; }

 signals:
  void Opened(std::shared_ptr<const armslength::app::Remembered> remembered);
  void Recent(std::shared_ptr<const std::vector<armslength::PieceInfo>> pieces);
  void Record(std::shared_ptr<const armslength::ArtistRecord> record);
  void Message(const QString& text);  // trouble, or what opening the journal did

 private:
  using Task = std::function<void(Journal&)>;
  void Post(Task task);
  void Run();
  void Write(Journal& journal, SavedWork work);
  void SendRecord(Journal& journal);

  QString path_;
  std::mutex lock_;
  std::condition_variable wake_, idle_;
  std::deque<Task> tasks_;
  std::optional<SavedWork> unsaved_;
  bool quit_ = false, busy_ = true;
  // Worker's own.
  RowId version_ = 0, session_ = 0;
  std::int64_t revision_ = 0;
  QString session_place_;
  std::thread thread_;
};

}  // namespace armslength::app
