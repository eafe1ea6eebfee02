#pragma once
#include <QWidget>

namespace armslength::app {

class Commands;

// One of the places of the bench: a narrow panel beside the picture. A place takes keys and
// sets up the canvas when it is entered, and leaves both as it found them when it is left.
// The window gives the panel its margins and lets it scroll.
class Place : public QWidget {
  Q_OBJECT
 public:
  explicit Place(QWidget* parent = nullptr) : QWidget(parent) {}
  virtual void Enter() {}
  virtual void Leave() {}
  // What the help sheet says about this place, two or three sentences.
  [[nodiscard]] virtual QString Help() const { return {}; }
};

}  // namespace armslength::app
