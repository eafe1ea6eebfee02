#pragma once
#include <memory>

#include <QFutureWatcher>
#include <QMainWindow>
#include <QTimer>

#include "app/canvas/canvas.h"
#include "app/canvas/mark_layer.h"
#include "app/canvas/outline_layer.h"
#include "app/places/place.h"
#include "app/session/carrier.h"
#include "app/session/document.h"
#include "app/session/figure_files.h"
#include "app/session/keeper.h"
#include "app/session/live_reading.h"
#include "app/session/picture_analysis.h"
#include "app/window/settings.h"

class QLabel;
class QMoveEvent;
class QScreen;
class QPrinter;
class QScrollArea;
class QStackedLayout;

namespace armslength::app {

class BreakReminder;
class Commands;
class CritiquePlace;
class HelpSheet;
class LookPlace;
class MarkPlace;
class MessageLine;
class PlaceStack;
class SideViews;
class StartPage;

// One window, one picture: the canvas, and a narrow panel with the places of the bench.
class MainWindow : public QMainWindow {
  Q_OBJECT
 public:
  // `journal_path` empty: the artist's own.
  explicit MainWindow(const QString& journal_path = {}, QWidget* parent = nullptr);
  ~MainWindow() override;

  void OpenPicture(const QString& path);
  // Draws the demo (off this thread) into the data folder and opens its first version.
  void OpenDemo();
  void GoTo(const QString& place);  // "look", "mark", "critique"
  // Every open window is made anew in `language` ("en", "de"; empty: the desktop's), with its picture, place
  // and work from the journal; undo begins anew. Deletes the windows there were: touch them no more.
  static void ChangeLanguage(const QString& language);
  // The critique on pages of A4. Empty: done, else what is wrong.
  QString WritePdf(const QString& path);
  // The same on a printer that is set up already.
  QString PrintOn(QPrinter& printer);

  [[nodiscard]] Document& TheDocument() { return document_; }
  [[nodiscard]] Canvas& TheCanvas() { return *canvas_; }
  [[nodiscard]] Commands& TheCommands() { return *commands_; }
  [[nodiscard]] Keeper& TheKeeper() { return *keeper_; }
  [[nodiscard]] MarkLayer& TheMarks() { return *marks_; }
  [[nodiscard]] MarkPlace& TheMarkPlace() { return *mark_; }
  [[nodiscard]] LookPlace& TheLookPlace() { return *look_; }
  [[nodiscard]] CritiquePlace& TheCritiquePlace() { return *critique_; }
  [[nodiscard]] SideViews& TheSideViews() { return *beside_; }
  [[nodiscard]] LiveReading& TheReading() { return reading_; }
  [[nodiscard]] std::shared_ptr<const LiveResult> LatestReading() const { return latest_; }
  [[nodiscard]] QString MessageText() const;

 protected:
  bool eventFilter(QObject* watched, QEvent* event) override;
  void closeEvent(QCloseEvent* event) override;
  void moveEvent(QMoveEvent* event) override;

 private:
  void AddCommands();
  void AddPlace(const QString& id, const QString& name, const QKeySequence& key, Place* place);
  void Assemble();
  void Connect();
  void PictureReady(bool reloaded);
  void TakeCarried(const Carried& carried);
  void Recall(std::shared_ptr<const Remembered> remembered);
  void AutoSave();
  void AskReading();
  void Took(std::shared_ptr<const LiveResult> result);
  void Say(const QString& text);
  void ShowMenu();
  void ShowPieces();
  void ToPicture();
  void Step(bool back);
  void AskPicture();
  void SaveMarksFile();
  void AskPdf();
  void AskPrint();
  [[nodiscard]] QString NoCritique() const;  // empty: there is one, of the present state
  void ShowKeys();
  void ShowSettings();
  void ShowHelp();
  void ApplySettings();
  void MakeAnew();
  void UseScreenProfile();
  void Tick();

  Settings settings_;
  Document document_;
  FigureShelf shelf_;
  LiveReading reading_;
  PictureAnalysis analysis_;
  Carrier carrier_;
  Commands* commands_ = nullptr;
  Keeper* keeper_ = nullptr;
  BreakReminder* breaks_ = nullptr;
  Canvas* canvas_ = nullptr;
  MarkLayer* marks_ = nullptr;
  OutlineLayer* outlines_ = nullptr;
  LookPlace* look_ = nullptr;
  MarkPlace* mark_ = nullptr;
  CritiquePlace* critique_ = nullptr;
  StartPage* start_ = nullptr;
  SideViews* beside_ = nullptr;
  HelpSheet* help_ = nullptr;
  PlaceStack* stack_ = nullptr;
  QStackedLayout* front_ = nullptr;
  QWidget *place_bar_ = nullptr, *panel_ = nullptr, *foot_ = nullptr;
  QScrollArea* scroll_ = nullptr;
  MessageLine* message_ = nullptr;
  QLabel* zoom_ = nullptr;
  struct Entry {
    QString id, name;
    QAction* action;
    Place* place;
  };
  std::vector<Entry> entries_;
  std::shared_ptr<const LiveResult> latest_;
  QFutureWatcher<QString> demo_;
  QTimer clock_;
  const QScreen* profiled_ = nullptr;  // whose profile is in use
  bool recalled_ = false;  // the journal's work is in the document: saving may begin
  bool active_since_tick_ = false;
};

}  // namespace armslength::app
