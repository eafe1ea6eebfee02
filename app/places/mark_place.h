#pragma once
#include <optional>

#include "app/canvas/mark_layer.h"
#include "app/places/place.h"

class QComboBox;
class QLabel;
class QListWidget;
class QPushButton;

namespace armslength::app {

// Setting marks: the next point is asked for, the rest is proposed as soon as five are set.
class MarkPlace : public Place {
  Q_OBJECT
 public:
  MarkPlace(Document& document, Canvas& canvas, MarkLayer& layer, QWidget* parent = nullptr);
  void Enter() override;
  void Leave() override;
  void SetReading(std::shared_ptr<const LiveResult> result);

 private:
  void AskNext();
  void Refresh();
  void ToggleDepth(Depth depth);

  Document& document_;
  Canvas& canvas_;
  MarkLayer& layer_;
  std::shared_ptr<const LiveResult> result_;
  QLabel* asked_ = nullptr;
  QLabel* state_ = nullptr;
  QListWidget* list_ = nullptr;
  QComboBox* canon_ = nullptr;
  QComboBox* figure_ = nullptr;
  QPushButton* accept_all_ = nullptr;
  bool here_ = false, filling_ = false;
};

}  // namespace armslength::app
