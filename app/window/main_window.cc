#include "app/window/main_window.h"

#include <QButtonGroup>
#include <QFileDialog>
#include <QFileInfo>
#include <QHBoxLayout>
#include <QLabel>
#include <QMessageBox>
#include <QPushButton>
#include <QShortcut>
#include <QStackedWidget>
#include <QStatusBar>
#include <QVBoxLayout>

#include "app/places/look_place.h"
#include "app/places/mark_place.h"
#include "marks/marks_file.h"

namespace armslength::app {

MainWindow::MainWindow(QWidget* parent) : QMainWindow(parent) {
  setWindowTitle(tr("Armslength"));
  resize(1280, 860);
  auto* whole = new QWidget(this);
  auto* row = new QHBoxLayout(whole);
  row->setContentsMargins(0, 0, 0, 0);
  row->setSpacing(0);
  setCentralWidget(whole);

  canvas_ = new Canvas(whole);
  marks_ = new MarkLayer(document_, *canvas_, this);
  auto* panel = new QWidget(whole);
  panel->setFixedWidth(320);
  auto* column = new QVBoxLayout(panel);
  column->setContentsMargins(0, 0, 0, 0);
  column->setSpacing(0);
  place_bar_ = new QWidget(panel);
  auto* bar = new QHBoxLayout(place_bar_);
  bar->setContentsMargins(12, 10, 12, 0);
  bar->setSpacing(4);
  places_ = new QButtonGroup(this);
  stack_ = new QStackedWidget(panel);
  column->addWidget(place_bar_);
  column->addWidget(stack_, 1);
  // The panel is at the left, where the left hand's keys are; the pen is at the right.
  row->addWidget(panel);
  row->addWidget(canvas_, 1);

  look_ = new LookPlace(document_, *canvas_);
  mark_ = new MarkPlace(document_, *canvas_, *marks_);
  AddPlace(tr("Look"), QStringLiteral("F1"), look_);
  AddPlace(tr("Mark"), QStringLiteral("F2"), mark_);
  message_ = new QLabel(tr("Drop a picture here, or press Ctrl+O"), this);
  statusBar()->addWidget(message_, 1);

  const auto key = [this](const QKeySequence& keys, auto action) {
    connect(new QShortcut(keys, this), &QShortcut::activated, this, action);
  };
  key(QKeySequence::Open, [this] {
    const QString path = QFileDialog::getOpenFileName(
        this, tr("Open a picture"), QString(), tr("Pictures (*.png *.jpg *.jpeg *.webp *.tif *.tiff *.ora);;All files (*)"));
    if (!path.isEmpty()) OpenPicture(path);
  });
  key(QKeySequence::Undo, [this] { document_.Undo().undo(); });
  key(QKeySequence::Redo, [this] { document_.Undo().redo(); });
  key(QKeySequence::Save, [this] { SaveMarksFile(); });
  key(QKeySequence(QStringLiteral("0")), [this] { canvas_->FitPicture(); });
  key(QKeySequence(QStringLiteral("Tab")), [this] { canvas_->SetOverlayShown(!canvas_->OverlayShown()); });

  connect(canvas_, &Canvas::PictureDropped, this, &MainWindow::OpenPicture);
  connect(&document_, &Document::PictureReady, this, [this](bool reloaded) {
    canvas_->SetPicture(document_.Picture(), reloaded);
    setWindowTitle(tr("%1 - Armslength").arg(QFileInfo(document_.Path()).fileName()));
    message_->setText(reloaded ? tr("The picture was saved elsewhere: showing the new version, marks kept")
                               : tr("%1 x %2 px, %3").arg(document_.Facts().width).arg(document_.Facts().height)
                                     .arg(QString::fromStdString(document_.Facts().profile)));
  });
  connect(&document_, &Document::PictureFailed, this, [this](const QString& why) { message_->setText(why); });
  connect(&document_, &Document::MarksChanged, this, &MainWindow::AskReading);
  connect(&reading_, &LiveReading::Ready, this, &MainWindow::Took, Qt::QueuedConnection);
  GoTo(0);
}

MainWindow::~MainWindow() = default;

void MainWindow::AddPlace(const QString& name, const QString& key, Place* place) {
  auto* button = new QPushButton(name, place_bar_);
  button->setCheckable(true);
  button->setMinimumHeight(38);
  button->setToolTip(key);
  const int index = stack_->addWidget(place);
  places_->addButton(button, index);
  place_bar_->layout()->addWidget(button);
  connect(button, &QPushButton::clicked, this, [this, index] { GoTo(index); });
  connect(new QShortcut(QKeySequence(key), this), &QShortcut::activated, this, [this, index] { GoTo(index); });
}

void MainWindow::GoTo(int index) {
  if (auto* now = qobject_cast<Place*>(stack_->currentWidget())) now->Leave();
  stack_->setCurrentIndex(index);
  places_->button(index)->setChecked(true);
  if (auto* next = qobject_cast<Place*>(stack_->currentWidget())) next->Enter();
}

void MainWindow::OpenPicture(const QString& path) {
  message_->setText(tr("Opening %1").arg(QFileInfo(path).fileName()));
  document_.Open(path);
}

void MainWindow::AskReading() {
  const auto& figures = document_.Current().marks.figures;
  const auto index = static_cast<std::size_t>(document_.ActiveFigure());
  if (index >= figures.size()) return;
  std::optional<Canon> canon;
  if (!figures[index].canon.empty())
    if (auto found = FindCanon(figures[index].canon)) canon = *found;
  reading_.Request(document_.MarksRevision(), document_.ActiveFigure(), figures[index], std::move(canon));
}

void MainWindow::Took(std::shared_ptr<const LiveResult> result) {
  // A newer mark has been set meanwhile: its own result is on the way.
  if (result->revision != document_.MarksRevision()) return;
  marks_->SetReading(result);
  mark_->SetReading(result);
}

void MainWindow::SaveMarksFile() {
  if (document_.Path().isEmpty()) return;
  const QString path = QFileInfo(document_.Path()).absolutePath() + QLatin1Char('/') +
                       QFileInfo(document_.Path()).completeBaseName() + QStringLiteral(".marks.json");
  const auto saved = SaveMarks(document_.Current().marks, path.toStdString());
  message_->setText(saved ? tr("Marks saved as %1").arg(path) : QString::fromStdString(saved.error().Text()));
}

}  // namespace armslength::app
