#include "app/session/document.h"

#include <algorithm>
#include <cmath>

#include <QFileInfo>
#include <QtConcurrent>

#include "app/session/background.h"
#include "marks/marks_file.h"

namespace armslength::app {

class WorkCommand : public QUndoCommand {
 public:
  WorkCommand(Document& document, const QString& text, Work after, int merge)
      : QUndoCommand(text), document_(document), before_(document.work_), after_(std::move(after)), merge_(merge) {}
  void undo() override { document_.Apply(before_); }
  void redo() override { document_.Apply(after_); }
  [[nodiscard]] int id() const override { return merge_ > 0 ? 1 : -1; }
  bool mergeWith(const QUndoCommand* other) override {
    const auto* next = static_cast<const WorkCommand*>(other);
    if (next->merge_ != merge_) return false;
    after_ = next->after_;
    return true;
  }

 private:
  Document& document_;
  Work before_, after_;
  int merge_;
};

Work Scaled(Work work, double sx, double sy) {
  const auto scale = [&](Vec2& p) { p = Vec2(p.x() * sx, p.y() * sy); };
  for (FigureMarks& figure : work.marks.figures) {
    for (auto& [id, at] : figure.points) scale(at);
    for (auto& [id, px] : figure.point_error_px) px *= sx;
    if (figure.marking_error_px) *figure.marking_error_px *= sx;
    for (NamedPoint& p : figure.centre_front) scale(p.at);
    for (Ring& ring : figure.rings) std::ranges::for_each(ring.points, scale);
    for (Area& area : figure.areas) std::ranges::for_each(area.outline, scale);
    for (FeatureTick& f : figure.features)
      if (f.at) scale(*f.at);
  }
  for (Note& note : work.notes)
    if (note.where_px)
      note.where_px = QRectF(note.where_px->x() * sx, note.where_px->y() * sy, note.where_px->width() * sx, note.where_px->height() * sy);
  return work;
}

bool SameMarks(const Marks& a, const Marks& b) { return MarksToJson(a) == MarksToJson(b); }

Document::Document(QObject* parent) : QObject(parent) {
  connect(&watcher_, &QFutureWatcherBase::finished, this, &Document::Finished);
  connect(&fresh_, &QFutureWatcherBase::finished, this, [this] {
    const QString path = fresh_.result();
    if (!path.isEmpty() && path == path_ && !Loading()) Open(path);
  });
  connect(&files_, &QFileSystemWatcher::fileChanged, this, [this] { settle_.start(); });
  connect(&files_, &QFileSystemWatcher::directoryChanged, this, [this] { settle_.start(); });
  settle_.setSingleShot(true);
  settle_.setInterval(250);
  connect(&settle_, &QTimer::timeout, this, &Document::FileTouched);
}

Document::~Document() {
  if (cancel_) *cancel_ = true;
  watcher_.waitForFinished();
  fresh_.waitForFinished();
}

void Document::Open(const QString& path) {
  if (cancel_) *cancel_ = true;
  cancel_ = std::make_shared<std::atomic<bool>>(false);
  watcher_.setFuture(QtConcurrent::run([path, cancel = cancel_] {
    LetTheWindowGoFirst();
    Loaded loaded;
    loaded.path = path;
    PictureOptions options;
    options.load_layers = true;  // figure and background are told apart by them
    options.control.stop_requested = [cancel] { return cancel->load(); };
    auto picture = LoadPicture(path.toStdString(), options);
    if (!picture) {
      loaded.failure = QString::fromStdString(picture.error().Text());
      return loaded;
    }
    const auto kept = std::make_shared<const armslength::Picture>(std::move(*picture));
    loaded.source = kept;
    loaded.pyramid = Pyramid::Build(std::shared_ptr<const ImageRgba8>(kept, &kept->image), options.control);
    return loaded;
  }));
}

void Document::Finished() {
  if (watcher_.isCanceled() || watcher_.future().resultCount() == 0) return;
  Loaded loaded = watcher_.result();
  if (!loaded.failure.isEmpty() || !loaded.pyramid) {
    if (!loaded.failure.isEmpty()) emit PictureFailed(loaded.failure);
    return;
  }
  const bool reloaded = loaded.path == path_ && pyramid_;
  const QSize before = pyramid_ ? pyramid_->Size() : QSize();
  if (!files_.files().isEmpty()) files_.removePaths(files_.files());
  if (!files_.directories().isEmpty()) files_.removePaths(files_.directories());
  path_ = loaded.path;
  previous_ = reloaded && before == loaded.pyramid->Size() ? source_ : nullptr;
  source_ = loaded.source;
  facts_ = source_->facts;
  pyramid_ = loaded.pyramid;
  ++picture_revision_;
  files_.addPath(path_);
  // Many programs save by renaming a new file into place: the folder tells.
  files_.addPath(QFileInfo(path_).absolutePath());
  if (!reloaded) {
    emit LettingGo();
    Work work;
    work.marks.picture = {QFileInfo(path_).fileName().toStdString(), facts_.width, facts_.height};
    Restore(std::move(work));
  } else if (before != pyramid_->Size()) {
    // Scaled as a whole, the marks go with it; otherwise their pixels are all we know.
    const double sx = static_cast<double>(facts_.width) / before.width();
    const double sy = static_cast<double>(facts_.height) / before.height();
    const bool whole = std::abs(sx / sy - 1.0) < 0.005;
    Work work = Scaled(work_, whole ? sx : 1.0, whole ? sy : 1.0);
    work.marks.picture = {QFileInfo(path_).fileName().toStdString(), facts_.width, facts_.height};
    const int active = active_;
    Restore(std::move(work));  // undo would bring back marks of the old size
    SetActiveFigure(active);
  }
  emit PictureReady(reloaded);
}

void Document::FileTouched() {
  const QFileInfo file(path_);
  if (!file.exists()) return;
  if (Loading() || fresh_.isRunning()) {
    settle_.start();
    return;
  }
  if (!files_.files().contains(path_)) files_.addPath(path_);
  if (file.size() != static_cast<qint64>(facts_.bytes)) {
    Open(path_);
    return;
  }
  // Other files of the folder change too: only a new content is a new version. Reading a large file to know
  // would hold up the window.
  fresh_.setFuture(QtConcurrent::run([path = path_, shown = facts_.sha256] {
    LetTheWindowGoFirst();
    const auto now = InspectPicture(path.toStdString());
    return now && now->sha256 == shown ? QString() : path;
  }));
}

void Document::Change(const QString& text, Work after, int merge) { undo_.push(new WorkCommand(*this, text, std::move(after), merge)); }

void Document::Restore(Work work) {
  undo_.clear();
  active_ = 0;
  Apply(work);
}

void Document::SetActiveFigure(int index) {
  active_ = std::max(0, index);
  emit MarksChanged();
}

void Document::Apply(const Work& work) {
  const bool marks = !SameMarks(work.marks, work_.marks) || work.characters != work_.characters;
  const bool stage = work.stage != work_.stage;
  work_ = work;
  if (marks) {
    ++marks_revision_;
    emit MarksChanged();
  }
  emit NotesChanged();
  emit JudgementChanged();
  if (stage) emit StageChanged();
}

}  // namespace armslength::app
