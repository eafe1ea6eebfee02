#pragma once
#include <QWidget>

namespace armslength::app {

// One of the places of the bench: a narrow panel beside the picture. A place takes keys and
// sets up the canvas when it is entered, and leaves both as it found them when it is left.
class Place : public QWidget {
  Q_OBJECT
 public:
  explicit Place(QWidget* parent = nullptr) : QWidget(parent) {}
  virtual void Enter() {}
  virtual void Leave() {}
};

}  // namespace armslength::app
