#include <optional>

#include <QApplication>
#include <QColorSpace>
#include <QFile>
#include <QFileDialog>
#include <QFileInfo>
#include <QHBoxLayout>
#include <QMenu>
#include <QPrintDialog>
#include <QPrinter>
#include <QStackedLayout>
#include <QTimer>
#include <QtConcurrent>

#include "app/critique/critique_place.h"
#include "app/places/look_place.h"
#include "app/places/mark_place.h"
#include "app/window/app_language.h"
#include "app/window/break_reminder.h"
#include "app/window/commands.h"
#include "app/window/critique_pages.h"
#include "app/window/help_sheet.h"
#include "app/window/keys_dialog.h"
#include "app/window/main_window.h"
#include "app/window/message_line.h"
#include "app/window/screen_profile.h"
#include "app/window/settings_dialog.h"
#include "app/window/start_page.h"
#include "journal/data_folder.h"
#include "marks/marks_file.h"
#include "synth/demo.h"

// What the window's own commands do.
namespace armslength::app {
namespace {

// A marks file that is not this picture's, or that this program cannot read (made by a newer one), is not
// written over: it gets another name. Empty: there was none; nothing: it could not be renamed.
std::optional<QString> SetAside(const QString& path, const MarkedPicture& picture) {
  if (!QFileInfo::exists(path)) return QString();
  if (const auto there = LoadMarks(path.toStdString());
      there && there->picture.width == picture.width && there->picture.height == picture.height)
    return QString();
  const QString stem = path.chopped(QStringLiteral(".marks.json").size()) + QStringLiteral(".before");
  QString to = stem + QStringLiteral(".marks.json");
  for (int i = 2; QFileInfo::exists(to); ++i) to = stem + QStringLiteral("-%1.marks.json").arg(i);
  return QFile::rename(path, to) ? std::optional(to) : std::nullopt;
}

}  // namespace

void MainWindow::AddCommands() {
  const auto add = [this](const char* id, const QString& text, const QKeySequence& key, auto run) {
    return commands_->Add(QLatin1String(id), kWindowGroup, text, key, run);
  };
  add("file.open", tr("Open a picture"), QKeySequence::Open, [this] { AskPicture(); });
  add("file.demo", tr("Try the demo"), QKeySequence(QStringLiteral("Ctrl+D")), [this] { OpenDemo(); });
  add("file.pieces", tr("Your pieces"), QKeySequence(QStringLiteral("Ctrl+Shift+O")), [this] { ShowPieces(); });
  add("file.window", tr("New window"), QKeySequence::New, [] {
    auto* window = new MainWindow;
    window->setAttribute(Qt::WA_DeleteOnClose);
    window->show();
  });
  add("file.save_marks", tr("Save the marks file"), QKeySequence::Save, [this] { SaveMarksFile(); });
  add("file.pdf", tr("Critique as PDF..."), QKeySequence(QStringLiteral("Ctrl+E")), [this] { AskPdf(); });
  add("file.print", tr("Print the critique..."), QKeySequence::Print, [this] { AskPrint(); });
  add("file.backup", tr("Copy the journal..."), QKeySequence(), [this] {
    const QString to = QFileDialog::getSaveFileName(this, tr("Copy the journal to"), QStringLiteral("armslength-journal.sqlite"));
    if (!to.isEmpty()) keeper_->BackUp(to);
  });
  add("edit.undo", tr("Undo"), QKeySequence::Undo, [this] { Step(true); });
  add("edit.redo", tr("Redo"), QKeySequence(QStringLiteral("Ctrl+Shift+Z")), [this] { Step(false); });
  add("view.fit", tr("Fit the picture"), QKeySequence(QStringLiteral("V")), [this] {
    canvas_->FitPicture();
  })->setStatusTip(tr("Once more: upright again"));
  const auto middle = [this] { return QPointF(canvas_->width() / 2.0, canvas_->height() / 2.0); };
  add("view.out", tr("Smaller"), QKeySequence(QStringLiteral("4")), [this, middle] { canvas_->ZoomBy(0.8, middle()); });
  add("view.in", tr("Larger"), QKeySequence(QStringLiteral("5")), [this, middle] { canvas_->ZoomBy(1.25, middle()); });
  add("view.turn_left", tr("Turn left"), QKeySequence(QStringLiteral("Ctrl+Left")), [this] { canvas_->TurnBy(-5.0); });
  add("view.turn_right", tr("Turn right"), QKeySequence(QStringLiteral("Ctrl+Right")), [this] { canvas_->TurnBy(5.0); });
  add("view.overlay", tr("Picture alone, on and off"), QKeySequence(QStringLiteral("B")), [this] {
    canvas_->SetOverlayShown(!canvas_->OverlayShown());
    const QString key = commands_->Find(QStringLiteral("view.overlay"))->shortcut().toString(QKeySequence::NativeText);
    Say(canvas_->OverlayShown() ? tr("Notes, marks and findings are shown again")
                                : tr("The picture alone; %1 or another place brings notes, marks and findings back").arg(key));
  });
  add("view.picture", tr("To the picture"), QKeySequence(Qt::Key_Escape), [this] {
    help_->hide();
    message_->PutAway();
    ToPicture();
  });
  add("view.theme", tr("Light or dark"), QKeySequence(QStringLiteral("Ctrl+T")), [this] {
    settings_.theme = palette().color(QPalette::Window).lightness() < 128 ? Theme::kLight : Theme::kDark;
    settings_.Save();
    ApplySettings();
  });
  add("view.keys", tr("Keys..."), QKeySequence(QStringLiteral("Ctrl+K")), [this] { ShowKeys(); });
  add("view.settings", tr("Settings..."), QKeySequence(QStringLiteral("Ctrl+,")), [this] { ShowSettings(); });
  add("view.help", tr("Help"), QKeySequence(QStringLiteral("H")), [this] { ShowHelp(); });
  add("view.menu", tr("Menu"), QKeySequence(Qt::Key_F10), [this] { ShowMenu(); });
  add("file.close", tr("Close"), QKeySequence(QStringLiteral("Ctrl+W")), [this] { close(); });
}

void MainWindow::ShowMenu() {
  QMenu menu(this);
  const auto put = [&](std::initializer_list<const char*> ids) {
    for (const char* id : ids) menu.addAction(commands_->Find(QLatin1String(id)));
    menu.addSeparator();
  };
  put({"file.open", "file.pieces", "file.demo", "file.window"});
  put({"edit.undo", "edit.redo"});
  put({"file.save_marks", "mark.copy", "file.pdf", "file.print", "file.backup"});
  put({"view.upright", "view.body_solid", "view.head_solid"});
  put({"view.theme", "view.keys", "view.settings", "view.help"});
  put({"file.close"});
  menu.exec(panel_->mapToGlobal(QPoint(kPanelMargin, panel_->height() - 60 - menu.sizeHint().height())));
}

void MainWindow::ShowPieces() {
  if (front_->currentWidget() == start_) return ToPicture();
  front_->setCurrentWidget(start_);
  start_->setFocus();
  keeper_->AskRecent();
}

void MainWindow::ToPicture() {
  if (!canvas_->HasPicture()) return;
  front_->setCurrentWidget(canvas_);
  canvas_->setFocus();
}

// What it changed may be in another place: it is said.
void MainWindow::Step(bool back) {
  QUndoStack& undo = document_.Undo();
  if (back ? !undo.canUndo() : !undo.canRedo()) return Say(back ? tr("Nothing to undo") : tr("Nothing to redo"));
  const QString what = back ? undo.undoText() : undo.redoText();
  if (back)
    undo.undo();
  else
    undo.redo();
  Say((back ? tr("Undone: %1") : tr("Done again: %1")).arg(what));
}

void MainWindow::AskPicture() {
  const QString path = QFileDialog::getOpenFileName(
      this, tr("Open a picture"), QFileInfo(document_.Path()).absolutePath(),
      tr("Pictures (*.png *.jpg *.jpeg *.webp *.tif *.tiff *.ora);;All files (*)"));
  if (!path.isEmpty()) OpenPicture(path);
}

void MainWindow::OpenDemo() {
  if (demo_.isRunning()) return;
  start_->SetBusy(tr("Drawing the demo"));
  Say(tr("Drawing the demo"));
  demo_.setFuture(QtConcurrent::run([this] {
    const auto folder = DataFolder() / "demo";
    const QString old = QString::fromStdString((folder / "old.png").string());
    std::error_code none;
    if (std::filesystem::exists(folder / "about-the-demo.txt", none)) return old;
    // The first version opens while the others are still drawn.
    const auto open = [&](const std::string& name) {
      if (name == "old") QMetaObject::invokeMethod(this, [this, old] { OpenPicture(old); }, Qt::QueuedConnection);
    };
    const auto written = WriteDemo(folder, open);
    return written ? QString() : QString::fromStdString(written.error().Text());
  }));
}

void MainWindow::SaveMarksFile() {
  if (document_.Path().isEmpty()) return;
  if (document_.Current().marks.figures.empty()) return Say(tr("There are no marks to save yet"));
  const QString path = QFileInfo(document_.Path()).absolutePath() + QLatin1Char('/') + QFileInfo(document_.Path()).completeBaseName() +
                       QStringLiteral(".marks.json");
  const auto kept = SetAside(path, document_.Current().marks.picture);
  if (!kept) return Say(tr("Nothing was saved: %1 is not this picture's marks and could not be renamed").arg(path));
  const auto saved = SaveMarks(document_.Current().marks, path.toStdString());
  if (saved)
    document_.Undo().setClean();
  else if (!kept->isEmpty())
    QFile::rename(*kept, path);
  Say(!saved            ? QString::fromStdString(saved.error().Text())
      : kept->isEmpty() ? tr("Marks saved as %1").arg(path)
                        : tr("Marks saved as %1; what lay there is now %2").arg(path, QFileInfo(*kept).fileName()));
}

QString MainWindow::NoCritique() const {
  if (!critique_->Result()) return tr("There is no critique yet: go to the Critique place first");
  if (!critique_->Fresh()) return tr("The critique is being measured anew; try again in a moment");
  return {};
}

QString MainWindow::WritePdf(const QString& path) {
  const QString none = NoCritique();
  return none.isEmpty() ? WriteCritiquePdf(path, critique_->Shown(), document_) : none;
}

QString MainWindow::PrintOn(QPrinter& printer) {
  const QString none = NoCritique();
  if (!none.isEmpty()) return none;
  printer.setDocName(QFileInfo(document_.Path()).fileName());
  PaintCritique(printer, critique_->Shown(), document_);
  return printer.printerState() == QPrinter::Error ? tr("The printer took nothing") : QString();
}

void MainWindow::AskPrint() {
  if (const QString none = NoCritique(); !none.isEmpty()) return Say(none);
  QPrinter printer(QPrinter::HighResolution);
  printer.setPageMargins(PageMarginsMm(), QPageLayout::Millimeter);
  QPrintDialog dialog(&printer, this);
  dialog.setWindowTitle(tr("Print the critique"));
  if (dialog.exec() != QDialog::Accepted) return;
  const QString trouble = PrintOn(printer);
  Say(trouble.isEmpty() ? tr("Printed") : trouble);
}

void MainWindow::AskPdf() {
  const QFileInfo picture(document_.Path());
  const QString path = QFileDialog::getSaveFileName(
      this, tr("Critique as PDF"),
      picture.absolutePath() + QLatin1Char('/') + picture.completeBaseName() + QStringLiteral("-critique.pdf"), tr("PDF (*.pdf)"));
  if (path.isEmpty()) return;
  const QString trouble = WritePdf(path);
  Say(trouble.isEmpty() ? tr("Written: %1").arg(path) : trouble);
}

void MainWindow::ShowKeys() {
  KeysDialog dialog(*commands_, KeysPath(), this);
  dialog.exec();
}

void MainWindow::ShowSettings() {
  SettingsDialog dialog(settings_, keeper_->Path(), this);
  connect(&dialog, &SettingsDialog::Changed, this, [&] {
    settings_ = dialog.Chosen();
    settings_.Save();
    ApplySettings();
  });
  const QString before = settings_.language;
  dialog.exec();
  // After this event: the window that shows the dialog goes too.
  if (settings_.language != before)
    QTimer::singleShot(0, qApp, [language = settings_.language] { ChangeLanguage(language); });
}

void MainWindow::ChangeLanguage(const QString& language) {
  UseLanguage(language);
  for (QWidget* widget : QApplication::topLevelWidgets())
    if (auto* window = qobject_cast<MainWindow*>(widget); window && window->isVisible()) window->MakeAnew();
}

void MainWindow::MakeAnew() {
  const QString picture = document_.Path();
  QString place;
  for (const Entry& e : entries_)
    if (e.action->isChecked()) place = e.id;
  auto* next = new MainWindow(keeper_->Path());
  next->setAttribute(Qt::WA_DeleteOnClose);
  next->restoreGeometry(saveGeometry());
  next->show();  // before this one goes, which might be the last
  setAttribute(Qt::WA_DeleteOnClose);
  close();
  if (picture.isEmpty()) return;
  next->OpenPicture(picture);
  next->GoTo(place);
}

void MainWindow::ShowHelp() {
  if (help_->isVisible()) {
    help_->hide();
    ToPicture();
    return;
  }
  for (const Entry& e : entries_)
    if (e.action->isChecked()) help_->ShowFor(e.id, e.name, e.place->Help());
}

void MainWindow::ApplySettings() {
  ApplyTheme(settings_.theme);
  breaks_->SetMinutes(settings_.break_minutes);
  auto* row = static_cast<QHBoxLayout*>(centralWidget()->layout());
  row->removeWidget(panel_);
  row->insertWidget(settings_.panel_right ? 1 : 0, panel_);
  UseScreenProfile();
}

void MainWindow::UseScreenProfile() {
  // The artist's own choice first, then what the display says of the screen this window is on.
  QColorSpace space;
  if (QFile file(settings_.screen_profile); !settings_.screen_profile.isEmpty() && file.open(QIODevice::ReadOnly)) {
    space = QColorSpace::fromIccProfile(file.readAll());
    if (!space.isValid()) Say(tr("%1 is no matrix profile of a screen: colours are shown as sRGB").arg(settings_.screen_profile));
  } else if (const QByteArray icc = ProfileOfDisplay(screen()); !icc.isEmpty()) {
    space = QColorSpace::fromIccProfile(icc);
  }
  canvas_->SetScreenSpace(space);
}

}  // namespace armslength::app
