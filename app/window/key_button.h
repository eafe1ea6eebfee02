#pragma once
#include <QAbstractButton>
#include <QAction>

namespace armslength::app {

// A command as a button: its words at the left, its key at the right. It follows the action: words,
// key, checked, enabled. Flat and grey, so that the picture is the only colour in the window.
// At least 34 px high: a pen is no needle.
class KeyButton : public QAbstractButton {
  Q_OBJECT
 public:
  enum class Weight : std::uint8_t { kPlain, kStrong };
  explicit KeyButton(QAction* action, QWidget* parent = nullptr, Weight weight = Weight::kPlain);

  [[nodiscard]] QSize sizeHint() const override;
  [[nodiscard]] QSize minimumSizeHint() const override;

 protected:
  void paintEvent(QPaintEvent* event) override;

 private:
  void Follow();
  QAction* action_;
  Weight weight_;
};

}  // namespace armslength::app
