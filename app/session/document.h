#pragma once
#include <atomic>
#include <map>
#include <memory>
#include <optional>
#include <utility>
#include <vector>

#include <QFileSystemWatcher>
#include <QFutureWatcher>
#include <QObject>
#include <QPointF>
#include <QRectF>
#include <QTimer>
#include <QUndoStack>

#include "app/canvas/pyramid.h"
#include "check/finding.h"
#include "marks/figure.h"
#include "picture/picture.h"

namespace armslength::app {

// The artist's own remark, written before the tool says anything.
struct Note {
  enum class Kind : std::uint8_t { kWrong, kOtherwise, kKeep };
  enum class Look : std::uint8_t { kFirst, kMirrored, kChecklist };
  qint64 id = 0;
  QString text;
  Kind kind = Kind::kWrong;
  Look look = Look::kFirst;
  std::optional<QRectF> where_px;  // zero-sized for a spot
  QString finding;                 // id of a finding it is about; may be empty
};

// Everything the artist can change and undo, as one small value.
struct Work {
  Marks marks;
  std::vector<Note> notes;
  std::vector<QString> agreed, not_so;  // finding ids the artist judged ("meant" lives in the marks)
  std::optional<Stage> stage;           // of the piece, as the artist says; nothing: not said
  std::map<std::string, std::string> characters;  // learned head by figure name: absolute path of its file
};

// One open picture with the artist's work on it. The picture file is only ever read.
class Document : public QObject {
  Q_OBJECT
 public:
  explicit Document(QObject* parent = nullptr);
  ~Document() override;

  // Starts reading `path` off this thread. PictureReady or PictureFailed follows. When it is the
  // file already open (a save elsewhere), the work is kept; marks follow a picture that was
  // scaled as a whole.
  void Open(const QString& path);
  [[nodiscard]] const QString& Path() const { return path_; }
  [[nodiscard]] bool Loading() const { return watcher_.isRunning(); }
  [[nodiscard]] const PictureFacts& Facts() const { return facts_; }
  [[nodiscard]] std::shared_ptr<const Pyramid> Picture() const { return pyramid_; }
  // The decoded picture itself, for the checks. Null before the first PictureReady.
  [[nodiscard]] std::shared_ptr<const armslength::Picture> Source() const { return source_; }
  // The state before a reload, once: the caller keeps it or lets it go. Null when there was none or its size differs.
  [[nodiscard]] std::shared_ptr<const armslength::Picture> TakePrevious() { return std::exchange(previous_, nullptr); }
  // Grows with every picture shown, a reload included.
  [[nodiscard]] quint64 PictureRevision() const { return picture_revision_; }

  [[nodiscard]] const Work& Current() const { return work_; }
  [[nodiscard]] QUndoStack& Undo() { return undo_; }
  // Grows with every change of the marks and of what they are judged against; results made for an older one are stale.
  [[nodiscard]] quint64 MarksRevision() const { return marks_revision_; }

  // One undoable step. Steps with the same `merge` > 0 in a row become one (a drag).
  void Change(const QString& text, Work after, int merge = 0);
  // A new number for Change's `merge`.
  [[nodiscard]] int NewMerge() { return ++last_merge_; }
  // Replaces the work without a step: read from a file or the journal. Clears undo.
  void Restore(Work work);

  // Index of the figure being marked; adds the first when there is none.
  [[nodiscard]] int ActiveFigure() const { return active_; }
  void SetActiveFigure(int index);

 signals:
  void LettingGo();  // the work on the table is about to be replaced by another picture's
  void PictureReady(bool reloaded);
  void PictureFailed(const QString& why);
  void MarksChanged();
  void NotesChanged();
  void JudgementChanged();
  void StageChanged();

 private:
  struct Loaded {
    QString path;
    std::shared_ptr<const armslength::Picture> source;
    std::shared_ptr<const Pyramid> pyramid;
    QString failure;
  };
  friend class WorkCommand;
  void Apply(const Work& work);
  void Finished();
  void FileTouched();

  QString path_;
  PictureFacts facts_;
  std::shared_ptr<const armslength::Picture> source_, previous_;
  std::shared_ptr<const Pyramid> pyramid_;
  Work work_;
  QUndoStack undo_;
  quint64 marks_revision_ = 0, picture_revision_ = 0;
  int last_merge_ = 0, active_ = 0;
  QFutureWatcher<Loaded> watcher_;
  std::shared_ptr<std::atomic<bool>> cancel_;
  QFutureWatcher<QString> fresh_;  // the path, when its file no longer holds what is shown
  QFileSystemWatcher files_;
  QTimer settle_;  // a program that saves writes in bursts
};

// The same work on the picture scaled by (sx, sy).
[[nodiscard]] Work Scaled(Work work, double sx, double sy);
[[nodiscard]] bool SameMarks(const Marks& a, const Marks& b);

}  // namespace armslength::app
