#pragma once
#include <memory>

#include <QMainWindow>

#include "app/canvas/canvas.h"
#include "app/canvas/mark_layer.h"
#include "app/places/place.h"
#include "app/session/document.h"
#include "app/session/live_reading.h"

class QButtonGroup;
class QLabel;
class QStackedWidget;

namespace armslength::app {

class LookPlace;
class MarkPlace;

// One window, one picture: the canvas, and a narrow panel with the places of the bench.
class MainWindow : public QMainWindow {
  Q_OBJECT
 public:
  explicit MainWindow(QWidget* parent = nullptr);
  ~MainWindow() override;

  void OpenPicture(const QString& path);
  [[nodiscard]] Document& TheDocument() { return document_; }
  [[nodiscard]] Canvas& TheCanvas() { return *canvas_; }
  void GoTo(int place);

 private:
  void AddPlace(const QString& name, const QString& key, Place* place);
  void AskReading();
  void Took(std::shared_ptr<const LiveResult> result);
  void SaveMarksFile();

  Document document_;
  LiveReading reading_;
  Canvas* canvas_ = nullptr;
  MarkLayer* marks_ = nullptr;
  LookPlace* look_ = nullptr;
  MarkPlace* mark_ = nullptr;
  QStackedWidget* stack_ = nullptr;
  QButtonGroup* places_ = nullptr;
  QWidget* place_bar_ = nullptr;
  QLabel* message_ = nullptr;
};

}  // namespace armslength::app
