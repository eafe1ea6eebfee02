#pragma once
#include <QElapsedTimer>
#include <QTimer>

#include "app/canvas/canvas.h"
#include "app/places/place.h"
#include "app/session/document.h"

class QButtonGroup;
class QLabel;
class QListWidget;
class QPlainTextEdit;
class QPushButton;

namespace armslength::app {

// Looking with a fresh eye, and writing down what is seen before the program says anything.
class LookPlace : public Place, public CanvasLayer {
  Q_OBJECT
 public:
  LookPlace(Document& document, Canvas& canvas, QWidget* parent = nullptr);
  void Enter() override;
  void Leave() override;
  void Paint(QPainter& painter, const QTransform& widget_from_picture) override;
  bool Handle(const Pointer& pointer, const QPointF& at_picture_px, double zoom) override;

  // Adds the note in the text field (and its pin) as one undoable step.
  void AddNote();

 private:
  QPushButton* ViewButton(const QString& text, const QString& key, const std::function<void(bool)>& toggled);
  void Refresh();
  void Tick();

  Document& document_;
  Canvas& canvas_;
  QPlainTextEdit* text_ = nullptr;
  QButtonGroup* kind_ = nullptr;
  QButtonGroup* look_ = nullptr;
  QListWidget* list_ = nullptr;
  QLabel* clock_ = nullptr;
  QPushButton* start_ = nullptr;
  QTimer tick_;
  QElapsedTimer since_;
  std::optional<QRectF> pin_px_;
  std::optional<QPointF> press_px_;
  bool here_ = false;
};

}  // namespace armslength::app
