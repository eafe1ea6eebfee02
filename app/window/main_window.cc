#include "app/window/main_window.h"

#include <utility>

#include <QApplication>
#include <QBuffer>
#include <QCloseEvent>
#include <QComboBox>
#include <QFileInfo>
#include <QHBoxLayout>
#include <QLabel>
#include <QScrollArea>
#include <QScreen>
#include <QScrollBar>
#include <QSplitter>
#include <QStackedLayout>
#include <QVBoxLayout>

#include "app/critique/critique_place.h"
#include "app/places/look_place.h"
#include "app/places/mark_place.h"
#include "app/session/work_record.h"
#include "app/window/break_reminder.h"
#include "app/window/commands.h"
#include "app/window/help_sheet.h"
#include "app/window/key_button.h"
#include "app/window/message_line.h"
#include "app/window/place_stack.h"
#include "app/window/side_views.h"
#include "app/window/start_page.h"
#include "marks/marks_file.h"

namespace armslength::app {
namespace {

constexpr int kPanelWidth = 344;
constexpr double kTickSeconds = 30.0;

// A small picture for the list of pieces, under the journal's 256 KiB.
std::string Thumbnail(const Pyramid& pyramid) {
  const QImage top = pyramid.Tile(pyramid.Levels() - 1, 0, 0)
                         .scaled(192, 192, Qt::KeepAspectRatio, Qt::SmoothTransformation)
                         .convertToFormat(QImage::Format_RGBA8888);
  QByteArray bytes;
  QBuffer buffer(&bytes);
  buffer.open(QIODevice::WriteOnly);
  top.save(&buffer, "PNG");
  return bytes.toStdString();
}

}  // namespace

MainWindow::MainWindow(const QString& journal_path, QWidget* parent) : QMainWindow(parent), settings_(Settings::Load()) {
  setWindowTitle(tr("Armslength"));
  resize(1280, 860);
  commands_ = new Commands(this);
  keeper_ = new Keeper(journal_path, this);
  breaks_ = new BreakReminder(this);
  AddCommands();
  Assemble();
  Connect();
  Say(commands_->LoadKeys(KeysPath()));
  ApplySettings();
  if (!settings_.geometry.isEmpty()) restoreGeometry(settings_.geometry);
  // Whole on a smaller screen too, with its frame: the foot speaks and the last row has the menu.
  if (!isMaximized() && !isFullScreen()) resize(size().boundedTo(screen()->availableSize() - QSize(8, 44)));
  GoTo(QStringLiteral("look"));
  keeper_->AskRecent();
}

MainWindow::~MainWindow() {
  demo_.waitForFinished();
  // Places take their last look at document and canvas while both are there.
  delete stack_;
}

void MainWindow::Assemble() {
  auto* whole = new QWidget(this);
  auto* row = new QHBoxLayout(whole);
  row->setContentsMargins(0, 0, 0, 0);
  row->setSpacing(0);
  setCentralWidget(whole);

  auto* front = new QWidget(whole);
  auto* right = new QVBoxLayout(front);
  right->setContentsMargins(0, 0, 0, 0);
  right->setSpacing(0);
  auto* picture = new QWidget(front);
  front_ = new QStackedLayout(picture);
  start_ = new StartPage(*commands_, picture);
  start_->SetJournalPath(keeper_->Path());
  canvas_ = new Canvas(picture);
  front_->addWidget(start_);
  front_->addWidget(canvas_);
  right->addWidget(picture, 1);
  foot_ = new QWidget(front);
  auto* foot = new QHBoxLayout(foot_);
  foot->setContentsMargins(12, 5, 12, 5);
  message_ = new MessageLine(picture, foot_);
  zoom_ = new QLabel(foot_);
  zoom_->setProperty("quiet", true);
  foot->addWidget(message_, 1);
  foot->addWidget(zoom_);
  right->addWidget(foot_);
  help_ = new HelpSheet(*commands_, picture);

  marks_ = new MarkLayer(document_, *canvas_, this);
  outlines_ = new OutlineLayer(document_, *canvas_, this);
  look_ = new LookPlace(document_, *canvas_, *commands_);
  mark_ = new MarkPlace(document_, *canvas_, *marks_, *outlines_, *commands_);
  critique_ = new CritiquePlace(document_, *canvas_, *commands_);

  panel_ = new QWidget(whole);
  panel_->setFixedWidth(kPanelWidth);
  auto* column = new QVBoxLayout(panel_);
  column->setContentsMargins(0, 0, 0, 0);
  column->setSpacing(0);
  place_bar_ = new QWidget(panel_);
  auto* bar = new QHBoxLayout(place_bar_);
  bar->setContentsMargins(kPanelMargin, 12, kPanelMargin, 12);
  bar->setSpacing(kSmallGap);
  stack_ = new PlaceStack(panel_);
  scroll_ = new QScrollArea(panel_);
  scroll_->setWidgetResizable(true);
  scroll_->setHorizontalScrollBarPolicy(Qt::ScrollBarAlwaysOff);
  scroll_->setFocusPolicy(Qt::NoFocus);
  // The scroll bar takes the margin's room, so that nothing moves when it comes.
  auto* inside = new QWidget(scroll_);
  auto* margins = new QVBoxLayout(inside);
  margins->setContentsMargins(kPanelMargin, 4, kPanelMargin, 12);
  margins->addWidget(stack_);
  connect(scroll_->verticalScrollBar(), &QScrollBar::rangeChanged, margins, [margins](int, int most) {
    margins->setContentsMargins(kPanelMargin, 4, most > 0 ? kPanelMargin - 10 : kPanelMargin, 12);
  });
  scroll_->setWidget(inside);
  column->addWidget(place_bar_);
  column->addWidget(scroll_, 1);
  auto* last = new QHBoxLayout;
  last->setContentsMargins(kPanelMargin, 8, kPanelMargin, 12);
  last->setSpacing(kSmallGap);
  for (const char* id : {"view.help", "view.menu"}) last->addWidget(new KeyButton(commands_->Find(QLatin1String(id)), panel_));
  column->addLayout(last);
  // Left by default: the left hand's keys are there, and the pen comes from the right.
  row->addWidget(panel_);
  auto* split = new QSplitter(Qt::Horizontal, whole);
  split->setChildrenCollapsible(false);
  split->setHandleWidth(4);
  split->addWidget(front);
  beside_ = new SideViews(*commands_, split);
  split->addWidget(beside_);
  split->setStretchFactor(0, 1);
  split->setStretchFactor(1, 0);
  row->addWidget(split, 1);

  // Marks are seen in the Mark place only: in Look nothing of the program's is shown.
  marks_->SetShown(false);
  outlines_->SetShown(false);
  AddPlace(QStringLiteral("look"), tr("Look"), QKeySequence(Qt::Key_F1), look_);
  AddPlace(QStringLiteral("mark"), tr("Mark"), QKeySequence(Qt::Key_F2), mark_);
  AddPlace(QStringLiteral("critique"), tr("Critique"), QKeySequence(Qt::Key_F3), critique_);
  // A wheel that rolls the panel must not change a list it passes over.
  for (QComboBox* box : panel_->findChildren<QComboBox*>()) {
    box->setFocusPolicy(Qt::StrongFocus);
    box->installEventFilter(this);
  }
}

void MainWindow::Connect() {
  connect(canvas_, &Canvas::PictureDropped, this, &MainWindow::OpenPicture);
  connect(canvas_, &Canvas::ViewChanged, this, [this] {
    QString text;
    if (canvas_->HasPicture()) text = tr("%1 %").arg(std::max(1, qRound(canvas_->Zoom() * devicePixelRatioF() * 100)));
    if (const int turn = qRound(canvas_->Turn()); canvas_->HasPicture() && turn != 0)
      text = tr("turned %1°").arg(turn) + QStringLiteral("  ·  ") + text;
    zoom_->setText(text);
  });
  connect(start_, &StartPage::PictureDropped, this, &MainWindow::OpenPicture);
  connect(start_, &StartPage::Chosen, this, [this](const QString& path) {
    if (path == document_.Path() && canvas_->HasPicture())
      ToPicture();
    else
      OpenPicture(path);
  });
  connect(&document_, &Document::PictureReady, this, &MainWindow::PictureReady);
  connect(&carrier_, &Carrier::Ready, this, [this](const auto& carried) { TakeCarried(*carried); });
  connect(&document_, &Document::PictureFailed, this, [this](const QString& why) {
    start_->SetBusy({});
    start_->SetTrouble(why);
    Say(why);
  });
  // Until the new picture's own work is read there is nothing to save. What is unsaved of the old one the
  // keeper writes before it opens the new one: nobody waits for the disk.
  connect(&document_, &Document::LettingGo, this, [this] {
    look_->KeepDraft();
    recalled_ = false;
  });
  connect(&document_, &Document::MarksChanged, this, &MainWindow::AskReading);
  for (auto changed : {&Document::MarksChanged, &Document::NotesChanged, &Document::JudgementChanged})
    connect(&document_, changed, this, &MainWindow::AutoSave);
  connect(&reading_, &LiveReading::Ready, this, &MainWindow::Took, Qt::QueuedConnection);
  connect(
      &analysis_, &PictureAnalysis::Ready, this,
      [this](std::shared_ptr<const PictureReport> report, quint64 start) {
        if (start == analysis_.Started()) look_->Views().SetReport(std::move(report));
      },
      Qt::QueuedConnection);
  connect(mark_, &MarkPlace::Message, this, &MainWindow::Say);
  connect(&look_->Views(), &LookViews::Message, this, &MainWindow::Say);
  connect(keeper_, &Keeper::Message, this, &MainWindow::Say, Qt::QueuedConnection);
  connect(keeper_, &Keeper::Opened, this, &MainWindow::Recall, Qt::QueuedConnection);
  connect(
      keeper_, &Keeper::Recent, this,
      [this](std::shared_ptr<const std::vector<PieceInfo>> pieces) { start_->SetRecent(*pieces); }, Qt::QueuedConnection);
  connect(
      keeper_, &Keeper::Record, this,
      [this](std::shared_ptr<const ArtistRecord> record) { critique_->SetRecord(*record); }, Qt::QueuedConnection);
  connect(critique_, &CritiquePlace::Measured, this, [this](const Arranged& arranged) {
    std::vector<Finding> kept;
    std::vector<std::pair<QString, QString>> named;
    for (const Finding* f : arranged.critique.All()) {
      kept.push_back(*f);
      if (f->verdict == Verdict::kOff || f->kind == Kind::kKeep)
        named.emplace_back(QString::fromStdString(f->id), QString::fromStdString(f->title));
    }
    keeper_->SaveFindings(std::move(kept));
    look_->SetFindings(named);
  });
  connect(breaks_, &BreakReminder::Due, this, &MainWindow::Say);
  connect(&demo_, &QFutureWatcherBase::finished, this, [this] {
    const QString path = demo_.result();
    if (path.endsWith(QLatin1String(".png")))
      OpenPicture(path);
    else
      Say(path);
  });
  connect(&clock_, &QTimer::timeout, this, &MainWindow::Tick);
  clock_.start(static_cast<int>(kTickSeconds * 1000));
}

void MainWindow::AddPlace(const QString& id, const QString& name, const QKeySequence& key, Place* place) {
  QAction* action = commands_->Add(QStringLiteral("place.") + id, kWindowGroup, name, key, [this, id] { GoTo(id); });
  action->setCheckable(true);
  stack_->Add(place);
  place_bar_->layout()->addWidget(new KeyButton(action, place_bar_));
  entries_.push_back({id, name, action, place});
}

void MainWindow::GoTo(const QString& id) {
  for (const Entry& e : entries_) {
    if (e.id != id) continue;
    if (auto* now = qobject_cast<Place*>(stack_->Front()); now && now != e.place) now->Leave();
    for (const Entry& other : entries_) other.action->setChecked(other.id == id);
    commands_->EnterGroup(id);
    canvas_->SetOverlayShown(true);
    stack_->Show(e.place);
    scroll_->verticalScrollBar()->setValue(0);
    help_->hide();
    e.place->Enter();
    if (canvas_->HasPicture()) ToPicture();
    AskReading();
  }
}

void MainWindow::OpenPicture(const QString& path) {
  start_->SetBusy(tr("Opening %1").arg(QFileInfo(path).fileName()));
  Say(tr("Opening %1").arg(QFileInfo(path).fileName()));
  document_.Open(QFileInfo(path).absoluteFilePath());
}

void MainWindow::PictureReady(bool reloaded) {
  front_->setCurrentWidget(canvas_);
  start_->SetBusy({});
  canvas_->SetPicture(document_.Picture(), reloaded);
  canvas_->setFocus();
  start_->SetPictureOpen(true);
  setWindowTitle(tr("%1 - Armslength").arg(QFileInfo(document_.Path()).fileName()));
  look_->Views().SetReport(nullptr);
  analysis_.Start(document_.Source(), document_.Picture());
  const PictureFacts& facts = document_.Facts();
  if (reloaded) {
    Say(tr("Saved elsewhere: this is the new state, marks kept"));
    if (const auto before = document_.TakePrevious())
      carrier_.Start(before, document_.Current().marks, document_.MarksRevision(), document_.Source());
    AutoSave();
    AskReading();
  } else {
    Say(tr("%1 x %2 px, %3").arg(facts.width).arg(facts.height).arg(QString::fromStdString(facts.profile)));
  }
  recalled_ = reloaded && recalled_;
  keeper_->Open({document_.Path().toStdString(), facts.sha256, facts.width, facts.height},
                Thumbnail(*document_.Picture()));
}

void MainWindow::TakeCarried(const Carried& carried) {
  if (carried.marks_revision != document_.MarksRevision()) return;  // marks set meanwhile are the artist's newest word
  Work work = document_.Current();
  work.marks = carried.marks;
  document_.Change(tr("Marks carried to the saved state"), std::move(work));
  Say(tr("Saved elsewhere: %1 marks went with the drawing, %2 are to be confirmed").arg(carried.moved).arg(carried.to_confirm));
}

void MainWindow::Recall(std::shared_ptr<const Remembered> remembered) {
  if (remembered->version.picture.path != document_.Path().toStdString()) return;  // another one meanwhile
  if (recalled_) return;  // a reload: the work on the table is the newest
  const PictureFacts& facts = document_.Facts();
  const MarkedPicture picture{QFileInfo(document_.Path()).fileName().toStdString(), facts.width, facts.height};
  const SavedWork& saved = remembered->work;
  const bool empty = saved.marks_json.empty() && saved.notes.empty() && !saved.stage && saved.characters.empty();
  if (empty) {
    // A marks file beside a picture that is new here is the artist's own: it is where to begin.
    const QString beside = QFileInfo(document_.Path()).absolutePath() + QLatin1Char('/') +
                           QFileInfo(document_.Path()).completeBaseName() + QStringLiteral(".marks.json");
    if (document_.Current().marks.figures.empty() && QFileInfo::exists(beside)) {
      auto marks = LoadMarks(beside.toStdString());
      if (!marks) {
        Say(QString::fromStdString(marks.error().Text()));
      } else if (marks->picture.width == picture.width && marks->picture.height == picture.height) {
        Work work = document_.Current();
        work.marks = std::move(*marks);
        work.marks.picture = picture;
        document_.Restore(std::move(work));
        Say(tr("Marks read from %1").arg(QFileInfo(beside).fileName()));
      } else {
        Say(tr("%1 belongs to a picture of another size; use it with \"Copy marks\"").arg(QFileInfo(beside).fileName()));
      }
    }
  } else {
    auto work = FromRecord(remembered->work, picture);
    if (work)
      document_.Restore(std::move(*work));
    else
      Say(QString::fromStdString(work.error().Text()));
  }
  recalled_ = true;
  AutoSave();
  keeper_->AskRecent();
}

void MainWindow::AutoSave() {
  active_since_tick_ = true;
  if (recalled_) keeper_->Save(ToRecord(document_.Current()));
}

void MainWindow::AskReading() {
  const FigureMarks* figure = ActiveFigureOf(document_);
  if (!figure) {
    latest_.reset();
    marks_->SetReading(nullptr);
    mark_->SetReading(nullptr);
    beside_->Show(nullptr, false);
    return;
  }
  if (latest_ && latest_->revision != document_.MarksRevision()) beside_->Show(latest_, true);
  const auto& characters = document_.Current().characters;
  const auto character = characters.find(figure->name);
  reading_.Request(document_.MarksRevision(), document_.ActiveFigure(), *figure,
                   shelf_.CanonOf(*figure, QFileInfo(document_.Path()).absolutePath()),
                   character == characters.end() ? std::nullopt : shelf_.Character(QString::fromStdString(character->second)));
}

void MainWindow::Took(std::shared_ptr<const LiveResult> result) {
  // A newer mark has been set meanwhile: its own result is on the way.
  if (result->revision != document_.MarksRevision() || result->figure != document_.ActiveFigure()) return;
  latest_ = result;
  marks_->SetReading(result);
  mark_->SetReading(result);
  beside_->Show(result, false);
}

void MainWindow::Say(const QString& text) {
  if (!text.isEmpty()) message_->Say(text);
}

QString MainWindow::MessageText() const { return message_->Text(); }

void MainWindow::Tick() {
  if (document_.Path().isEmpty() || !std::exchange(active_since_tick_, false)) return;
  for (const Entry& e : entries_)
    if (e.action->isChecked()) keeper_->Tick(e.id, kTickSeconds);
}

bool MainWindow::eventFilter(QObject* watched, QEvent* event) {
  if (event->type() != QEvent::Wheel) return QMainWindow::eventFilter(watched, event);
  event->ignore();  // the panel takes it
  return true;
}

void MainWindow::moveEvent(QMoveEvent* event) {
  QMainWindow::moveEvent(event);
  if (std::exchange(profiled_, screen()) != screen()) UseScreenProfile();  // dragged to another screen
}

void MainWindow::closeEvent(QCloseEvent* event) {
  look_->KeepDraft();
  settings_.geometry = saveGeometry();
  settings_.Save();
  keeper_->Flush();
  event->accept();
}

}  // namespace armslength::app
