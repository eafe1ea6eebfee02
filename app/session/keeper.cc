#include "app/session/keeper.h"

#include "journal/data_folder.h"
#include "journal/journal.h"

namespace armslength::app {

Keeper::Keeper(const QString& path, QObject* parent)
    : QObject(parent), path_(path.isEmpty() ? QString::fromStdString(JournalPath().string()) : path), thread_([this] { Run(); }) {}

Keeper::~Keeper() {
  {
    const std::scoped_lock hold(lock_);
    quit_ = true;
  }
  wake_.notify_all();
  thread_.join();
}

void Keeper::Post(Task task) {
  {
    const std::scoped_lock hold(lock_);
    tasks_.push_back(std::move(task));
  }
  wake_.notify_one();
}

void Keeper::Run() {
  JournalOptions options;
  options.path = path_.toStdString();
  auto journal = Journal::Open(options);
  if (!journal)
    emit Message(QString::fromStdString(journal.error().Text()));
  else if (!journal->Opening().message.empty())
    emit Message(QString::fromStdString(journal->Opening().message));
  if (journal) SendRecord(*journal);
  for (;;) {
    Task task;
    std::optional<SavedWork> work;
    {
      std::unique_lock hold(lock_);
      busy_ = false;
      if (tasks_.empty() && !unsaved_) idle_.notify_all();
      wake_.wait(hold, [this] { return quit_ || !tasks_.empty() || unsaved_; });
      busy_ = true;
      if (unsaved_) {  // before the next task: that may be another picture
        work = std::move(unsaved_);
        unsaved_.reset();
      } else if (!tasks_.empty()) {
        task = std::move(tasks_.front());
        tasks_.pop_front();
      } else {
        return;
      }
    }
    if (!journal) continue;  // said once, above; the window works without a journal
    if (work) Write(*journal, std::move(*work));
    if (task) task(*journal);
  }
}

void Keeper::SendRecord(Journal& journal) {
  if (auto record = journal.Record()) emit Record(std::make_shared<const ArtistRecord>(std::move(*record)));
}

void Keeper::Write(Journal& journal, SavedWork work) {
  if (version_ == 0) return;
  work.revision = revision_;
  const bool answers = !work.judgements.empty();
  const auto saved = journal.SaveWork(version_, work);
  if (!saved) {
    emit Message(QString::fromStdString(saved.error().Text()));
    return;
  }
  revision_ = *saved;
  if (answers) SendRecord(journal);
}

void Keeper::Open(const PictureRef& picture, const std::string& thumbnail_png) {
  Post([this, picture, thumbnail_png](Journal& journal) {
    version_ = session_ = 0;
    session_place_.clear();
    const auto opened = journal.OpenPicture(picture);
    if (!opened) {
      emit Message(QString::fromStdString(opened.error().Text()));
      return;
    }
    auto work = journal.LoadWork(opened->version.id);
    if (!work) {
      emit Message(QString::fromStdString(work.error().Text()));
      return;
    }
    version_ = opened->version.id;
    revision_ = work->revision;
    if (!thumbnail_png.empty()) (void)journal.SetThumbnail(opened->version.piece, thumbnail_png);
    auto remembered = std::make_shared<Remembered>();
    remembered->version = opened->version;
    remembered->work = std::move(*work);
    remembered->is_new = opened->is_new;
    remembered->moved = opened->moved;
    emit Opened(remembered);
  });
}

void Keeper::Save(const SavedWork& work) {
  {
    const std::scoped_lock hold(lock_);
    unsaved_ = work;
  }
  wake_.notify_one();
}

void Keeper::SaveFindings(std::vector<Finding> findings) {
  Post([this, findings = std::move(findings)](Journal& journal) {
    if (version_ == 0) return;
    std::vector<const Finding*> all;
    for (const Finding& f : findings) all.push_back(&f);
    if (const auto saved = journal.SaveFindings(version_, all); !saved) emit Message(QString::fromStdString(saved.error().Text()));
  });
}

void Keeper::Tick(const QString& place, double seconds) {
  Post([this, place, seconds](Journal& journal) {
    if (version_ == 0) return;
    if (session_ == 0 || session_place_ != place) {
      const auto begun = journal.BeginSession(version_, place.toStdString());
      if (!begun) return;
      session_ = *begun;
      session_place_ = place;
    }
    (void)journal.Tick(session_, seconds);
  });
}

void Keeper::AskRecent() {
  Post([this](Journal& journal) {
    if (auto recent = journal.RecentPieces(12)) emit Recent(std::make_shared<const std::vector<PieceInfo>>(std::move(*recent)));
  });
}

void Keeper::BackUp(const QString& to) {
  Post([this, to](Journal& journal) {
    const auto done = journal.BackUp(to.toStdString());
    emit Message(done ? tr("Journal copied to %1").arg(to) : QString::fromStdString(done.error().Text()));
  });
}

void Keeper::Hold(std::function<void()> wait) {
  Post([wait = std::move(wait)](Journal&) { wait(); });
}

void Keeper::Flush() {
  std::unique_lock hold(lock_);
  idle_.wait(hold, [this] { return !busy_ && tasks_.empty() && !unsaved_; });
}

}  // namespace armslength::app
